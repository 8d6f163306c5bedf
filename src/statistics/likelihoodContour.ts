/**
 * Joint likelihood region of the two parameters: all (location, log shape) whose log-likelihood is within half a
 * chi-square quantile of the maximum. Two degrees of freedom for a joint region; one for the region whose extremes are the
 * likelihood-ratio limits of any single figure (the profile limit of g is the extreme of g over that region).
 *
 * Traced as a radius per direction around the maximum, in coordinates where the region is a circle if the likelihood is
 * normal; the regions of these families are star-shaped there. A direction in which the likelihood never falls far enough
 * has no end: its radius stops at a bound and `open` says so.
 */
import {chiSquareQuantile, requireLevel} from "./gammaFunctions.ts";
import {profiler} from "./profileLimits.ts";
import type {LifeData, LifeFit} from "./types.ts";

export interface ContourOptions {
  /** default 0.9 */
  readonly level?: number;
  /** default 2, a joint region */
  readonly degreesOfFreedom?: 1 | 2;
  /** directions; default 90 */
  readonly points?: number;
}

export interface LikelihoodContour {
  readonly level: number;
  readonly location: Float64Array;
  readonly logShape: Float64Array;
  /** exp(location): Weibull scale, or the median of lognormal and loglogistic */
  readonly scale: Float64Array;
  /** Weibull shape, or 1 / spread */
  readonly shape: Float64Array;
  /** true when some direction has no end; the line there is a bound of the drawing, not of the region */
  readonly open: boolean;
}

/** Bound of the radius where a direction has no end, in units of the normal radius. */
const FARTHEST = 12;

/** Null when the shape was held: a line has no region. */
export function likelihoodContour(
  data: LifeData,
  fit: LifeFit,
  options: ContourOptions = {},
): LikelihoodContour | null {
  const {level = 0.9, degreesOfFreedom = 2, points = 90} = options;
  requireLevel(level, "likelihoodContour");
  const [[v11, v12], [, v22]] = fit.covariance;
  if (v22 === 0) return null;
  const {value, logShape} = profiler(data, fit);
  const drop = chiSquareQuantile(level, degreesOfFreedom);
  const l11 = Math.sqrt(v11);
  const l21 = v12 / l11;
  const l22 = Math.sqrt(v22 - l21 * l21);
  const location = new Float64Array(points);
  const shapes = new Float64Array(points);
  let open = false;
  let radius = Math.sqrt(drop);
  for (let i = 0; i < points; i++) {
    const angle = (2 * Math.PI * i) / points;
    const a = l11 * Math.cos(angle);
    const b = l21 * Math.cos(angle) + l22 * Math.sin(angle);
    const end = radiusTo(a, b, radius);
    if (end === null) open = true;
    const r = end ?? FARTHEST * Math.sqrt(drop);
    location[i] = fit.location + r * a;
    shapes[i] = logShape + r * b;
    radius = end ?? Math.sqrt(drop);
  }
  return {level, location, logShape: shapes, scale: location.map(Math.exp), shape: shapes.map(Math.exp), open};

  /** Radius along (a, b) at which 2·drop is reached: Newton on its root, bracketed. */
  function radiusTo(a: number, b: number, start: number): number | null {
    const target = Math.sqrt(drop);
    let low = 0;
    let high = Infinity;
    let r = start;
    for (let i = 0; i < 60; i++) {
      const {value: v, gradient} = value(fit.location + r * a, logShape + r * b);
      const fallen = Math.sqrt(Math.max(0, 2 * (fit.logLikelihood - v)));
      const slope = -(gradient[0]! * a + gradient[1]! * b) / fallen;
      if (Math.abs(fallen - target) < 1e-9) return r;
      if (fallen < target) low = r;
      else high = r;
      let next = r + (target - fallen) / slope;
      if (!(next > low && next < high)) next = high < Infinity ? (low + high) / 2 : 2 * r;
      if (next > FARTHEST * target) {
        if (low >= FARTHEST * target * 0.99) return null;
        next = FARTHEST * target;
      }
      if (high - low < 1e-12 * high) return r;
      r = next;
    }
    return high < Infinity ? (low + high) / 2 : null;
  }
}
