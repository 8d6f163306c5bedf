/**
 * What a fit of any family says of an age: the same questions weibull.ts answers, asked of a LifeFit.
 */
import {errorDistribution} from "./errorDistribution.ts";
import {meanQuantity} from "./quantity.ts";
import type {Family, LifeFit} from "./types.ts";

const z = (age: number, {location, spread}: LifeFit): number => (Math.log(age) - location) / spread;

/** H(age) = -log of the fraction still unfailed; age >= 0. */
export function fittedCumulativeHazard(age: number, fit: LifeFit): number {
  if (!(age >= 0)) return NaN;
  return age === 0 ? 0 : errorDistribution(fit.family).cumulativeHazard(z(age, fit));
}

/** Fraction still unfailed at `age`. */
export function fittedSurvival(age: number, fit: LifeFit): number {
  return Math.exp(-fittedCumulativeHazard(age, fit));
}

/** Fraction failed by `age`, precise when small. */
export function fittedFailureFraction(age: number, fit: LifeFit): number {
  return -Math.expm1(-fittedCumulativeHazard(age, fit));
}

/** Failures per unit of age among those that have reached `age` > 0. */
export function fittedHazard(age: number, fit: LifeFit): number {
  if (!(age > 0)) return NaN;
  const scratch = new Float64Array(3);
  errorDistribution(fit.family).logHazard(z(age, fit), scratch);
  return Math.exp(scratch[0]!) / (fit.spread * age);
}

/** Density of life at `age` > 0. */
export function fittedDensity(age: number, fit: LifeFit): number {
  const survival = fittedSurvival(age, fit);
  return survival === 0 ? 0 : fittedHazard(age, fit) * survival;
}

/** Age by which a fraction `p` in [0, 1] has failed. */
export function fittedQuantile(p: number, fit: LifeFit): number {
  if (!(p >= 0 && p <= 1)) return NaN;
  if (p === 0) return 0;
  return p === 1 ? Infinity : Math.exp(fit.location + fit.spread * errorDistribution(fit.family).quantile(p));
}

/** Mean life; Infinity where it does not exist (loglogistic of spread 1 or more). */
export function fittedMean(fit: LifeFit): number {
  return Math.exp(meanQuantity(fit.family).of(fit.location, -Math.log(fit.spread)));
}

/**
 * Height of a fraction failed on the family's probability paper, on which its fits are straight lines against log age:
 * height = (log age - location) / spread.
 */
export function paperHeight(p: number, family: Family): number {
  if (!(p >= 0 && p <= 1)) return NaN;
  return p === 0 ? -Infinity : p === 1 ? Infinity : errorDistribution(family).quantile(p);
}
