/**
 * Two-parameter Weibull life distribution, S(t) = exp(-(t / scale) ** shape).
 *
 * `shape` and `scale` always travel as one named object: both are positive numbers, and texts disagree on their
 * letters. `scale` and ages share the unit of the lives; `shape` has none. Tails go through log1p and expm1, and
 * what is conditional on having reached an age through differences of the cumulative hazard, so that neither a
 * 1e-18 failure fraction nor an age at which survival underflows loses its digits.
 *
 * One value: a number outside its domain in, NaN out.
 */
import gammainc from "@stdlib/math-base-special-gammainc";
import {logGamma} from "./gammaFunctions.ts";
import type {Weibull} from "./types.ts";

const valid = ({shape, scale}: Weibull): boolean => shape > 0 && scale > 0 && shape < Infinity && scale < Infinity;

/** H(age) = (age / scale) ** shape. */
export function cumulativeHazard(age: number, weibull: Weibull): number {
  if (!(age >= 0 && valid(weibull))) return NaN;
  return (age / weibull.scale) ** weibull.shape;
}

/** Fraction still unfailed at `age` >= 0. */
export function survival(age: number, weibull: Weibull): number {
  return Math.exp(-cumulativeHazard(age, weibull));
}

/** Fraction failed by `age`, precise when small. @example failureFraction(1e-6, {shape: 2, scale: 1000}) // 1e-18 */
export function failureFraction(age: number, weibull: Weibull): number {
  return -Math.expm1(-cumulativeHazard(age, weibull));
}

/** Failures per unit of age among those that have reached `age`; at age 0: 0, 1/scale or Infinity by the shape. */
export function hazard(age: number, weibull: Weibull): number {
  if (!(age >= 0 && valid(weibull))) return NaN;
  const {shape, scale} = weibull;
  return (shape / scale) * (age / scale) ** (shape - 1);
}

/** Density of life at `age`. */
export function density(age: number, weibull: Weibull): number {
  const s = survival(age, weibull);
  return s === 0 ? 0 : hazard(age, weibull) * s;
}

/**
 * Age by which a fraction `p` has failed; p = 0.1 is the B10 life.
 *
 * @param p fraction failed in [0, 1]; 1 gives Infinity, outside gives NaN
 * @returns age, in the unit of `scale`
 * @example quantile(0.1, {shape: 2, scale: 1000}) // ≈ 324.6
 */
export function quantile(p: number, weibull: Weibull): number {
  if (!(p >= 0 && p <= 1 && valid(weibull))) return NaN;
  return weibull.scale * (-Math.log1p(-p)) ** (1 / weibull.shape);
}

/** Age at which a fraction `s` still survives; the quantile of 1 - s, exact for s near 0. */
export function ageOfSurvival(s: number, weibull: Weibull): number {
  if (!(s >= 0 && s <= 1 && valid(weibull))) return NaN;
  return weibull.scale * (-Math.log(s)) ** (1 / weibull.shape);
}

/** Mean life, scale · Γ(1 + 1/shape). */
export function mean(weibull: Weibull): number {
  if (!valid(weibull)) return NaN;
  return weibull.scale * Math.exp(logGamma(1 + 1 / weibull.shape));
}

/** Standard deviation of life. */
export function standardDeviation(weibull: Weibull): number {
  if (!valid(weibull)) return NaN;
  const first = logGamma(1 + 1 / weibull.shape);
  const second = logGamma(1 + 2 / weibull.shape);
  return weibull.scale * Math.exp(first) * Math.sqrt(Math.expm1(second - 2 * first));
}

/**
 * Mean age reached by `age` when every part is stopped there: ∫₀^age S.
 *
 * = age·e^(-H)·(1 + H/(s+1) + H²/((s+1)(s+2)) + …) with s = 1/shape, the series of the lower incomplete gamma
 * function (Abramowitz & Stegun 6.5.29) with its power of H taken out, which neither overflows nor cancels.
 * Far above the scale: the mean less what is left beyond `age`.
 */
export function restrictedMean(age: number, weibull: Weibull): number {
  const h = cumulativeHazard(age, weibull);
  if (!(h > 0)) return h;
  const s = 1 / weibull.shape;
  if (h > s + 30) {
    const rest = Math.exp(-h) * meanResidualLife(age, weibull);
    return mean(weibull) - (rest > 0 ? rest : 0);
  }
  let term = 1;
  let sum = 1;
  for (let n = 1; n < 2000 && term > sum * 1e-17; n++) {
    term *= h / (s + n);
    sum += term;
  }
  return age * Math.exp(-h) * sum;
}

/** Chance that a part of age `age` survives the next `mission`; a difference of hazards, never a ratio of survivals. */
export function conditionalSurvival(
  {age, mission}: {readonly age: number; readonly mission: number},
  weibull: Weibull,
): number {
  const reached = cumulativeHazard(age, weibull);
  if (Number.isNaN(reached) || !(mission >= 0)) return NaN;
  if (age === 0) return survival(mission, weibull);
  return Math.exp(-reached * Math.expm1(weibull.shape * Math.log1p(mission / age)));
}

/** Further life by which a fraction `p` of the parts that have reached `age` has failed; p = 0.1 is the remaining B10. */
export function remainingQuantile(p: number, age: number, weibull: Weibull): number {
  const reached = cumulativeHazard(age, weibull);
  if (Number.isNaN(reached) || !(p >= 0 && p <= 1)) return NaN;
  if (reached === 0) return Math.max(0, quantile(p, weibull) - age);
  return age * Math.expm1(Math.log1p(-Math.log1p(-p) / reached) / weibull.shape);
}

/**
 * Mean further life of a part that has reached `age`: ∫ S beyond age, over S(age) = (scale/shape)·e^H·Γ(1/shape, H).
 * Beyond H = 1/shape + 1 by Legendre's continued fraction (Abramowitz & Stegun 6.5.31; evaluated after Lentz), in
 * which e^H cancels, so that it stays finite where S(age) underflows.
 */
export function meanResidualLife(age: number, weibull: Weibull): number {
  const h = cumulativeHazard(age, weibull);
  if (Number.isNaN(h)) return NaN;
  const s = 1 / weibull.shape;
  if (h === Infinity) return weibull.shape > 1 ? 0 : weibull.shape < 1 ? Infinity : weibull.scale;
  if (h > s + 1) return (age / weibull.shape) * upperGammaFraction(s, h);
  const whole = mean(weibull);
  return Math.exp(h) * (h === 0 ? whole : whole * gammainc(h, s, true, true));
}

/** e^x · x^(-s) · Γ(s, x) for x > s + 1. */
function upperGammaFraction(s: number, x: number): number {
  const tiny = 1e-300;
  let b = x + 1 - s;
  let c = 1 / tiny;
  let d = 1 / b;
  let value = d;
  for (let i = 1; i < 500; i++) {
    const a = -i * (i - s);
    b += 2;
    d = a * d + b;
    if (Math.abs(d) < tiny) d = tiny;
    c = b + a / c;
    if (Math.abs(c) < tiny) c = tiny;
    d = 1 / d;
    const factor = d * c;
    value *= factor;
    if (Math.abs(factor - 1) < 1e-16) break;
  }
  return value;
}
