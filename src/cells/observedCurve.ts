/**
 * What the lives show without a life distribution: the surviving fraction by age, and where each failure stands on a plot.
 *
 * Kaplan-Meier where every failure has an age; Turnbull as soon as one is known only to lie in a range, since placing it in
 * the middle would bend the plot. A failure stands half way down its step of the curve, which for complete data is
 * (i − 0.5) / n; one known to a range stands half way between the curve's values at the ends of its range, at the age at
 * which the curve passes there.
 */
import type {CurvePoint, ProbabilityPoint} from "../charts/chart.ts";
import {kaplanMeier, turnbull, type LifeData} from "../statistics/index.ts";

export interface ObservedCurve {
  /** surviving fraction after each step, from 1 at age 0; limits where Kaplan-Meier gives them */
  readonly steps: readonly CurvePoint[];
  readonly points: readonly ObservedPoint[];
}

/** A failure where it stands on a plot. */
export interface ObservedPoint extends ProbabilityPoint {
  /** which of the lives given it is */
  readonly life: number;
}

/** Steps of the curve: somewhere in (from, to] it falls to `survival`. */
interface Steps {
  readonly from: ArrayLike<number>;
  readonly to: ArrayLike<number>;
  readonly survival: ArrayLike<number>;
}

const START: CurvePoint = {age: 0, estimate: 1, lower: null, upper: null};

export function observedCurve(data: LifeData, level: number): ObservedCurve {
  const ranges = data.lower.some((lower, i) => data.upper[i]! < Infinity && lower < data.upper[i]!);
  if (!ranges) {
    const {age, survival, limits} = kaplanMeier(data, {level});
    const steps = Array.from(age, (at, i) => ({
      age: at,
      estimate: survival[i]!,
      lower: limits[i]![0],
      upper: limits[i]![1],
    }));
    return {steps: [START, ...steps], points: pointsOn({from: age, to: age, survival}, data)};
  }
  const {from, to, survival} = turnbull(data);
  const steps = Array.from(to, (at, i) => ({age: at, estimate: survival[i]!, lower: null, upper: null}));
  return {steps: [START, ...steps.filter(({age}) => age < Infinity)], points: pointsOn({from, to, survival}, data)};
}

function pointsOn(steps: Steps, {lower, upper}: LifeData): ObservedPoint[] {
  const points: ObservedPoint[] = [];
  for (let i = 0; i < lower.length; i++) {
    const [from, to] = [lower[i]!, upper[i]!];
    if (to === Infinity) continue;
    const last = lastBy(steps, to);
    if (last < 0) continue; // never at risk: it left as it entered
    if (from === to) {
      points.push({life: i, age: to, failed: 1 - (before(steps, last) + steps.survival[last]!) / 2});
      continue;
    }
    const failed = 1 - (steps.survival[lastBy(steps, from)] ?? 1) / 2 - steps.survival[last]! / 2;
    points.push({life: i, age: ageAt(steps, failed, from, to), failed, from, to});
  }
  return points.sort((a, b) => a.age - b.age);
}

/** The last step complete by an age; -1 before the first. */
function lastBy({to}: Steps, age: number): number {
  let low = 0;
  let high = to.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (to[middle]! <= age) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}

const before = ({survival}: Steps, step: number): number => (step === 0 ? 1 : survival[step - 1]!);

/** Age at which the curve passes a fraction failed, held inside the range. */
function ageAt({from, to, survival}: Steps, failed: number, low: number, high: number): number {
  for (let i = 0; i < to.length; i++) {
    if (1 - survival[i]! >= failed - 1e-12)
      return Math.min(Math.max((from[i]! + Math.min(to[i]!, high)) / 2, low), high);
  }
  return high;
}
