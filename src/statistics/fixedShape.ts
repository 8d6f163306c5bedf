/**
 * What few or no failures still say when the shape is taken as known: (age / scale) ** shape is then a unit exponential, and
 * the sum of age ** shape over all lives has exact chi-square limits (Meeker & Escobar, Statistical Methods for
 * Reliability Data, 1998, section 8.5). Exact for lives that end at a planned age, and then slightly safe.
 */
import {chiSquareQuantile, gammaQuantile, requireLevel} from "./gammaFunctions.ts";
import type {LifeData} from "./types.ts";

export interface FixedShapeBound {
  readonly shape: number;
  readonly failures: number;
  /** one-sided lower limit of the scale at `confidence`; with quantile() and survival() it bounds every age and reliability */
  readonly scale: number;
  readonly confidence: number;
  readonly cautions: readonly string[];
}

/**
 * One-sided lower limit of the Weibull scale with the shape held: (2·Σ t^shape / chi-square(confidence, 2r + 2))^(1/shape).
 * No failures: (Σ t^shape / -log(1 - confidence))^(1/shape). Interval failures count at their upper age, as if they had
 * lasted until found, with a caution. Null when no age has been lived.
 */
export function fixedShapeBound(
  data: LifeData,
  {shape, confidence}: {readonly shape: number; readonly confidence: number},
): FixedShapeBound | null {
  requireLevel(confidence, "fixedShapeBound");
  if (!(shape > 0 && shape < Infinity))
    throw new RangeError(`fixedShapeBound requires a finite shape > 0, got ${shape}`);
  let oldest = 0;
  const end = (i: number): number => (data.upper[i]! < Infinity ? data.upper[i]! : data.lower[i]!);
  for (let i = 0; i < data.lower.length; i++) if (data.weight[i]! > 0) oldest = Math.max(oldest, end(i));
  if (oldest === 0) return null;
  let total = 0;
  let failures = 0;
  let found = 0;
  for (let i = 0; i < data.lower.length; i++) {
    const w = data.weight[i]!;
    total += w * ((end(i) / oldest) ** shape - (data.entry[i]! / oldest) ** shape);
    if (data.upper[i]! < Infinity) failures += w;
    if (data.upper[i]! < Infinity && data.upper[i]! > data.lower[i]!) found += w;
  }
  if (!(total > 0)) return null;
  const cautions = [`The shape is taken to be ${shape}, not estimated; the bound is only as good as that.`];
  if (found > 0)
    cautions.push(
      `${Number(found.toPrecision(4))} failures found at a look count up to that look, which makes the bound too high.`,
    );
  const scale = oldest * (total / gammaQuantile(confidence, failures + 1)) ** (1 / shape);
  return {shape, failures, scale, confidence, cautions};
}

/** Lives without a failure that show a reliability at a confidence: log(1 - confidence) / log(reliability), rounded up. */
export function successRunCount({
  reliability,
  confidence,
}: {
  readonly reliability: number;
  readonly confidence: number;
}): number {
  requireLevel(confidence, "successRunCount");
  requireLevel(reliability, "successRunCount (as reliability)");
  const exact = Math.log1p(-confidence) / Math.log(reliability);
  // a whole number that rounding lifted by its last digit is still that number
  return Math.ceil(exact - 1e-9 * exact);
}

/** Reliability shown at a confidence by `lives` that all survived: (1 - confidence)^(1 / lives). */
export function successRunReliability({
  lives,
  confidence,
}: {
  readonly lives: number;
  readonly confidence: number;
}): number {
  requireLevel(confidence, "successRunReliability");
  if (!(lives > 0)) throw new RangeError(`successRunReliability requires lives > 0, got ${lives}`);
  return Math.exp(Math.log1p(-confidence) / lives);
}

/**
 * Two-sided limits of a constant mean time between failures, exposure / chi-square quantiles (Epstein & Sobel, JASA 48
 * (1953) 486-502). Ended by the clock: 2r + 2 degrees of freedom below, 2r above. Ended by the last failure: 2r both.
 */
export function meanTimeLimits(
  {
    failures,
    exposure,
    endedBy = "clock",
  }: {readonly failures: number; readonly exposure: number; readonly endedBy?: "clock" | "failure"},
  level: number,
): readonly [lower: number, upper: number | null] {
  requireLevel(level, "meanTimeLimits");
  if (!(failures >= 0 && exposure > 0)) {
    throw new RangeError(`meanTimeLimits requires failures >= 0 and exposure > 0, got ${failures} and ${exposure}`);
  }
  if (endedBy === "failure" && failures === 0)
    throw new RangeError("meanTimeLimits ended by a failure requires a failure, got 0");
  const tail = (1 - level) / 2;
  const below = 2 * failures + (endedBy === "clock" ? 2 : 0);
  return [
    (2 * exposure) / chiSquareQuantile(1 - tail, below),
    failures === 0 ? null : (2 * exposure) / chiSquareQuantile(tail, 2 * failures),
  ];
}
