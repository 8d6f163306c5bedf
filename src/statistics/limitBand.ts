/**
 * Limits of a whole curve at once, for drawing: the age at each fraction failed, or the fraction failed at each age.
 *
 * By likelihood the limits at every point are the extremes over one region (likelihoodContour.ts with one degree of
 * freedom), found on its outline and sharpened by a parabola through the best three directions: good to 1e-4 of the
 * band's width, and as fast for sixty points as for one. By normal approximation as in lifeLimits.ts.
 */
import {errorDistribution} from "./errorDistribution.ts";
import {requireLevel} from "./gammaFunctions.ts";
import {quantityLimits, type LimitOptions} from "./lifeLimits.ts";
import {likelihoodContour, type LikelihoodContour} from "./likelihoodContour.ts";
import {profiler} from "./profileLimits.ts";
import {ageQuantity, reliabilityQuantity, type Quantity} from "./quantity.ts";
import type {LifeData, LifeFit, Limits} from "./types.ts";

export interface BandPoint {
  /** fraction failed (ageBand) or age (reliabilityBand) */
  readonly at: number;
  readonly estimate: number;
  readonly limits: Limits;
}

/** Age limits at each fraction failed in (0, 1). */
export function ageBand(
  data: LifeData,
  fit: LifeFit,
  fractions: readonly number[],
  options: LimitOptions = {},
): BandPoint[] {
  const error = errorDistribution(fit.family);
  return band(data, fit, fractions, (p) => ageQuantity(p, error), options);
}

/** Reliability limits at each age > 0. */
export function reliabilityBand(
  data: LifeData,
  fit: LifeFit,
  ages: readonly number[],
  options: LimitOptions = {},
): BandPoint[] {
  const error = errorDistribution(fit.family);
  return band(data, fit, ages, (age) => reliabilityQuantity(age, error), options);
}

function band(
  data: LifeData,
  fit: LifeFit,
  points: readonly number[],
  quantityAt: (at: number) => Quantity,
  options: LimitOptions,
): BandPoint[] {
  const {level = 0.9, by = "likelihood"} = options;
  requireLevel(level, "band");
  const contour = by === "likelihood" ? likelihoodContour(data, fit, {level, degreesOfFreedom: 1, points: 120}) : null;
  const profile = profiler(data, fit);
  return points.map((at) => {
    const quantity = quantityAt(at);
    if (contour === null || contour.open) {
      // a held shape, another method, or a region without an end: point by point
      const {estimate, limits} = quantityLimits(profile, quantity, options);
      return {at, estimate, limits};
    }
    const estimate = quantity.report(quantity.of(fit.location, -Math.log(fit.spread)));
    const low = quantity.report(extreme(contour, quantity, -1));
    const high = quantity.report(extreme(contour, quantity, 1));
    return {at, estimate, limits: quantity.falling ? [high, low] : [low, high]};
  });
}

function extreme({location, logShape}: LikelihoodContour, quantity: Quantity, side: -1 | 1): number {
  const n = location.length;
  let best = 0;
  const psi = location.map((value, i) => side * quantity.of(value, logShape[i]!));
  psi.forEach((value, i) => {
    if (value > psi[best]!) best = i;
  });
  const middle = psi[best]!;
  const left = psi[(best + n - 1) % n]!;
  const right = psi[(best + 1) % n]!;
  const bend = left - 2 * middle + right;
  return side * (bend < 0 ? middle - (right - left) ** 2 / (8 * bend) : middle);
}
