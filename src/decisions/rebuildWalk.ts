/**
 * The ages at which a part meets a rebuild, as a walk on a grid of ages.
 *
 * A part is looked at only when its tool is opened. Between two openings lies a gap of exposure, drawn from the gaps
 * the fleet's own log shows. The ages at rebuilds are then a renewal process, and what a renewal age costs needs three
 * things of it, none of which depends on how the part fails: how often a rebuild falls on each grid age (`visits`), how
 * far past a threshold the first rebuild after it falls (`overshoot`), and the mean gap. They are computed once, exactly
 * on the grid, and shared by every condition and every parameter draw. Random paths would give the same figures with
 * noise that moves the lowest point of a flat curve; the grid has none and costs less.
 *
 * A grid age stands for the ages within half a step of it, so threshold j (renew beyond grid age j) stands for an age of
 * (j + ½) steps.
 */

export interface RebuildWalk {
  /** exposure between two grid ages */
  readonly step: number;
  /** mean gap, in exposure */
  readonly meanGap: number;
  /** chance that a gap is k steps long */
  readonly gap: Float64Array;
  /** expected rebuilds at each grid age of a part that is never renewed; the installation counts as the first, at age 0 */
  readonly visits: Float64Array;
  /**
   * chance that the first rebuild past threshold j falls k + 1 steps beyond it, row-major [threshold × gap length]
   */
  readonly overshoot: Float64Array;
  /** chance that a part is not renewed by k steps past threshold j: no rebuild has fallen in between; [threshold × reach] */
  readonly still: Float64Array;
  /**
   * expected steps from the middle of the step that begins k past threshold j to the next rebuild, counting only parts
   * not renewed by then; [threshold × reach]. At k = 0 it is how long a part that fails there waits to be found
   */
  readonly wait: Float64Array;
  /** number of thresholds, 0 .. points − 1 */
  readonly points: number;
  /** longest gap, in steps */
  readonly reach: number;
}

/**
 * @param gaps exposure between rebuilds, each > 0 and finite; others are left out
 * @param weights how much each gap counts, same length; equal when missing
 * @param step grid step; gaps are split between the two grid lengths beside them so that their mean is kept
 * @param points how many thresholds
 * @throws RangeError when no gap is usable or the step is not positive
 */
export function rebuildWalk(
  gaps: ArrayLike<number>,
  {step, points, weights}: {readonly step: number; readonly points: number; readonly weights?: ArrayLike<number>},
): RebuildWalk {
  if (!(step > 0 && points >= 1)) {
    throw new RangeError(`rebuildWalk requires step > 0 and points >= 1, got step ${step} and points ${points}`);
  }
  let total = 0;
  let sum = 0;
  let longest = 0;
  const usable = (i: number): number => {
    const hours = gaps[i]!;
    const weight = weights === undefined ? 1 : weights[i]!;
    return hours > 0 && hours < Infinity && weight > 0 ? weight : 0;
  };
  for (let i = 0; i < gaps.length; i++) {
    const weight = usable(i);
    if (weight === 0) continue;
    total += weight;
    sum += weight * gaps[i]!;
    longest = Math.max(longest, gaps[i]!);
  }
  if (total === 0)
    throw new RangeError(`rebuildWalk requires a gap > 0 between rebuilds, got none among ${gaps.length}`);

  const reach = Math.floor(longest / step) + 1;
  const gap = new Float64Array(reach + 1);
  for (let i = 0; i < gaps.length; i++) {
    const weight = usable(i);
    if (weight === 0) continue;
    const steps = gaps[i]! / step;
    const below = Math.floor(steps);
    gap[below]! += (weight / total) * (below + 1 - steps);
    gap[below + 1]! += (weight / total) * (steps - below);
  }

  // a gap of less than a step may end where it began: such a rebuild is met again at the same grid age
  const leaves = 1 - gap[0]!;
  const visits = new Float64Array(points);
  for (let j = 0; j < points; j++) {
    let landing = j === 0 ? 1 : 0;
    for (let k = 1; k <= Math.min(j, reach); k++) landing += gap[k]! * visits[j - k]!;
    visits[j] = landing / leaves;
  }

  // moving the threshold from j − 1 to j: what fell on j goes on from there, the rest is one step nearer
  const overshoot = new Float64Array(points * reach);
  for (let j = 0; j < points; j++) {
    const row = j * reach;
    const before = row - reach;
    for (let k = 0; k < reach; k++) {
      const nearer = j === 0 || k + 1 === reach ? 0 : overshoot[before + k + 1]!;
      overshoot[row + k] = nearer + visits[j]! * gap[k + 1]!;
    }
  }

  const still = new Float64Array(points * reach);
  const wait = new Float64Array(points * reach);
  for (let j = 0; j < points; j++) {
    let left = 0;
    let steps = 0;
    for (let k = reach - 1; k >= 0; k--) {
      // one step further back, every later rebuild is one step further off
      steps += left + 0.5 * overshoot[j * reach + k]!;
      left += overshoot[j * reach + k]!;
      still[j * reach + k] = left;
      wait[j * reach + k] = steps;
    }
  }
  return {step, meanGap: sum / total, gap, visits, overshoot, still, wait, points, reach};
}
