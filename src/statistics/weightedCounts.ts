/**
 * Limits of a weighted sum of Poisson counts: a rate standardised to another mix, or the money of failures that do not
 * all cost the same.
 */
import {chiSquareQuantile, requireLevel} from "./gammaFunctions.ts";

/** Counts that share a weight, i.e. a stratum of a standardised rate or failures of one cost. */
export interface WeightedCount {
  readonly count: number;
  /** what one event of it adds to the sum, 0 or more */
  readonly weight: number;
}

/**
 * Limits of Σ weight · E[count] by the gamma method (Fay & Feuer, Statistics in Medicine 16 (1997) 791-801): half the
 * chi-square quantiles of 2y²/v degrees of freedom below, and the same with one more event of the greatest weight above.
 * With equal weights they are Garwood's exact limits. Careful with very unequal weights: the upper one then lies high.
 *
 * @param groups one a stratum, those without events included: their weight decides the upper limit
 * @returns limits in the unit of the weights; with no events the lower one is 0
 */
export function weightedCountLimits(
  groups: readonly WeightedCount[],
  level: number,
): readonly [lower: number, upper: number] {
  requireLevel(level, "weightedCountLimits");
  let sum = 0;
  let variance = 0;
  let greatest = 0;
  for (const {count, weight} of groups) {
    if (!(count >= 0 && count < Infinity && weight >= 0 && weight < Infinity))
      throw new RangeError(`weightedCountLimits requires counts and weights >= 0, got ${count} of ${weight}`);
    sum += weight * count;
    variance += weight * weight * count;
    greatest = Math.max(greatest, weight);
  }
  const tail = (1 - level) / 2;
  if (greatest === 0) return [0, 0];
  const gamma = (p: number, mean: number, spread: number): number =>
    (spread / (2 * mean)) * chiSquareQuantile(p, (2 * mean * mean) / spread);
  return [sum === 0 ? 0 : gamma(tail, sum, variance), gamma(1 - tail, sum + greatest, variance + greatest * greatest)];
}

export interface Stratum {
  readonly count: number;
  readonly exposure: number;
  /** exposure (or share) of the standard in this stratum */
  readonly standard: number;
}

export interface StandardisedRate {
  /** events per unit of exposure at the mix of the standard; null where no stratum of the standard has exposure */
  readonly rate: number | null;
  readonly limits: readonly [number, number] | null;
  /** share of the standard in strata that have exposure; the rate speaks for that share alone */
  readonly covered: number;
}

/**
 * Direct standardisation: the rates of the strata at the mix of a standard population, with gamma limits. Strata of the
 * standard without exposure are left out and told by `covered`: nothing is known of them.
 */
export function standardisedRate(strata: readonly Stratum[], level: number): StandardisedRate {
  const whole = strata.reduce((sum, {standard}) => sum + standard, 0);
  const seen = strata.filter(({exposure, standard}) => exposure > 0 && standard > 0);
  const covered = seen.reduce((sum, {standard}) => sum + standard, 0);
  if (!(covered > 0)) return {rate: null, limits: null, covered: 0};
  const groups = seen.map(({count, exposure, standard}) => ({count, weight: standard / covered / exposure}));
  return {
    rate: groups.reduce((sum, {count, weight}) => sum + count * weight, 0),
    limits: weightedCountLimits(groups, level),
    covered: covered / whole,
  };
}
