/** What the run log and the shop say of a tool's hours, day by day. */
import type {RowRef} from "../RowRefs.ts";

/** One run of a tool. */
export interface RunOf {
  readonly ref: RowRef;
  readonly startDay: number;
  readonly endDay: number;
  readonly hours: number;
}

/** Between two rebuilds of one tool: what the shop counted. */
export interface Window {
  readonly tool: string;
  /** days of the two rebuilds; runs that end after the first, up to the second, count */
  readonly fromDay: number;
  readonly toDay: number;
  readonly shopHours: number;
  readonly ref: RowRef;
  readonly slots: number;
}

/** @param runs of one tool, by end */
export function hoursBetween(runs: readonly RunOf[], fromDay: number, toDay: number): number {
  let sum = 0;
  for (let i = firstAfter(runs, fromDay); i < runs.length && runs[i]!.endDay <= toDay; ++i) sum += runs[i]!.hours;
  return sum;
}

/** Index of the first run that ends after a day. */
function firstAfter(runs: readonly RunOf[], day: number): number {
  let low = 0;
  let high = runs.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (runs[middle]!.endDay > day) high = middle;
    else low = middle + 1;
  }
  return low;
}
