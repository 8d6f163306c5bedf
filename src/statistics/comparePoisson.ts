/**
 * Two rates compared exactly: given the total count, the first count is binomial with chance
 * r·t₁ / (r·t₁ + t₂) under a rate ratio r (Przyborowski & Wilenski, Biometrika 31 (1940) 313-323).
 */
import {betaQuantile, logGamma, requireLevel} from "./gammaFunctions.ts";

export interface Count {
  readonly count: number;
  readonly exposure: number;
}

export interface RateComparison {
  /** rate of the first over rate of the second; null when the second has no events (then it has no upper limit either) */
  readonly ratio: number | null;
  /** central limits: each end by a one-sided test at (1 - level) / 2 (Clopper-Pearson) */
  readonly limits: readonly [lower: number, upper: number | null];
  /** chance, were the ratio `against`, of a first count this high or higher, this low or lower */
  readonly pGreater: number;
  readonly pLess: number;
  /** as pGreater, with half the chance of the count itself (mid-p) */
  readonly midPGreater: number;
  readonly midPLess: number;
  /** sum of the chances of all outcomes no likelier than this one ("minimum likelihood"); doubling a tail would differ */
  readonly pTwoSided: number;
}

/** Compares the rates of two counts; `against` is the ratio to be doubted, default 1. Whole counts only. */
export function compareRates(
  first: Count,
  second: Count,
  {level = 0.9, against = 1}: {readonly level?: number; readonly against?: number} = {},
): RateComparison {
  requireLevel(level, "compareRates");
  for (const {count, exposure} of [first, second]) {
    if (!(Number.isInteger(count) && count >= 0))
      throw new RangeError(`compareRates requires whole counts >= 0, got ${count}`);
    if (!(exposure > 0 && exposure < Infinity))
      throw new RangeError(`compareRates requires a finite exposure > 0, got ${exposure}`);
  }
  if (!(against > 0 && against < Infinity)) throw new RangeError(`compareRates requires a ratio > 0, got ${against}`);
  const n = first.count + second.count;
  const share = (against * first.exposure) / (against * first.exposure + second.exposure);
  const chances = binomial(n, share);
  const x = first.count;
  const own = chances[x]!;
  let above = 0;
  let below = 0;
  let unlikely = 0;
  // equal chances may differ in their last digits; R's poisson.test allows the same 1e-7
  for (let i = 0; i <= n; i++) {
    if (i > x) above += chances[i]!;
    if (i < x) below += chances[i]!;
    if (chances[i]! <= own * (1 + 1e-7)) unlikely += chances[i]!;
  }
  const tail = (1 - level) / 2;
  const odds = (p: number): number => ((p / (1 - p)) * second.exposure) / first.exposure;
  return {
    ratio: second.count === 0 ? null : first.count / first.exposure / (second.count / second.exposure),
    limits: [
      x === 0 ? 0 : odds(betaQuantile(tail, x, n - x + 1)),
      second.count === 0 ? null : odds(betaQuantile(1 - tail, x + 1, n - x)),
    ],
    pGreater: Math.min(1, above + own),
    pLess: Math.min(1, below + own),
    midPGreater: above + own / 2,
    midPLess: below + own / 2,
    pTwoSided: Math.min(1, unlikely),
  };
}

/** Chances of 0 .. n successes. */
function binomial(n: number, p: number): Float64Array {
  const total = logGamma(n + 1);
  return Float64Array.from({length: n + 1}, (_, i) =>
    Math.exp(total - logGamma(i + 1) - logGamma(n - i + 1) + i * Math.log(p) + (n - i) * Math.log1p(-p)),
  );
}
