/**
 * Do the numbers of a column rise from run to run of a tool, as the readings of a meter do? One pass over the rows of a
 * file, in whatever order it is kept; what comes of it is evidence, and someone is asked.
 */
import type {Draft} from "../draft.ts";
import {DAY_MS} from "../values/readDate.ts";

const HOUR_MS = 3_600_000;
const TOLERANCE_H = 0.5;

/** What neighbouring rows of a tool show, by code of the tool in its file. */
export interface Rises {
  readonly rows: Int32Array;
  readonly rises: Int32Array;
  readonly falls: Int32Array;
  /** rises to more hours than can have passed in the run, by no more than can have passed since the one before */
  readonly telling: Int32Array;
  readonly least: Float64Array;
  readonly most: Float64Array;
}

/** Hours at the most from the start of a run to its end, a date without a time being any time of its day; NaN: no start. */
export function elapsedHours(draft: Draft, row: number): number {
  return (latestEnd(draft, row) - draft.number("start", row)) / HOUR_MS;
}

/** Hours at the most from the end of one run to the end of a later one. */
export function hoursBetweenEnds(later: {draft: Draft; row: number}, earlier: {draft: Draft; row: number}): number {
  return (latestEnd(later.draft, later.row) - earlier.draft.number("end", earlier.row)) / HOUR_MS;
}

function latestEnd(draft: Draft, row: number): number {
  return draft.number("end", row) + (draft.timed.get("end")?.[row] === 1 ? 0 : DAY_MS);
}

/** @param column of hours, or of pulses: those have no bound by the clock */
export function risesOf(draft: Draft, column: string): Rises | null {
  const tools = draft.texts.get("tool");
  const values = draft.numbers.get(column);
  const end = draft.numbers.get("end");
  if (tools === undefined || values === undefined || end === undefined) return null;
  const count = tools.words.length;
  const [rows, rises, falls, telling] = [0, 0, 0, 0].map(() => new Int32Array(count)) as [
    Int32Array,
    Int32Array,
    Int32Array,
    Int32Array,
  ];
  const least = new Float64Array(count).fill(Infinity);
  const most = new Float64Array(count).fill(-Infinity);
  const last = new Int32Array(count).fill(-1);
  const byClock = column !== "pulses";
  const start = draft.numbers.get("start");
  const timed = draft.timed.get("end");
  for (let row = 0; row < draft.rows; ++row) {
    const tool = tools.codes[row]!;
    const value = values[row]!;
    if (tool < 0 || Number.isNaN(value) || Number.isNaN(end[row]!) || !draft.used(row)) continue;
    const before = last[tool]!;
    last[tool] = row;
    ++rows[tool]!;
    if (value < least[tool]!) least[tool] = value;
    if (value > most[tool]!) most[tool] = value;
    // runs of one day stand in no order
    if (before < 0 || end[before] === end[row]) continue;
    // a file may be kept newest first
    const [early, late] = end[before]! < end[row]! ? [before, row] : [row, before];
    const difference = values[late]! - values[early]!;
    if (difference < 0) ++falls[tool]!;
    else if (difference > 0) ++rises[tool]!;
    if (!byClock || difference < 0) continue;
    const until = end[late]! + (timed?.[late] === 1 ? 0 : DAY_MS);
    const since = (until - end[early]!) / HOUR_MS;
    const own = start === undefined ? NaN : (until - start[late]!) / HOUR_MS;
    if (values[late]! > (Number.isNaN(own) ? since : own) + TOLERANCE_H && difference <= since + TOLERANCE_H)
      ++telling[tool]!;
  }
  return {rows, rises, falls, telling, least, most};
}

/**
 * How far the rises of some tools outnumber their falls beyond chance, in standard deviations. Of n values in random
 * order (n - 1)/2 neighbours fall on average, with variance (n + 1)/12: the descents of a random permutation (Eulerian
 * numbers); from memory, tested by counting. Equal neighbours are neither.
 */
export function riseScore({rows, rises, falls}: Rises, tools: Iterable<number>): number {
  let excess = -0.5;
  let variance = 0;
  for (const tool of tools) {
    if (rows[tool]! < 2) continue;
    excess += (rises[tool]! - falls[tool]!) / 2;
    variance += (rows[tool]! + 1) / 12;
  }
  return variance === 0 ? 0 : excess / Math.sqrt(variance);
}
