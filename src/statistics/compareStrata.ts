/**
 * One rate ratio over strata that each have rates of their own: each count after is binomial given the stratum's total, with
 * chance r·t / (r·t + s), and their sum is the convolution of these (Gart, Biometrika 57 (1970) 471–475, from memory).
 * With one stratum this is compareRates.
 */
import {logGamma, requireLevel} from "./gammaFunctions.ts";
import type {Count} from "./comparePoisson.ts";

export interface RateStratum {
  readonly before: Count;
  readonly after: Count;
}

export interface StratifiedRatio {
  /** rate after over rate before, by conditional likelihood; null where neither has events, or only one has and it is infinite */
  readonly ratio: number | null;
  /** central limits, each end by a one-sided test at (1 − level) / 2 */
  readonly limits: readonly [lower: number, upper: number | null];
}

/** Ratios outside these are told as 0 and as no limit. */
const RANGE: readonly [number, number] = [1e-9, 1e9];

/** @param strata with whole counts and exposures > 0 on both sides; others say nothing and must be left out */
export function compareStrata(strata: readonly RateStratum[], level = 0.9): StratifiedRatio {
  requireLevel(level, "compareStrata");
  for (const {before, after} of strata) {
    for (const {count, exposure} of [before, after]) {
      if (!(Number.isInteger(count) && count >= 0 && exposure > 0 && exposure < Infinity))
        throw new RangeError(`compareStrata requires whole counts >= 0 and exposures > 0, got ${count} in ${exposure}`);
    }
  }
  const seen = strata.reduce((sum, {after}) => sum + after.count, 0);
  const total = strata.reduce((sum, {before, after}) => sum + before.count + after.count, 0);
  const tail = (1 - level) / 2;
  // rising in r: the chance of so many or more, and the mean; falling: the chance of so few or fewer
  const atLeast = (r: number): number => sumOf(chances(strata, r), seen, total);
  const atMost = (r: number): number => sumOf(chances(strata, r), 0, seen);
  const mean = (r: number): number => chances(strata, r).reduce((sum, p, k) => sum + p * k, 0);
  return {
    ratio: total === 0 || seen === total ? null : seen === 0 ? 0 : solve(mean, seen),
    limits: [seen === 0 ? 0 : solve(atLeast, tail), seen === total ? null : solve((r) => -atMost(r), -tail)],
  };
}

/** Chances of 0 .. n events after in all strata together, given the totals, at a ratio. */
function chances(strata: readonly RateStratum[], ratio: number): Float64Array {
  let all = Float64Array.of(1);
  for (const {before, after} of strata) {
    const n = before.count + after.count;
    const logOdds = Math.log((ratio * after.exposure) / before.exposure);
    const logMiss = -Math.log1p(Math.exp(logOdds));
    const own = Float64Array.from({length: n + 1}, (_, k) =>
      Math.exp(logGamma(n + 1) - logGamma(k + 1) - logGamma(n - k + 1) + k * logOdds + n * logMiss),
    );
    const sum = new Float64Array(all.length + n);
    all.forEach((p, i) => own.forEach((q, k) => (sum[i + k]! += p * q)));
    all = sum;
  }
  return all;
}

function sumOf(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let k = from; k <= to; k++) sum += values[k]!;
  return sum;
}

/** The ratio at which a rising function of it reaches a value, by bisection of its logarithm. */
function solve(rising: (ratio: number) => number, value: number): number {
  let [low, high] = RANGE.map(Math.log) as [number, number];
  for (let step = 0; step < 100; step++) {
    const middle = (low + high) / 2;
    if (rising(Math.exp(middle)) < value) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}
