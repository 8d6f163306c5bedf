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

export function hoursBetween(runs: readonly RunOf[], fromDay: number, toDay: number): number {
  let sum = 0;
  for (const {endDay, hours} of runs) if (endDay > fromDay && endDay <= toDay) sum += hours;
  return sum;
}
