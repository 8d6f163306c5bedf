/**
 * The shape that the lives show by themselves, without the expectation that wear wears out.
 *
 * Lives are put on one clock, hours of a condition with speed 1, at the likeliest effects; a Weibull is fitted to them by
 * maximum likelihood and its shape limited by the likelihood ratio. The effects are taken as known, which makes the
 * limits a little narrow where many conditions share few failures.
 */
import type {ConditionData} from "../statistics/conditionData.ts";
import {fitLife, shapeLimits} from "../statistics/index.ts";
import type {LifeData, Limits, NoFitReason} from "../statistics/types.ts";

export interface OwnShape {
  /** null where the failures do not fix a life; Infinity where they stand so close together that the shape has no end */
  readonly shape: number | null;
  readonly limits: Limits;
}

const STEEP: readonly NoFitReason[] = ["failures at one age", "one inspection bin"];

/** @param speed log ageing speed of every cell */
export function ownShape(data: ConditionData, speed: ArrayLike<number>, level: number): OwnShape {
  const lives = onOneClock(data, speed);
  const fit = fitLife(lives);
  if (!fit.fitted) return {shape: STEEP.includes(fit.reason) ? Infinity : null, limits: [null, null]};
  return {shape: fit.shape, limits: shapeLimits(lives, fit, {level, by: "likelihood"}).limits};
}

function onOneClock(
  {cells, lower, upper, entry, weight, atLower, atUpper, atEntry}: ConditionData,
  speed: ArrayLike<number>,
): LifeData {
  const sum = (at: Float64Array, i: number): number => {
    let age = 0;
    for (let k = 0; k < cells; k++) age += at[i * cells + k]! * Math.exp(speed[k]!);
    return age;
  };
  return {
    lower: lower.map((age, i) => (age > 0 ? sum(atLower, i) : 0)),
    upper: upper.map((age, i) => (age === Infinity ? age : age === lower[i] ? sum(atLower, i) : sum(atUpper, i))),
    entry: entry.map((age, i) => (age > 0 ? sum(atEntry, i) : 0)),
    weight,
  };
}
