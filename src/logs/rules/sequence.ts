/** Dates that stand out of the order of their file, runs of one tool that overlap. */
import type {Draft} from "../draft.ts";
import type {RowRef, RowRefs} from "../RowRefs.ts";
import {DAY_MS} from "../values/readDate.ts";
import {placeOf} from "./duplicates.ts";

const HOUR_MS = 3_600_000;

/** A file is kept in order of date when so many of its rows are. */
const IN_ORDER = 0.97;
const FEWEST_ROWS = 30;

/** Rows up to three weeks out of order are entered late, not dated wrongly. */
const LATE_MS = 21 * DAY_MS;

/** Runs that overlap by less may differ by a time zone or a change of clocks. */
const CLOCK_MS = 3 * HOUR_MS;

/**
 * Rows whose date is far from those of the rows around them, in a file that is otherwise in order, as a whole or tool by
 * tool, upwards or downwards.
 */
export function checkOrderOfDates(draft: Draft): void {
  const name = draft.log === "rebuilds" ? "date" : startsGiven(draft) ? "start" : "end";
  const rows: number[] = [];
  for (let row = 0; row < draft.rows; ++row) {
    if (draft.used(row) && !Number.isNaN(draft.number(name, row))) rows.push(row);
  }
  if (rows.length < FEWEST_ROWS) return;
  const byTool = new Map<string, number[]>();
  for (const row of rows) {
    const tool = draft.text("tool", row) ?? "";
    const of = byTool.get(tool);
    if (of === undefined) byTool.set(tool, [row]);
    else of.push(row);
  }
  for (const groups of [[rows], [rows].map((all) => [...all].reverse()), [...byTool.values()]]) {
    const astray = groups.flatMap((group) => astrayIn(draft, name, group));
    if (astray.length > rows.length * (1 - IN_ORDER)) continue;
    for (const {row, days} of astray) {
      const message = `${draft.headerOf(name)} is ${days} days off the rows around it in a file that is otherwise in order`;
      draft.tell("date-out-of-order", row, {column: name, message});
    }
    return;
  }
}

/** Run logs are kept in the order of their starts, where they note them. */
function startsGiven(draft: Draft): boolean {
  const starts = draft.numbers.get("start");
  return starts !== undefined && starts.filter((start) => !Number.isNaN(start)).length > draft.rows / 2;
}

/** Rows that would have to move by more than the slack to stand in order. */
function astrayIn(draft: Draft, name: string, rows: readonly number[]): {row: number; days: number}[] {
  const dates = rows.map((row) => draft.number(name, row));
  const kept = longestRise(dates);
  const next = new Float64Array(rows.length + 1).fill(Infinity);
  for (let i = rows.length - 1; i >= 0; --i) next[i] = kept[i] === 1 ? dates[i]! : next[i + 1]!;
  let before = -Infinity;
  const astray: {row: number; days: number}[] = [];
  rows.forEach((row, i) => {
    if (kept[i] === 1) before = dates[i]!;
    else {
      const off = Math.max(before - dates[i]!, dates[i]! - next[i]!);
      if (off > LATE_MS) astray.push({row, days: Math.round(off / DAY_MS)});
    }
  });
  return astray;
}

/** Marks a longest subsequence that never falls (patience sorting: Fredman, Discrete Mathematics 11 (1975) 29). */
function longestRise(values: readonly number[]): Uint8Array {
  const tails: number[] = [];
  const before = new Int32Array(values.length).fill(-1);
  values.forEach((value, i) => {
    let low = 0;
    let high = tails.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (values[tails[middle]!]! <= value) low = middle + 1;
      else high = middle;
    }
    before[i] = low > 0 ? tails[low - 1]! : -1;
    tails[low] = i;
  });
  const kept = new Uint8Array(values.length);
  for (let i = tails.at(-1) ?? -1; i >= 0; i = before[i]!) kept[i] = 1;
  return kept;
}

/** Runs, by tool and end, of one tool that begin before the one before has ended. */
export function checkOverlaps(runs: RowRefs): void {
  let last: RowRef | null = null;
  for (const ref of runs) {
    const sameTool = last !== null && last.draft.text("tool", last.row) === ref.draft.text("tool", ref.row);
    if (sameTool && last !== null) {
      const [lastEnd, start] = [endOf(last), startOf(ref)];
      if (start < lastEnd - HOUR_MS / 2) {
        const hours = Math.round((lastEnd - start) / HOUR_MS);
        const message = `the run begins ${hours} h before the run of ${placeOf(last, ref)} with the same tool ends`;
        // a clock set back, or a zone left out, moves a run by an hour or two
        const rule = lastEnd - start < CLOCK_MS ? "run-overlap-clock" : "run-overlap";
        ref.draft.tell(rule, ref.row, {
          column: ref.draft.cellOf.has("start") ? "start" : "end",
          message,
          beside: [last],
        });
      }
    }
    last = ref;
  }
}

/** Latest start that the row allows: the start as logged, or so late that the hours still fit. */
function startOf({draft, row}: RowRef): number {
  const start = draft.number("start", row);
  if (Number.isNaN(start)) return latestEnd({draft, row}) - draft.number("circulating_h", row) * HOUR_MS;
  return draft.timed.get("start")?.[row] === 1 ? start : start + DAY_MS;
}

function latestEnd({draft, row}: RowRef): number {
  return draft.number("end", row) + (draft.timed.get("end")?.[row] === 1 ? 0 : DAY_MS);
}

/** Earliest end that the row allows. */
function endOf({draft, row}: RowRef): number {
  return draft.number("end", row);
}
