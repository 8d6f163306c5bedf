/**
 * Limits of a whole curve at once, for drawing: the age at each fraction failed, or the fraction failed at each age.
 *
 * By likelihood the limits at every point are the extremes over one region (likelihoodContour.ts with one degree of
 * freedom), found on its outline and sharpened by a parabola through the best three directions: good to 1e-4 of the
 * band's width, and as fast for sixty points as for one. Adjusted limits add the correction of a few points, interpolated. Other
 * methods go point by point as in lifeLimits.ts.
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

/** Points whose adjusted limits are computed; between them the correction, a smooth function, is interpolated. */
const ANCHORS = 11;

function band(
  data: LifeData,
  fit: LifeFit,
  points: readonly number[],
  quantityAt: (at: number) => Quantity,
  options: LimitOptions,
): BandPoint[] {
  const {level = 0.9, by = "likelihood"} = options;
  requireLevel(level, "band");
  const profile = profiler(data, fit);
  // a held shape, another method, or a region without an end: point by point
  const single = (at: number, method: LimitOptions = options): BandPoint => {
    const {estimate, limits} = quantityLimits(profile, quantityAt(at), method);
    return {at, estimate, limits};
  };
  const region = by === "likelihood" || (by === "adjusted" && points.length > 2 * ANCHORS);
  const contour = region ? likelihoodContour(data, fit, {level, degreesOfFreedom: 1, points: 120}) : null;
  if (contour === null || contour.open) return points.map((at) => single(at));

  const plain = points.map((at): BandPoint => {
    const quantity = quantityAt(at);
    const estimate = quantity.report(quantity.of(fit.location, -Math.log(fit.spread)));
    const low = quantity.report(extreme(contour, quantity, -1));
    const high = quantity.report(extreme(contour, quantity, 1));
    return {at, estimate, limits: quantity.falling ? [high, low] : [low, high]};
  });
  if (by === "likelihood") return plain;

  const last = points.length - 1;
  const anchors = Array.from({length: ANCHORS}, (_, a) => Math.round((a * last) / (ANCHORS - 1)));
  const exact = anchors.map((i) => single(points[i]!).limits);
  if (exact.some(([low, high]) => low === null || high === null)) return points.map((at) => single(at));
  // on the log of the limit, or of -log of it where it is a reliability, the correction changes slowly from point to point
  const falling = quantityAt(points[0]!).falling;
  const to = (value: number): number => Math.log(falling ? -Math.log(value) : value);
  const from = (value: number): number => (falling ? Math.exp(-Math.exp(value)) : Math.exp(value));
  const shifts = ([0, 1] as const).map((end) =>
    anchors.map((i, a) => to(exact[a]![end]!) - to(plain[i]!.limits[end]!)),
  );
  return plain.map(({at, estimate, limits}, i) => {
    let a = 0;
    while (a < ANCHORS - 2 && anchors[a + 1]! < i) a++;
    const [left, right] = [to(plain[anchors[a]!]!.estimate), to(plain[anchors[a + 1]!]!.estimate)];
    const share = right === left ? 0 : (to(estimate) - left) / (right - left);
    const shifted = ([0, 1] as const).map((end) => {
      const shift = shifts[end]![a]! + share * (shifts[end]![a + 1]! - shifts[end]![a]!);
      return from(to(limits[end]!) + shift);
    });
    return {at, estimate, limits: [shifted[0]!, shifted[1]!]};
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
