/**
 * The risk rule over parameter draws: the interval at which, with the stated confidence, a part that is let go once more
 * still survives the next planned run with the target probability.
 */
import type {LifeDraws} from "./drawTables.ts";
import type {Weibull} from "../statistics/types.ts";
import {hazardOfRun, longestSafeAge} from "./riskRule.ts";
import {drawQuantile} from "./spread.ts";

export type RiskInterval =
  | {readonly rule: "bounds"; /** renew when age + next run passes this */ readonly interval: number}
  /** the risk of a run never gets so high */
  | {readonly rule: "never binds"}
  /** not even a new part survives the next run with the target probability, at the confidence */
  | {readonly rule: "cannot be met"}
  /** the target or the run is outside its domain */
  | {readonly rule: "has no target"};

/**
 * @param nextRun planned exposure of the next run, > 0
 * @param target probability in (0, 1)
 * @param confidence one-sided, in (0, 1): that share of the draws meets the target
 */
export function riskInterval(draws: LifeDraws, nextRun: number, target: number, confidence: number): RiskInterval {
  if (!(target > 0 && target < 1 && nextRun > 0)) return {rule: "has no target"};
  const age = quantileOfSafeAges(draws, {run: nextRun, target}, 1 - confidence);
  if (age === Infinity) return {rule: "never binds"};
  // between a draw that cannot meet the target and one that can, there is no age to name
  if (!(age >= 0)) return {rule: "cannot be met"};
  return {rule: "bounds", interval: age + nextRun};
}

/** Relative precision of an age. */
const WITHIN = 1e-4;

/**
 * The quantile of the draws' longest safe ages; -1 stands for a draw that no age makes safe.
 *
 * An age takes a dozen hazards to find, and only the draws around the quantile need theirs: where the risk of a run rises
 * with age, one hazard tells whether a draw's age lies below another's.
 */
function quantileOfSafeAges(
  draws: LifeDraws,
  rule: {readonly run: number; readonly target: number},
  p: number,
): number {
  const {run, target} = rule;
  const allowed = -Math.log(target);
  const n = draws.shape.length;
  const modesOf = (d: number): Weibull[] => {
    const wear = {shape: draws.shape[d]!, scale: draws.scale[d]!};
    const chance = draws.chance[d]!;
    return chance > 0 ? [wear, {shape: 1, scale: 1 / chance}] : [wear];
  };
  const known = new Float64Array(n).fill(NaN);
  const ageOf = (d: number): number => {
    if (Number.isNaN(known[d]!)) known[d] = longestSafeAge(modesOf(d), run, target, WITHIN) ?? -1;
    return known[d]!;
  };
  const below = (d: number, age: number): boolean =>
    draws.shape[d]! > 1 && Number.isNaN(known[d]!) && age > 0 && age < Infinity
      ? hazardOfRun(modesOf(d), age, run) > allowed
      : ageOf(d) < age;

  // what does not matter for the quantile keeps the place it has: below everything, or above
  const ages = new Float64Array(n).fill(Infinity);
  const place = Math.min(Math.max(p * n - 0.5, 0), n - 1);
  let candidates = Array.from({length: n}, (_, d) => d);
  let passed = 0;
  while (candidates.length > FEW) {
    const pivot = candidates[candidates.length >> 1]!;
    const age = ageOf(pivot);
    const under: number[] = [];
    const rest: number[] = [];
    for (const d of candidates) if (d !== pivot) (below(d, age) ? under : rest).push(d);
    // both order statistics around the place must stay among the candidates
    if (passed + under.length > Math.ceil(place)) candidates = under;
    else if (passed + under.length < Math.floor(place)) {
      for (const d of [...under, pivot]) ages[d] = -2;
      passed += under.length + 1;
      candidates = rest;
    } else break;
  }
  for (const d of candidates) ages[d] = ageOf(d);
  return drawQuantile(ages, p);
}

/** So few draws are looked at one by one. */
const FEW = 12;
