/** How runs may be put into groups to be compared, and the group of every run. A failure belongs to the run it ended. */
import {wordAt, wordsOf, type Words} from "../../shared/columnar.ts";
import {mudLabel, regimeLabel} from "../../shared/vocabulary/index.ts";
import type {CellEffects, CellInputs} from "./contract.ts";
import {runsInView} from "./inView.ts";
import {heatBands} from "./mixModel.ts";
import {servicedBefore} from "./servicedBefore.ts";

export const RUN_GROUPS = {
  fleet: "fleets",
  shop: "shops that rebuilt the tool before the run",
  technician: "technicians who rebuilt the tool before the run",
  mud: "muds",
  regime: "flow regimes",
  temperature: "temperatures",
  year: "years",
  quarter: "quarters",
  tool: "tools",
  period: "before and after a day",
} as const;
export type RunGroup = keyof typeof RUN_GROUPS;

/** One and several of a grouping, as they stand in a sentence. */
export const GROUP_WORDS: Readonly<Record<RunGroup, readonly [one: string, many: string]>> = {
  fleet: ["fleet", "fleets"],
  shop: ["shop", "shops"],
  technician: ["technician", "technicians"],
  mud: ["mud", "muds"],
  regime: ["flow regime", "flow regimes"],
  temperature: ["temperature band", "temperature bands"],
  year: ["year", "years"],
  quarter: ["quarter", "quarters"],
  tool: ["tool", "tools"],
  period: ["period", "periods"],
};

/** Group of every run of the run table; missing where the logs do not say. */
export function runGroups(inputs: CellInputs, by: RunGroup, effects: CellEffects, on: string | null = null): Words {
  const {runs, conditions} = inputs;
  switch (by) {
    case "fleet":
    case "tool":
      return runs.columns[by];
    case "mud":
      return relabel(conditions.mud, (code) => (code === "UNK" ? null : mudLabel(code)));
    case "regime":
      return relabel(conditions.regime, (code) => (code === "unknown" ? null : regimeLabel(code)));
    case "temperature":
      return heatBands(runs.columns.temperature_max_C);
    case "shop":
    case "technician":
      return servicedBy(inputs, by, effects);
    case "period":
      return beforeAndAfter(inputs, on ?? middleDay(inputs));
    case "year":
    case "quarter":
      return wordsOf(Array.from(runs.columns.end, (end) => (Number.isFinite(end) ? periodOf(end, by) : null)));
  }
}

/** How the later of two periods is named. */
export const LATER = "the time from";

/** Runs that ended before a day, and from it on. */
function beforeAndAfter({runs}: CellInputs, on: string): Words {
  const edge = Date.parse(on);
  return wordsOf(
    Array.from(runs.columns.end, (end) =>
      Number.isFinite(end) && Number.isFinite(edge) ? (end < edge ? `the time before ${on}` : `${LATER} ${on}`) : null,
    ),
  );
}

/** The day in the middle of the runs in view, for want of a better one. */
export function middleDay(inputs: Pick<CellInputs, "runs" | "conditions" | "where">): string {
  const ends = [...runsInView(inputs)].map((run) => inputs.runs.columns.end[run]!).filter(Number.isFinite);
  if (ends.length === 0) return "1970-01-01";
  const [first, last] = [ends.reduce((a, b) => Math.min(a, b)), ends.reduce((a, b) => Math.max(a, b))];
  return new Date((first + last) / 2).toISOString().slice(0, 10);
}

export function periodOf(time: number, by: "year" | "quarter"): string {
  const date = new Date(time);
  const year = date.getUTCFullYear();
  return by === "year" ? String(year) : `${year} Q${Math.floor(date.getUTCMonth() / 3) + 1}`;
}

/** Initials repeat from shop to shop, so a technician is named with the shop. */
function servicedBy(inputs: CellInputs, by: "shop" | "technician", effects: CellEffects): Words {
  const {row} = servicedBefore(inputs, effects);
  const {shop, technician} = inputs.rebuilds.columns;
  return wordsOf(
    Array.from(row, (rebuild) => {
      if (rebuild < 0) return null;
      const where = wordAt(shop, rebuild);
      if (by === "shop") return where;
      const who = wordAt(technician, rebuild);
      return who === null ? null : where === null ? who : `${who}, ${where}`;
    }),
  );
}

function relabel({codes, words}: Words, label: (word: string) => string | null): Words {
  const labels = words.map(label);
  return wordsOf(Array.from(codes, (code) => labels[code] ?? null));
}
