/** The runs of every tool in order, with running sums of exposure: a part's age is the difference of two of them. */
import type {Words} from "../../shared/columnar.ts";
import type {ExposureClock} from "../../shared/settings.ts";
import type {RunTable} from "../logs/logTable.ts";
import type {FindingList, Rule} from "./FindingList.ts";

const DAY = 86_400_000;

/**
 * Runs by tool, then end. A *position* is an index into `order`; position p stands for the moment before the run
 * `order[p]`, so a tool's positions go from `offsets[tool]` to `offsets[tool + 1]`, both included.
 */
export interface ToolRuns {
  /** tools of both logs */
  readonly tools: readonly string[];
  /** tool of each code of the rebuild table's tool column */
  readonly toolOfRebuildCode: Int32Array;
  readonly order: Int32Array;
  readonly offsets: Int32Array;
  /** exposure of each run by position, in the settings' clock; NaN where unknown */
  readonly exposure: Float64Array;
  /** exposure of the tool before position p, at index p + tool; unknown runs count 0 */
  readonly before: Float64Array;
  /** first position >= p of the same tool whose exposure is unknown, at index p + tool; the tool's end for none */
  readonly nextUnknown: Int32Array;
}

/** Exposure of every run in the clock, NaN where the log does not say. */
export function exposureOf(runs: RunTable, clock: ExposureClock): Float64Array {
  switch (clock) {
    case "circulating hours":
      return runs.columns.circulating_h;
    case "below-rotary hours":
      return runs.columns.below_rotary_h;
    case "pulses":
      return runs.columns.pulses;
    case "runs":
      return new Float64Array(runs.rows).fill(1);
  }
}

export function toolRuns(runs: RunTable, rebuildTools: Words, clock: ExposureClock, findings: FindingList): ToolRuns {
  const tools = [...runs.columns.tool.words];
  const toolOf = new Map(tools.map((word, code) => [word, code]));
  const toolOfRebuildCode = Int32Array.from(rebuildTools.words, (word) => {
    const known = toolOf.get(word);
    if (known !== undefined) return known;
    toolOf.set(word, tools.length);
    return tools.push(word) - 1;
  });
  const {order, offsets} = orderOf(runs, tools.length, findings);
  const all = exposureOf(runs, clock);
  const exposure = new Float64Array(order.length);
  const before = new Float64Array(order.length + tools.length);
  const nextUnknown = new Int32Array(order.length + tools.length);
  for (let t = 0; t < tools.length; t++) {
    const from = offsets[t]!;
    const to = offsets[t + 1]!;
    let sum = 0;
    for (let p = from; p < to; p++) {
      const row = order[p]!;
      const x = all[row]!;
      const known = x >= 0 && x < Infinity;
      exposure[p] = known ? x : NaN;
      before[p + t] = sum;
      if (known) sum = tidy(sum + x);
      else findings.add(NO_EXPOSURE, runs, row, {column: COLUMN_OF[clock], taken: "unknown"});
    }
    before[to + t] = sum;
    let unknown = to;
    nextUnknown[to + t] = to;
    for (let p = to - 1; p >= from; p--) {
      if (Number.isNaN(exposure[p]!)) unknown = p;
      nextUnknown[p + t] = unknown;
    }
  }
  return {tools, toolOfRebuildCode, order, offsets, exposure, before, nextUnknown};
}

/** Rounded to a millionth, so that sums of tenths read as tenths. */
export function tidy(age: number): number {
  return Math.round(age * 1e6) / 1e6;
}

/**
 * Position of a moment among a tool's runs: how many of them came before it. Runs are ordered by the day they ended;
 * one that ended on the day itself came before, unless the moment has a time of day and the run began after it.
 *
 * @param from first position to try; positions before it are known to have come before
 */
export function positionAt(
  index: ToolRuns,
  runs: RunTable,
  tool: number,
  date: number,
  from = index.offsets[tool]!,
): number {
  const to = index.offsets[tool + 1]!;
  let p = from;
  while (p < to && endedBefore(runs, index.order[p]!, date)) p++;
  return p;
}

/** Whether a run came before a moment, by the rule of `positionAt`. */
export function endedBefore({columns: {start, end}}: RunTable, run: number, date: number): boolean {
  const day = Math.floor(date / DAY);
  const endDay = Math.floor(end[run]! / DAY);
  if (endDay !== day) return endDay < day;
  return date % DAY === 0 || !(start[run]! >= date);
}

/** Rows by tool, then end, then table order. The importer sorts its table so; a table that is not is sorted here. */
function orderOf(runs: RunTable, tools: number, findings: FindingList): Pick<ToolRuns, "order" | "offsets"> {
  const {tool, end} = runs.columns;
  const usable: number[] = [];
  const offsets = new Int32Array(tools + 1);
  for (let row = 0; row < runs.rows; row++) {
    const code = tool.codes[row]!;
    if (code < 0 || !Number.isFinite(end[row]!)) {
      findings.add(RUN_WITHOUT_KEY, runs, row, {column: code < 0 ? "tool" : "end"});
      continue;
    }
    usable.push(row);
    offsets[code + 1]!++;
  }
  for (let t = 0; t < tools; t++) offsets[t + 1]! += offsets[t]!;
  const order = new Int32Array(usable.length);
  const next = offsets.slice();
  for (const row of usable) order[next[tool.codes[row]!]!++] = row;
  for (let t = 0; t < tools; t++) {
    const part = order.subarray(offsets[t]!, offsets[t + 1]!);
    for (let i = 1; i < part.length; i++) {
      if (end[part[i]!]! < end[part[i - 1]!]!) {
        part.set(Array.from(part).sort((a, b) => end[a]! - end[b]! || a - b));
        break;
      }
    }
  }
  return {order, offsets};
}

const COLUMN_OF: Readonly<Record<ExposureClock, string>> = {
  "circulating hours": "circulating_h",
  "below-rotary hours": "below_rotary_h",
  pulses: "pulses",
  runs: "run",
};

const NO_EXPOSURE: Rule = {
  rule: "run-without-exposure",
  kind: "doubted",
  message:
    "this run has no exposure in the clock of the settings, so the ages of the parts in it are unknown from here on; their lives are suspended before it",
  remedy: "fill in the missing value, or choose another exposure clock in the settings",
};
const RUN_WITHOUT_KEY: Rule = {
  rule: "run-without-key",
  kind: "set aside",
  message: "a run without a tool or an end date cannot be placed",
  remedy: "fill in tool and end",
};
