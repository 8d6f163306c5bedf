/**
 * Bootstrap of a life fit, resampling groups (machines), not lives, so that parts that shared a machine stay together: the
 * cluster bootstrap (Davison & Hinkley, Bootstrap Methods and their Application, 1997, section 3.8; Field & Welsh, JRSS B 69
 * (2007) 369-390). With a group of its own for every life it is the ordinary bootstrap.
 *
 * A generator, so that a worker can report progress and stop between batches.
 */
import {fitLife} from "./fitLife.ts";
import {selectLives} from "./lifeData.ts";
import type {Replicates} from "./lifeLimits.ts";
import {seededRandom} from "./random.ts";
import type {LifeData, LifeFit} from "./types.ts";

export interface BootstrapOptions {
  /** group of each life; default: each its own */
  readonly group?: ArrayLike<number>;
  /** resampled sets; default 1000 */
  readonly count?: number;
  readonly seed: number;
  /** sets between two reports; default 50 */
  readonly batch?: number;
}

export interface BootstrapReplicates extends Replicates {
  /** how many groups were resampled, and how many sets could not be fitted (their figures are NaN) */
  readonly groups: number;
  readonly lost: number;
}

/** Yields how many sets are done; returns the replicates. */
export function* bootstrapLife(
  data: LifeData,
  fit: LifeFit,
  {group, count = 1000, seed, batch = 50}: BootstrapOptions,
): Generator<number, BootstrapReplicates, void> {
  const n = data.lower.length;
  if (group && group.length !== n)
    throw new RangeError(`bootstrapLife requires a group for each of ${n} lives, got ${group.length}`);
  const members = new Map<number, number[]>();
  for (let i = 0; i < n; i++) {
    const code = group ? group[i]! : i;
    const own = members.get(code);
    if (own) own.push(i);
    else members.set(code, [i]);
  }
  const groups = [...members.values()];
  const random = seededRandom(seed);
  const location = new Float64Array(count).fill(NaN);
  const logShape = new Float64Array(count).fill(NaN);
  const options = {family: fit.family, ...(fit.fixedShape === null ? {} : {shape: fit.fixedShape})};
  let lost = 0;
  for (let b = 0; b < count; b++) {
    const rows: number[] = [];
    for (let g = 0; g < groups.length; g++) rows.push(...groups[random.below(groups.length)]!);
    const again = fitLife(selectLives(data, rows), options);
    if (again.fitted) {
      location[b] = again.location;
      logShape[b] = -Math.log(again.spread);
    } else lost++;
    if ((b + 1) % batch === 0) yield b + 1;
  }
  return {location, logShape, groups: groups.length, lost};
}

/** Runs a generator to its end, telling `report` what it yields; stops and gives null once `signal` is aborted. */
export function runToEnd<T>(
  work: Generator<number, T, void>,
  {report, signal}: {readonly report?: (done: number) => void; readonly signal?: {readonly aborted: boolean}} = {},
): T | null {
  for (;;) {
    if (signal?.aborted) return null;
    const step = work.next();
    if (step.done) return step.value;
    report?.(step.value);
  }
}
