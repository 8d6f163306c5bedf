/**
 * `register.yaml` of the invented fleets: three decisions of the last weeks of the logs, so that the pages have some to
 * show. Nobody in the scenario acted on them: its policies stay as they are to the end, so a comparison of before and after
 * must find nothing. The figures are what the interval sheet said of the demo logs when the entries were written.
 */
import {withDecision, type IntervalDecision} from "../shared/register.ts";

const HEAD =
  "# Interval decisions of the demo fleets. INVENTED: no real company, tool, person or decision.\n" +
  "# Entries are only ever added, so that every revision stays.\nversion: 1\ndecisions: []\n";

const DECISIONS: readonly IntervalDecision[] = [
  {
    component: "ORIF",
    mud: "SALT",
    regime: "medium",
    fleet: null,
    decision: "accepted",
    interval_h: 190,
    recommended_h: 190,
    before_h: null,
    date: "2025-12-08",
    initials: "EZ",
    reason: "an orifice costs little beside a trip at this depth",
    data_to: "2025-12-05",
    filters: "",
    failures_per_1000h: {before: 0.517, foretold: 0.0086},
  },
  {
    component: "SHFT",
    mud: "SALT",
    regime: "medium",
    fleet: null,
    decision: "declined",
    interval_h: null,
    recommended_h: 230,
    before_h: null,
    date: "2025-12-08",
    initials: "EZ",
    reason: "shafts take ten weeks to come; to be asked again when two are in stock",
    data_to: "2025-12-05",
    filters: "",
    failures_per_1000h: null,
  },
  {
    component: "SEAL",
    mud: "BRN",
    regime: "medium",
    fleet: null,
    decision: "amended",
    interval_h: 120,
    recommended_h: 80,
    before_h: 250,
    date: "2025-12-15",
    initials: "KV",
    reason: "80 h would open tools for a seal alone",
    data_to: "2025-12-12",
    filters: "",
    failures_per_1000h: null,
  },
];

export function registerFile(): string {
  return DECISIONS.reduce(withDecision, HEAD);
}
