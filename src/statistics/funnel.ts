/**
 * Many groups against their common rate: funnel limits and control of false discoveries.
 */
import {gammaQuantile, requireLevel} from "./gammaFunctions.ts";
import gammainc from "@stdlib/math-base-special-gammainc";
import type {Count} from "./comparePoisson.ts";

/**
 * Rates between which a count in `exposure` should lie with the given chance when its true rate is `rate` (Spiegelhalter,
 * Statistics in Medicine 24 (2005) 1185-1202), from interpolated Poisson quantiles: the mean of the gamma quantiles that
 * bracket the discrete ones, so that the funnel is smooth.
 */
export function funnelLimits(rate: number, exposure: number, level: number): readonly [number, number] {
  requireLevel(level, "funnelLimits");
  if (!(rate >= 0 && exposure > 0))
    throw new RangeError(`funnelLimits requires rate >= 0 and exposure > 0, got ${rate} and ${exposure}`);
  const mean = rate * exposure;
  const tail = (1 - level) / 2;
  const low = poissonQuantile(mean, tail);
  const high = poissonQuantile(mean, 1 - tail);
  return [low / exposure, high / exposure];
}

/** Count at which the Poisson distribution function reaches p, interpolated between whole counts; 0 below the first. */
function poissonQuantile(mean: number, p: number): number {
  if (mean === 0) return 0;
  const cdf = (k: number): number => (k < 0 ? 0 : gammainc(mean, k + 1, true, true));
  let k = Math.max(0, Math.floor(gammaQuantile(p, Math.max(mean, 0.5))));
  while (cdf(k) < p) k++;
  while (k > 0 && cdf(k - 1) >= p) k--;
  const below = cdf(k - 1);
  return k === 0 ? 0 : k - 1 + (p - below) / (cdf(k) - below);
}

/** p-value of a count against a known mean, twice the smaller tail, mid-p: the check of one point against a funnel. */
export function countAgainst({count, exposure}: Count, rate: number): number {
  return countAgainstMeans(count, [rate * exposure]);
}

/** The same against a mean that is known only by equally likely draws of it: the tails are averaged over them. */
export function countAgainstMeans(count: number, means: readonly number[]): number {
  let low = 0;
  let high = 0;
  for (const mean of means) {
    if (!(mean > 0)) {
      if (count === 0) {
        low += 0.5;
        high += 0.5;
      } else low += 1;
      continue;
    }
    const atMost = gammainc(mean, count + 1, true, true);
    const fewer = count === 0 ? 0 : gammainc(mean, count, true, true);
    low += (atMost + fewer) / 2;
    high += 1 - (atMost + fewer) / 2;
  }
  return Math.min(1, (2 * Math.min(low, high)) / means.length);
}

/**
 * Adjusted p-values (Benjamini & Hochberg, JRSS B 57 (1995) 289-300): calling a difference where the adjusted value is at most
 * q keeps the expected share of false calls at or below q.
 */
export function falseDiscovery(p: readonly number[]): number[] {
  if (p.some((value) => !(value >= 0 && value <= 1)))
    throw new RangeError(`falseDiscovery requires p-values in [0, 1], got ${p.join(", ")}`);
  const order = p.map((_, i) => i).sort((a, b) => p[b]! - p[a]!);
  const adjusted = new Array<number>(p.length);
  let least = 1;
  order.forEach((i, place) => {
    least = Math.min(least, (p[i]! * p.length) / (p.length - place));
    adjusted[i] = least;
  });
  return adjusted;
}
