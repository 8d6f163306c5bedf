/**
 * Gamma, chi-square and beta functions behind limits and ranks.
 * Incomplete functions and their inverses are those of @stdlib, checked against R in the tests.
 */
import betaincinv from "@stdlib/math-base-special-betaincinv";
import gammainc from "@stdlib/math-base-special-gammainc";
import gammaincinv from "@stdlib/math-base-special-gammaincinv";
import {gammaln} from "simple-statistics";
import {normalQuantile} from "./normal.ts";

/** log Γ(x), x > 0. */
export function logGamma(x: number): number {
  return gammaln(x);
}

/** Γ(x), x > 0; Infinity above 171.6. */
export function gamma(x: number): number {
  return Math.exp(gammaln(x));
}

/** Chance that a chi-square of `df` degrees of freedom is at most `x`. */
export function chiSquareCdf(x: number, df: number): number {
  return gammainc(x / 2, df / 2, true, false);
}

/** Chance that a chi-square of `df` degrees of freedom exceeds `x`; precise in the far tail. */
export function chiSquareSurvival(x: number, df: number): number {
  if (x <= 0) return 1;
  return gammainc(x / 2, df / 2, true, true);
}

/** Quantile of a chi-square of `df` > 0 degrees of freedom, `p` in [0, 1]. */
export function chiSquareQuantile(p: number, df: number): number {
  return 2 * gammaQuantile(p, df / 2);
}

/** Quantile of a gamma variate of the given shape and unit rate; `upper` takes `p` from the top. */
export function gammaQuantile(p: number, shape: number, {upper = false}: {readonly upper?: boolean} = {}): number {
  if (!(p >= 0 && p <= 1 && shape > 0)) return NaN;
  if (p === (upper ? 1 : 0)) return 0;
  if (p === (upper ? 0 : 1)) return Infinity;
  return gammaincinv(p, shape, upper);
}

/** Quantile of a beta variate, both shapes > 0; with (i, n - i + 1) it is the `p` rank of the i-th of n. */
export function betaQuantile(p: number, a: number, b: number): number {
  if (!(p >= 0 && p <= 1 && a > 0 && b > 0)) return NaN;
  return betaincinv(p, a, b);
}

/** Square of the two-sided normal quantile: the drop in 2·log-likelihood that bounds one parameter at `level`. */
export function likelihoodDrop(level: number): number {
  return twoSidedZ(level) ** 2;
}

/** Normal quantile that leaves (1 - level) / 2 in each tail. */
export function twoSidedZ(level: number): number {
  return -normalQuantile((1 - level) / 2);
}

/** Refuses a confidence level that is not strictly between 0 and 1, by the name of the caller. */
export function requireLevel(level: number, caller: string): void {
  if (!(level > 0 && level < 1)) throw new RangeError(`${caller} requires a level in (0, 1), got ${level}`);
}
