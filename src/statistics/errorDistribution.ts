/**
 * The standard distributions behind the log-location-scale families: log T = location + spread · error.
 *
 * Each is given by the cumulative hazard H of the error z and the log of its hazard. Likelihoods need H only through
 * differences over a span of ages, so that is what is offered, formed without subtracting nearly equal numbers.
 * Results are written into a scratch array: these are the innermost calls of every fit.
 */
import {logNormalSurvival, normalHazard, normalQuantile} from "./normal.ts";
import type {Family} from "./types.ts";

export interface ErrorDistribution {
  /**
   * Over z0 < z1 (z0 may be -Infinity): out[0] = H(z1) - H(z0), out[1] and out[2] the same for H' and H'',
   * out[3] = H'(z0), out[4] = H''(z0).
   */
  span(z0: number, z1: number, out: Float64Array): void;
  /** out[0] = log h(z), out[1] and out[2] its first and second derivatives. */
  logHazard(z: number, out: Float64Array): void;
  /** H(z) */
  cumulativeHazard(z: number): number;
  /** z at which the fraction failed is p */
  quantile(p: number): number;
  /** z at which the cumulative hazard is h */
  ofHazard(h: number): number;
}

/** Smallest extreme value: T is Weibull. H(z) = exp(z) and all its derivatives are the same. */
export const extremeValue: ErrorDistribution = {
  span(z0, z1, out) {
    const h0 = Math.exp(z0);
    const difference = h0 > 0 ? h0 * Math.expm1(z1 - z0) : Math.exp(z1);
    out[0] = out[1] = out[2] = difference;
    out[3] = out[4] = h0;
  },
  logHazard(z, out) {
    out[0] = z;
    out[1] = 1;
    out[2] = 0;
  },
  cumulativeHazard: Math.exp,
  quantile: (p) => Math.log(-Math.log1p(-p)),
  ofHazard: Math.log,
};

const softplus = (z: number): number => (z > 0 ? z + Math.log1p(Math.exp(-z)) : Math.log1p(Math.exp(z)));
const logistic = (z: number): number => 1 / (1 + Math.exp(-z));

/** Logistic: T is loglogistic. H(z) = log(1 + exp z), H' = p, H'' = p(1 - p) with p the logistic cdf. */
const logisticError: ErrorDistribution = {
  span(z0, z1, out) {
    const p0 = logistic(z0);
    const p1 = logistic(z1);
    const q0 = logistic(-z0);
    const q1 = logistic(-z1);
    const width = z1 - z0;
    out[0] = width < 1 ? Math.log1p(p0 * Math.expm1(width)) : softplus(z1) - softplus(z0);
    const dp = -p1 * q0 * Math.expm1(-width);
    out[1] = dp;
    out[2] = dp * (q1 - p0);
    out[3] = p0;
    out[4] = p0 * q0;
  },
  logHazard(z, out) {
    const p = logistic(z);
    const q = logistic(-z);
    out[0] = -softplus(-z);
    out[1] = q;
    out[2] = -p * q;
  },
  cumulativeHazard: softplus,
  quantile: (p) => Math.log(p) - Math.log1p(-p),
  ofHazard: (h) => Math.log(Math.expm1(h)),
};

/** Nodes and weights of five-point Gauss-Legendre on [-1, 1] (Abramowitz & Stegun 25.4.30). */
const NODES = [0, 0.5384693101056831, -0.5384693101056831, 0.906179845938664, -0.906179845938664];
const WEIGHTS = [128 / 225, 0.47862867049936647, 0.47862867049936647, 0.23692688505618908, 0.23692688505618908];

/** φ/Φ(-z), the hazard m; m' = m(m - z), m'' = m((m - z)² + m(m - z) - 1) = m'·(2m - z) - m. */
const normalError: ErrorDistribution = {
  span(z0, z1, out) {
    const m0 = z0 === -Infinity ? 0 : normalHazard(z0);
    const s0 = z0 === -Infinity ? 0 : m0 * (m0 - z0);
    if (z1 - z0 < 0.1) {
      const half = (z1 - z0) / 2;
      let first = 0;
      let second = 0;
      let third = 0;
      for (let i = 0; i < 5; i++) {
        const z = z0 + half * (1 + NODES[i]!);
        const m = normalHazard(z);
        const slope = m * (m - z);
        first += WEIGHTS[i]! * m;
        second += WEIGHTS[i]! * slope;
        third += WEIGHTS[i]! * (slope * (2 * m - z) - m);
      }
      out[0] = half * first;
      out[1] = half * second;
      out[2] = half * third;
    } else {
      const m1 = normalHazard(z1);
      out[0] = (z0 === -Infinity ? 0 : logNormalSurvival(z0)) - logNormalSurvival(z1);
      out[1] = m1 - m0;
      out[2] = m1 * (m1 - z1) - s0;
    }
    out[3] = m0;
    out[4] = s0;
  },
  logHazard(z, out) {
    const m = normalHazard(z);
    // far below, m underflows while its log does not: log m = log φ(z) - log Φ(-z)
    out[0] = z < -30 ? -0.5 * z * z - 0.9189385332046728 : Math.log(m);
    out[1] = m - z;
    out[2] = m * (m - z) - 1;
  },
  cumulativeHazard: (z) => -logNormalSurvival(z),
  quantile: normalQuantile,
  ofHazard: (h) => (h < 0.5 ? normalQuantile(-Math.expm1(-h)) : -normalQuantile(Math.exp(-h))),
};

/** The error distribution of a family; exponential is Weibull with its shape held at 1. */
export function errorDistribution(family: Family): ErrorDistribution {
  if (family === "lognormal") return normalError;
  if (family === "loglogistic") return logisticError;
  return extremeValue;
}
