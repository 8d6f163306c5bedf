/**
 * Cox-Snell residuals of a fit as steps: the cumulative hazard the lives show, over the one the fit gives the same ages.
 *
 * The curve without a distribution only orders ages, so it is made on the ages and its ages are then turned into residuals.
 * Nelson-Aalen with limits where every failure has an age. As soon as one is known only to lie in a range, Turnbull, whose
 * curve rises somewhere inside each of its intervals and has no limits: a middle would be invented, and would bend the plot.
 */
import type {HazardStep} from "../charts/chart.ts";
import {coxSnellResiduals, nelsonAalen, turnbull, type LifeData, type LifeFit} from "../statistics/index.ts";

/** A place on the curve, on both clocks. */
interface Place {
  readonly age: number;
  readonly residual: number;
}

export interface ResidualSteps {
  readonly steps: readonly HazardStep[];
  /** failures whose age is only known to a range; above 0 the curve is Turnbull's and has no limits */
  readonly between: number;
  /** up to here at least `FEWEST` lives are at risk; null when they never are */
  readonly until: Place | null;
  /** the largest difference of the fractions failed up to there, and the age of it */
  readonly departure: {readonly fraction: number; readonly age: number} | null;
  /** ages at which the diagonal lies outside the limits, first and last */
  readonly outside: readonly [from: number, to: number] | null;
  /** true when the curve ends with no life left, where Turnbull's hazard has no end */
  readonly endless: boolean;
}

/** With fewer lives at risk a step is too coarse to compare. */
export const FEWEST = 10;

export function residualSteps(data: LifeData, fit: LifeFit, level: number): ResidualSteps {
  const between = data.lower.reduce((sum, lower, i) => {
    const upper = data.upper[i]!;
    return upper < Infinity && lower < upper ? sum + data.weight[i]! : sum;
  }, 0);
  const all = between > 0 ? turnbullSteps(data, fit) : exactSteps(data, fit, level);
  const steps = all.filter(({to, after}) => Number.isFinite(to) && Number.isFinite(after));
  const endless = all.some(({to, after}) => Number.isFinite(to) && after === Infinity);
  const untilAge = lastWellSeen(data);
  const until = untilAge === null ? null : {age: untilAge, residual: residualsAt(fit, [untilAge])[0]!};
  const left = steps.filter(({to, lower, upper}) => (lower !== null && to < lower) || (upper !== null && to > upper));
  return {
    steps,
    between,
    until,
    departure: until && largestDeparture(steps, until),
    outside: left.length > 0 ? [left[0]!.ageTo, left.at(-1)!.ageTo] : null,
    endless,
  };
}

function exactSteps(data: LifeData, fit: LifeFit, level: number): HazardStep[] {
  const {age, cumulativeHazard, limits} = nelsonAalen(data, {level});
  const residuals = residualsAt(fit, age);
  return Array.from(age, (at, i) => ({
    ageFrom: at,
    ageTo: at,
    from: residuals[i]!,
    to: residuals[i]!,
    before: i === 0 ? 0 : cumulativeHazard[i - 1]!,
    after: cumulativeHazard[i]!,
    lower: limits[i]![0],
    upper: limits[i]![1],
  }));
}

function turnbullSteps(data: LifeData, fit: LifeFit): HazardStep[] {
  const {from, to, survival} = turnbull(data);
  const [starts, ends] = [residualsAt(fit, from), residualsAt(fit, to)];
  const hazard = (left: number) => (left > 0 ? Math.max(0, -Math.log(left)) : Infinity);
  return Array.from(survival, (left, j) => ({
    ageFrom: from[j]!,
    ageTo: to[j]!,
    from: starts[j]!,
    to: ends[j]!,
    before: j === 0 ? 0 : hazard(survival[j - 1]!),
    after: hazard(left),
    lower: null,
    upper: null,
  }));
}

/** Residuals of plain ages. */
function residualsAt(fit: LifeFit, ages: ArrayLike<number>): Float64Array {
  const lower = Float64Array.from(ages);
  return coxSnellResiduals({lower, upper: lower, entry: lower, weight: lower}, fit).lower;
}

/** The oldest age at which `FEWEST` lives are at risk: entered before it, not yet gone. */
function lastWellSeen({lower, upper, entry}: LifeData): number | null {
  const ends = lower.map((age, i) => (upper[i]! < Infinity ? upper[i]! : age)).sort();
  const entries = entry.slice().sort();
  let entered = entries.length;
  for (let i = ends.length - 1; i >= 0; i--) {
    const age = ends[i]!;
    if (ends[i - 1] === age) continue;
    while (entered > 0 && entries[entered - 1]! >= age) entered--;
    if (entered - i >= FEWEST) return age;
  }
  return null;
}

/** Of the fraction failed, at either end of every step: between steps the fit only moves from one end to the next. */
function largestDeparture(steps: readonly HazardStep[], until: Place): ResidualSteps["departure"] {
  let largest: {fraction: number; age: number} | null = null;
  const look = (age: number, fit: number, lives: number) => {
    const fraction = Math.abs(Math.exp(-fit) - Math.exp(-lives));
    if (age <= until.age && fraction > (largest?.fraction ?? -1)) largest = {fraction, age};
  };
  for (const step of steps) {
    look(step.ageFrom, step.from, step.before);
    look(step.ageTo, step.to, step.after);
  }
  return largest;
}
