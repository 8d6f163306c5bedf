/**
 * A life distribution as the decisions need it: a few functions of age.
 * Weibull modes that compete add their hazards; the part survives when every mode spares it.
 */
import type {Weibull} from "../statistics/types.ts";
import {restrictedMean} from "../statistics/weibull.ts";
import {integrate} from "./integrate.ts";

export interface Life {
  /** probability of living past `age` */
  survival(age: number): number;
  /** probability of having failed by `age`, accurate when it is tiny */
  failed(age: number): number;
  /** failures per unit of age among survivors */
  hazard(age: number): number;
  /** integral of the survival from 0 to `age`: the mean age reached when renewed at `age`; Infinity gives the mean life */
  restrictedMean(age: number): number;
  /** an age near the middle of the distribution, where a search may start */
  readonly typicalAge: number;
  /** true when the hazard never falls with age */
  readonly rising?: boolean;
}

/** Cumulative hazard of modes that compete, at an age >= 0; NaN below 0. */
export function cumulativeHazardOf(modes: readonly Weibull[], age: number): number {
  let sum = 0;
  for (const {shape, scale} of modes) sum += (age / scale) ** shape;
  return sum;
}

/**
 * The life of a part under one or several Weibull modes; a mode of shape 1 is chance.
 *
 * @param modes at least one, shape and scale > 0; a scale of Infinity is a mode that never strikes
 * @throws RangeError when there is no mode or one is no Weibull
 */
export function competingLife(modes: readonly Weibull[]): Life {
  if (modes.length === 0) throw new RangeError("competingLife requires at least one mode, got none");
  for (const {shape, scale} of modes) {
    if (!(shape > 0 && Number.isFinite(shape) && scale > 0)) {
      throw new RangeError(`competingLife requires shape > 0 and scale > 0, got shape ${shape} and scale ${scale}`);
    }
  }
  const survival = (age: number): number => Math.exp(-cumulativeHazardOf(modes, age));
  const typicalAge = ageAtHazard(modes, 1);
  // the integral is cut into pieces of equal cumulative hazard: each is smooth, none is long
  const ends = [0.001, 0.02, 0.1, 0.3, 0.6, 1, 1.6, 2.5, 4, 6, 10, 16, 25, 40].map((h) => ageAtHazard(modes, h));
  return {
    survival,
    failed: (age) => -Math.expm1(-cumulativeHazardOf(modes, age)),
    hazard: (age) => {
      let sum = 0;
      for (const {shape, scale} of modes) {
        if (scale !== Infinity) sum += (shape / scale) * (age / scale) ** (shape - 1);
      }
      return sum;
    },
    restrictedMean: (age) => {
      if (!(age >= 0)) return NaN;
      const only = modes[0]!;
      if (modes.length === 1 && only.scale < Infinity) return restrictedMean(age, only);
      let sum = 0;
      let from = 0;
      for (const end of ends) {
        const to = Math.min(end, age);
        if (to > from) sum += integrate(survival, from, to);
        from = end;
        if (end >= age) break;
      }
      return sum;
    },
    typicalAge,
    rising: modes.every(({shape}) => shape >= 1),
  };
}

/** Age at which the cumulative hazard of competing modes reaches `target` > 0; Infinity when no mode ever strikes. */
export function ageAtHazard(modes: readonly Weibull[], target: number): number {
  let high = Infinity;
  for (const {shape, scale} of modes) high = Math.min(high, scale * target ** (1 / shape));
  if (modes.length === 1 || high === Infinity) return high;
  // with every mode at most `target` at `high`, the sum reaches it there or before
  let low = 0;
  for (let step = 0; step < 200 && high - low > 1e-15 * high; step++) {
    const middle = (low + high) / 2;
    if (cumulativeHazardOf(modes, middle) < target) low = middle;
    else high = middle;
  }
  return high;
}
