import {gammaQuantile, requireLevel} from "./gammaFunctions.ts";

/**
 * Exact two-sided limits of a Poisson mean, given `count` events (Garwood, Biometrika 28 (1936) 437-442):
 * half the chi-square quantiles of 2·count and 2·count + 2 degrees of freedom. Each end is a one-sided limit at
 * (1 + level) / 2. No events: the lower limit is 0.
 *
 * @example poissonLimits(3, 0.95) // ≈ [0.6187, 8.767]
 */
export function poissonLimits(count: number, level: number): readonly [lower: number, upper: number] {
  requireLevel(level, "poissonLimits");
  if (!(count >= 0 && count < Infinity)) throw new RangeError(`poissonLimits requires a count >= 0, got ${count}`);
  const tail = (1 - level) / 2;
  return [count === 0 ? 0 : gammaQuantile(tail, count), gammaQuantile(tail, count + 1, {upper: true})];
}

/**
 * Exact limits of a rate from `count` events in `exposure` (hours, runs ...); per unit of that exposure.
 * Exposure ended by the clock, not by an event. No exposure: the rate is unknown, limits 0 and Infinity.
 */
export function rateLimits(
  {count, exposure}: {readonly count: number; readonly exposure: number},
  level: number,
): readonly [lower: number, upper: number] {
  const [lower, upper] = poissonLimits(count, level);
  if (!(exposure >= 0 && exposure < Infinity)) {
    throw new RangeError(`rateLimits requires a finite exposure >= 0, got ${exposure}`);
  }
  return exposure === 0 ? [0, Infinity] : [lower / exposure, upper / exposure];
}
