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
import {meanFailureCost} from "./costs.ts";
import type {RebuildWalk} from "./rebuildWalk.ts";

/** One cycle of the policy at one threshold. Money and failures per unit of exposure are ratios of these. */
export interface Cycle {
  /** chance that the cycle ends in a planned renewal, not in a failure */
  readonly planned: number;
  /** expected exposure of a cycle */
  readonly length: number;
}

/** The survival of a part at the grid ages of a walk, and its integral. */
export interface GridLife {
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
  return {survival, reached, mean};
}

/**
 * Cycles at the thresholds asked for: a rebuild at an age beyond `thresholds[t] · step` renews the part.
 *
 * @param thresholds grid indices, ascending, each in 0 .. points − 1
 * @param endsRun share of failures that end the run, in [0, 1]
 */
export function cyclesAt(walk: RebuildWalk, life: GridLife, thresholds: ArrayLike<number>, endsRun: number): Cycle[] {
  const {visits, overshoot, reach, meanGap} = walk;
  const {survival, reached} = life;
  const cycles: Cycle[] = [];
  let waited = 0;
  let next = 0;
  for (let t = 0; t < thresholds.length; t++) {
    const j = thresholds[t]!;
    let planned = 0;
    let lived = 0;
    const row = j * reach;
    for (let k = 0; k < reach; k++) {
      const chance = overshoot[row + k]!;
      planned += chance * survival[j + 1 + k]!;
      lived += chance * reached[j + 1 + k]!;
    }
    // found at teardown: the exposure runs on to the rebuild, so whoever starts a gap alive stays for all of it
    for (; next <= j; next++) waited += visits[next]! * survival[next]!;
    cycles.push({planned, length: endsRun * lived + (1 - endsRun) * waited * meanGap});
  }
  return cycles;
}

/**
 * The cycle of a part that is never renewed before it fails. Beyond the grid, rebuilds are as frequent as they are on
 * average, so what is left of the life adds its own length.
 */
export function runToFailureCycle(walk: RebuildWalk, life: GridLife, endsRun: number): Cycle {
  let waited = 0;
  for (let i = 0; i < walk.points; i++) waited += walk.visits[i]! * life.survival[i]!;
  const rest = Math.max(
    0,
    life.mean - life.reached[walk.points - 1]! - 0.5 * walk.step * life.survival[walk.points - 1]!,
  );
  return {planned: 0, length: endsRun * life.mean + (1 - endsRun) * (waited * walk.meanGap + rest)};
}

/** Expected money per unit of exposure. */
export function costOf(cycle: Cycle, costs: RenewalCosts, endsRun: number): number {
  return (cycle.planned * costs.planned + (1 - cycle.planned) * meanFailureCost(costs, endsRun)) / cycle.length;
}

/** Expected failures, found ones included, per unit of exposure. */
export function failuresOf(cycle: Cycle): number {
  return (1 - cycle.planned) / cycle.length;
}
