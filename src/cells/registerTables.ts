/** Tables of the interval register: the sheet as decided, every decision, and what came of those accepted. */
import {componentLabel} from "../../shared/vocabulary/index.ts";
import {rateOf, type DecisionEffect, type Revision} from "../decisions/index.ts";
import type {CellInputs, CellTable} from "./contract.ts";
import {clockOf, sayCondition, sayLevel} from "./say.ts";

export interface Decided {
  readonly decision: Revision;
  readonly effect: DecisionEffect | null;
  /** what the interval sheet recommends now, in words; null without a row */
  readonly now: string | null;
}

const sayAge = (age: number | null): number | string =>
  age === null ? "run to failure" : age === 0 ? "every rebuild" : age;

const subject = (rows: readonly Decided[]): CellTable["columns"] => [
  {name: "component", label: "component", values: rows.map(({decision}) => componentLabel(decision.component))},
  {
    name: "condition",
    label: "mud and flow",
    values: rows.map(({decision: {mud, regime}}) => sayCondition(mud, regime)),
  },
  {name: "fleet", label: "fleet", values: rows.map(({decision}) => decision.fleet ?? "every fleet")},
];

/** What is in force: what the shop prints, pins up and hands to other programs. */
export function sheetTable(rows: readonly Decided[], {settings}: CellInputs, caution: string): CellTable {
  const {unit} = clockOf(settings);
  const of = (value: (decision: Revision) => string | number | null) => rows.map(({decision}) => value(decision));
  return {
    name: "as-decided",
    title: "Interval sheet as decided",
    columns: [
      ...subject(rows),
      {name: "interval", label: "renew at", unit, values: of(({interval_h}) => sayAge(interval_h))},
      {name: "decision", label: "decision", values: of(({decision}) => decision)},
      {name: "date", label: "since", format: "date", values: of(({date}) => date)},
      {name: "initials", label: "by", values: of(({initials}) => initials)},
      {name: "revision", label: "revision", format: "count", values: of(({revision}) => revision)},
      {name: "before", label: "before", unit, values: of(({before_h}) => sayAge(before_h))},
      {name: "recommended_now", label: "recommended now", values: rows.map(({now}) => now)},
      {name: "data_to", label: "data to", format: "date", values: of(({data_to}) => data_to)},
      {name: "filters", label: "filters", values: of(({filters}) => (filters === "" ? "none" : filters))},
      {name: "caution", label: "caution", savedOnly: true, values: rows.map(() => caution)},
    ],
    note: "A part is renewed at a rebuild when its age and the planned next run would pass the interval. “Data to” is the last day of the logs the recommendation rested on.",
  };
}

export function historyTable(rows: readonly Decided[], {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const of = (value: (decision: Revision) => string | number | null) => rows.map(({decision}) => value(decision));
  return {
    name: "decisions",
    title: "Every decision, the latest first",
    columns: [
      {name: "date", label: "date", format: "date", values: of(({date}) => date)},
      ...subject(rows),
      {name: "decision", label: "decision", values: of(({decision}) => decision)},
      {
        name: "interval",
        label: "renew at",
        unit,
        values: of(({decision, interval_h}) => (decision === "declined" ? null : sayAge(interval_h))),
      },
      {name: "recommended", label: "recommended", unit, values: of(({recommended_h}) => sayAge(recommended_h))},
      {name: "revision", label: "revision", format: "count", values: of(({revision}) => revision)},
      {name: "initials", label: "by", values: of(({initials}) => initials)},
      {name: "reason", label: "reason", values: of(({reason}) => (reason === "" ? "none given" : reason))},
    ],
    note: "A later decision on the same component, mud, flow and fleet is the next revision; a decline leaves in force what was.",
  };
}

export function effectTable(rows: readonly Decided[], {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const seen = rows.filter(({effect}) => effect !== null);
  const of = (value: (effect: DecisionEffect) => string | number | null) => seen.map(({effect}) => value(effect!));
  return {
    name: "before-and-after",
    title: "Before and after",
    columns: [
      ...subject(seen),
      {name: "date", label: "from", format: "date", values: seen.map(({decision}) => decision.date)},
      {
        name: "exposure_before",
        label: "exposure before",
        unit,
        format: "hours",
        values: of((e) => Math.round(e.before.exposure)),
      },
      {name: "failures_before", label: "failures", format: "count", values: of((e) => e.before.failures)},
      {
        name: "rate_before",
        label: "rate before",
        unit: `per 1,000 ${unit}`,
        format: "rate",
        values: of((e) => rateOf(e.before)),
      },
      {
        name: "exposure_after",
        label: "exposure after",
        unit,
        format: "hours",
        values: of((e) => Math.round(e.after.exposure)),
      },
      {name: "failures_after", label: "failures", format: "count", values: of((e) => e.after.failures)},
      {
        name: "rate_after",
        label: "rate after",
        unit: `per 1,000 ${unit}`,
        format: "rate",
        values: of((e) => rateOf(e.after)),
      },
      {name: "ratio", label: "after to before", format: "number", values: of((e) => e.ratio)},
      {name: "ratio_lower", label: "lower limit", format: "number", values: of((e) => e.limits[0])},
      {name: "ratio_upper", label: "upper limit", format: "number", values: of((e) => e.limits[1])},
      {name: "foretold", label: "foretold", format: "number", values: of((e) => e.foretold)},
      {name: "verdict", label: "what it shows", values: of((e) => sayVerdict(e, unit))},
    ],
    note: `Own failures of the part in the mud and flow of the decision, those the shop caused left out; each fleet is compared with itself. ${sayLevel(settings)}, exact given the totals. Parts fitted before the day count after it, so a change shows slowly.`,
  };
}

export function sayVerdict({verdict, wait}: DecisionEffect, unit: string): string {
  switch (verdict) {
    case "fewer":
      return "fewer failures";
    case "more":
      return "more failures";
    case "not shown":
      return "no change shown";
    case "nothing to compare":
      return "no exposure on both sides";
    case "too early":
      return wait === null ? "too few failures before" : `too early: about ${Math.ceil(wait / 100) * 100} ${unit} more`;
  }
}
