/**
 * Running totals of meters in place of the hours (or pulses) of runs: seen, asked about, and turned into them where the
 * mapping says so. Comes after rows that stand twice are sorted out, and before anything is made of the hours.
 */
import {METERED, type FileMapping} from "../../../shared/mapping.ts";
import type {Draft} from "../draft.ts";
import {sorted} from "../mergeDrafts.ts";
import {hoursBetween, type RunOf, type Window} from "../rules/runHours.ts";
import {convertTotals, type Converted, type Meters} from "./convertTotals.ts";
import {checkRange} from "./meterRange.ts";
import {totalsIn, type TotalsSeen} from "./totalsEvidence.ts";

/** The shop's own count, between two rebuilds of a tool. */
export interface ShopCount {
  readonly windows: readonly Window[];
  readonly differs: (shop: number, logged: number) => boolean;
}

export interface TotalsChecked {
  readonly seen: readonly TotalsSeen[];
  /** by draft: rows in which a meter begins or begins again, what it then stood at not being known */
  readonly starts: ReadonlyMap<Draft, readonly number[]>;
}

/** What the mapping says of a column: which tools are written as totals; null: nothing. */
export function saidOf(answers: FileMapping, column: string): ((tool: string) => boolean) | null {
  const said = answers.totals?.[column];
  if (said === undefined) return null;
  if (said === "all tools") return () => true;
  if (said === "no tool") return () => false;
  const tools = new Set(said.split(",").map((tool) => tool.trim()));
  return (tool) => tools.has(tool);
}

/**
 * @param runs the run logs
 * @param rebuilds the rebuild logs: meters are set back in the shop
 * @param answersOf the answers about a draft's file
 * @param shopCount asked for only where something is seen
 */
export function checkTotals(
  runs: readonly Draft[],
  rebuilds: readonly Draft[],
  answersOf: (draft: Draft) => FileMapping,
  shopCount: () => ShopCount,
): TotalsChecked {
  const seen: TotalsSeen[] = [];
  const starts = new Map<Draft, number[]>();
  const converted: Converted[] = [];
  for (const column of METERED) {
    const meters: Meters[] = [];
    for (const draft of runs) {
      if (draft.numbers.get(column) === undefined) continue;
      const said = saidOf(answersOf(draft), column);
      const found = said === null ? weighed(totalsIn(draft, column), shopCount) : null;
      if (said !== null) meters.push({draft, isTotal: said, fromZero: answersOf(draft).meterStart === "from 0"});
      if (found === null) continue;
      seen.push(found);
      tell(found);
    }
    if (meters.length === 0) continue;
    converted.push(convertTotals(column, meters, rebuilds));
  }
  for (const {starts: refs, tell: tellRows} of converted) {
    for (const {draft, row} of refs) {
      if (answersOf(draft).meterStart !== undefined) continue;
      const rows = starts.get(draft);
      if (rows === undefined) starts.set(draft, [row]);
      else rows.push(row);
    }
    // a row that is held for one column still is a reading of another
    tellRows();
  }
  for (const draft of runs) for (const column of draft.unranged) checkRange(draft, column);
  return {seen, starts};
}

/** The evidence, with what the shop counted: it may settle whether numbers that rise are totals or hours. */
function weighed(seen: TotalsSeen | null, shopCount: () => ShopCount): TotalsSeen | null {
  if (seen === null || seen.weight === "sure" || seen.column === "pulses") return seen;
  const {windows, differs} = shopCount();
  const byTool = new Map<string, RunOf[]>();
  const {draft, column} = seen;
  for (const ref of sorted([draft], "end")) {
    const tool = draft.text("tool", ref.row) ?? "";
    const endDay = Math.floor(draft.number("end", ref.row) / DAY_MS);
    const run = {ref, startDay: endDay, endDay, hours: draft.number(column, ref.row)};
    const of = byTool.get(tool);
    if (of === undefined) byTool.set(tool, [run]);
    else of.push(run);
  }
  let [asTotals, asHours] = [0, 0];
  for (const {tool, fromDay, toDay, shopHours} of windows) {
    const ofTool = byTool.get(tool) ?? [];
    const before = ofTool.findLast(({endDay}) => endDay <= fromDay);
    const last = ofTool.findLast(({endDay}) => endDay <= toDay);
    if (before === undefined || last === undefined || before === last) continue;
    if (!differs(shopHours, last.hours - before.hours)) ++asTotals;
    if (!differs(shopHours, hoursBetween(ofTool, fromDay, toDay))) ++asHours;
  }
  if (asHours >= FEWEST_WINDOWS && asHours > asTotals) return null;
  return asTotals >= FEWEST_WINDOWS && asTotals > asHours ? {...seen, weight: "sure"} : seen;
}

const DAY_MS = 86_400_000;
const FEWEST_WINDOWS = 2;

/** Where it is sure, rows wait for the answer: hours that cannot be are no hours. */
function tell({draft, column, weight, tools, whole, rises}: TotalsSeen): void {
  const picked = [...tools.keys()].filter((tool) => tools[tool] === 1);
  const sum = (of: Int32Array): number => picked.reduce((all, tool) => all + of[tool]!, 0);
  const rows = sum(rises.rows);
  const steps = rows - picked.length;
  const falls = sum(rises.falls);
  const words = draft.texts.get("tool")?.words ?? [];
  const names = picked.slice(0, 5).map((tool) => words[tool] ?? "");
  const of = whole ? "" : ` for ${names.join(", ")}${picked.length > 5 ? ` and ${picked.length - 5} more tools` : ""}`;
  const telling = sum(rises.telling);
  const more = telling === 0 ? "" : `; in ${telling} rows it is more than the hours that passed`;
  const message =
    `${draft.headerOf(column)} looks like the running total of a meter${of}: from run to run of a tool it rises ` +
    `${steps - falls} of ${steps} times${more}`;
  const required = draft.required(column);
  const waits = weight === "sure";
  draft.note("run-hours-cumulative", {
    column,
    message,
    taken: !waits ? "the hours of each run" : required ? null : "missing",
    remedy: `answer it on the page, or write totals: {${column}: all tools} (or no tool) for the file into the mapping`,
  });
  if (!waits) return;
  const values = draft.numbers.get(column)!;
  const codes = draft.texts.get("tool")!.codes;
  for (let row = 0; row < draft.rows; ++row) {
    if (!(whole ? codes[row]! >= 0 : tools[codes[row]!] === 1)) continue;
    if (required) draft.mark(row, "held");
    else values[row] = NaN;
  }
}
