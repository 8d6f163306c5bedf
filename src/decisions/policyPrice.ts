/**
 * What a renewal age costs under the policy a shop can really follow: parts change only at rebuilds, and a rebuild
 * finds a part at whatever age the runs since the last one have brought it to.
 *
 * One cycle runs from a new part to the next. At a rebuild the part is renewed when its age is past the threshold.
 * A failure that ends the run forces a rebuild at once and costs the failure cost; one that does not is found at the
 * next rebuild, costs the planned change and what settings say besides, and the part sits failed until then. Cost per
 * unit of exposure is expected cost of a cycle over its expected length (renewal-reward theorem; Ross, Introduction to
 * Probability Models, ch. 7; from memory).
 */
import type {RenewalCosts} from "./costs.ts";
import {endsRunAt, type EndsRun} from "./endsRun.ts";
import type {RebuildWalk} from "./rebuildWalk.ts";

/** One cycle of the policy at one threshold. Money and failures per unit of exposure are ratios of these. */
export interface Cycle {
  /** chances that the cycle ends in a planned renewal, in a failure that ends a run, in one found at teardown; they add up to 1 */
  readonly planned: number;
  readonly ended: number;
  readonly found: number;
  /** expected exposure of a cycle */
  readonly length: number;
}

/** The survival of a part at the grid ages of a walk, and its integral. */
export interface GridLife {
  readonly step: number;
  /** at grid age i, for 0 .. points − 1 + reach */
  readonly survival: Float64Array;
  /** integral of the survival from 0 to grid age i */
  readonly reached: Float64Array;
  /** integral of the survival from 0 to infinity */
  readonly mean: number;
}

/** How many grid ages a walk needs the survival at. */
export function gridAges({points, reach}: RebuildWalk): number {
  return points + reach;
}

/** Tabulates a survival function on the grid of a walk; the integral is by Simpson's rule on each step. */
export function gridLife(survivalAt: (age: number) => number, mean: number, walk: RebuildWalk): GridLife {
  const ages = gridAges(walk);
  const survival = new Float64Array(ages);
  const reached = new Float64Array(ages);
  survival[0] = survivalAt(0);
  for (let i = 1; i < ages; i++) {
    survival[i] = survivalAt(i * walk.step);
    const middle = survivalAt((i - 0.5) * walk.step);
    reached[i] = reached[i - 1]! + (walk.step / 6) * (survival[i - 1]! + 4 * middle + survival[i]!);
  }
  return {step: walk.step, survival, reached, mean};
}

/** Failures within the step that begins at grid age i, those that end a run and those that wait. */
function failuresIn({step, survival}: GridLife, i: number, endsRun: EndsRun): {ends: number; waits: number} {
  const failed = survival[i]! - survival[i + 1]!;
  const ends = failed * endsRunAt(endsRun, (i + 0.5) * step);
  return {ends, waits: failed - ends};
}

/** The cycle when a rebuild at a grid age beyond `threshold` (0 .. points − 1) renews the part. */
export function cycleAt(walk: RebuildWalk, life: GridLife, threshold: number, endsRun: EndsRun): Cycle {
  const {overshoot, still, wait, reach, step} = walk;
  const row = threshold * reach;
  let planned = 0;
  let lived = 0;
  let ended = 0;
  let waited = 0;
  for (let i = 0; i < threshold; i++) {
    const {ends, waits} = failuresIn(life, i, endsRun);
    ended += ends;
    waited += waits * wait[i * reach]!;
  }
  for (let k = 0; k < reach; k++) {
    const i = threshold + k;
    planned += overshoot[row + k]! * life.survival[i + 1]!;
    lived += overshoot[row + k]! * life.reached[i + 1]!;
    const {ends, waits} = failuresIn(life, i, endsRun);
    ended += ends * still[row + k]!;
    waited += waits * wait[row + k]!;
  }
  return {planned, ended, found: Math.max(0, 1 - planned - ended), length: lived + waited * step};
}

/**
 * The cycle of a part that is never renewed before it fails. Beyond the grid, what is left waits as long as rebuilds are
 * apart on average there.
 */
export function runToFailureCycle(walk: RebuildWalk, life: GridLife, endsRun: EndsRun): Cycle {
  const {wait, reach, points, step} = walk;
  let ended = 0;
  let waited = 0;
  for (let i = 0; i < points; i++) {
    const {ends, waits} = failuresIn(life, i, endsRun);
    ended += ends;
    waited += waits * wait[i * reach]!;
  }
  const left = life.survival[points]!;
  const q = endsRunAt(endsRun, points * step);
  ended += left * q;
  waited += left * (1 - q) * wait[(points - 1) * reach]!;
  return {planned: 0, ended, found: 1 - ended, length: life.mean + waited * step};
}

/** Expected money per unit of exposure. */
export function costOf({planned, ended, found, length}: Cycle, costs: RenewalCosts): number {
  return (planned * costs.planned + ended * costs.failure + found * (costs.planned + costs.found)) / length;
}

/** Expected failures, found ones included, per unit of exposure. */
export function failuresOf({planned, length}: Cycle): number {
  return (1 - planned) / length;
}
