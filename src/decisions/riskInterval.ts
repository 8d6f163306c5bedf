/**
 * The risk rule over parameter draws: the interval at which, with the stated confidence, a part that is let go once more
 * still survives the next planned run with the target probability.
 */
import type {LifeDraws} from "./priceDraws.ts";
import {longestSafeAge} from "./riskRule.ts";
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
  const ages = new Float64Array(draws.shape.length);
  for (let d = 0; d < ages.length; d++) {
    const wear = {shape: draws.shape[d]!, scale: draws.scale[d]!};
    const chance = draws.chance[d]!;
    const modes = chance > 0 ? [wear, {shape: 1, scale: 1 / chance}] : [wear];
    ages[d] = longestSafeAge(modes, nextRun, target, 1e-4) ?? -1;
  }
  const age = drawQuantile(ages, 1 - confidence);
  if (age === Infinity) return {rule: "never binds"};
  // between a draw that cannot meet the target and one that can, there is no age to name
  if (!(age >= 0)) return {rule: "cannot be met"};
  return {rule: "bounds", interval: age + nextRun};
}
