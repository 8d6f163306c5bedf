/**
 * Power-law process of repairable systems: mean number of failures by age t = (t / scale)^shape, intensity
 * λ·shape·t^(shape - 1) with λ = scale^(-shape) (Crow, in Reliability and Biometry, SIAM 1974, 379-410; MIL-HDBK-189).
 * Shape above 1: failing more often as the system ages. Minimal repair is assumed: a repair leaves it as old as it was.
 */
import {chiSquareQuantile, requireLevel, twoSidedZ} from "./gammaFunctions.ts";
import type {RepairHistory} from "./repairHistory.ts";

export interface PowerLaw {
  readonly fitted: true;
  readonly shape: number;
  readonly scale: number;
  /** λ of the mean function λ·t^shape */
  readonly rate: number;
  /** Crow's bias-corrected shape: (n - 1)/n of it when ended by the clock, (n - 2)/n when by a failure */
  readonly unbiasedShape: number;
  readonly events: number;
  readonly systems: number;
  readonly logLikelihood: number;
  readonly level: number;
  /** exact (2n·shape/estimate is chi-square) when all systems were observed over one span from 0, else normal on the log */
  readonly shapeLimits: readonly [number, number];
  readonly limitsBy: "exact" | "normal";
  /** inverse observed information of (log λ, log shape) */
  readonly covariance: readonly [readonly [number, number], readonly [number, number]];
  readonly cautions: readonly string[];
}

export interface NoPowerLaw {
  readonly fitted: false;
  readonly sentence: string;
}

export function fitPowerLaw(
  history: RepairHistory,
  {level = 0.9, endedBy = "clock"}: {readonly level?: number; readonly endedBy?: "clock" | "failure"} = {},
): PowerLaw | NoPowerLaw {
  requireLevel(level, "fitPowerLaw");
  const {start, end, age, system} = history;
  const n = age.length;
  if (n < 2) return {fitted: false, sentence: `A trend needs at least two failures, got ${n}.`};
  if (age[0] === 0) return {fitted: false, sentence: "A failure at age 0 has no place in a power law."};
  // ages in units of the longest observation: λ then stays near the number of events
  const unit = Math.max(...end);
  const logs = age.reduce((sum, t) => sum + Math.log(t / unit), 0);
  const shape = solveShape(start, end, unit, n, logs);
  if (shape === null) {
    return {
      fitted: false,
      sentence: "All failures stand at the end of observation, so the trend can be as steep as one likes.",
    };
  }
  const moments = spanMoments(start, end, unit, shape);
  const rate = n / moments.zero;
  const logLikelihood = n * Math.log(rate) + n * Math.log(shape) + (shape - 1) * logs - n - n * Math.log(unit);
  // information of (log λ, log shape) at the maximum: Σ = λ·m0 = n, and so on
  const cross = rate * moments.one * shape;
  const second = n + rate * moments.two * shape * shape + (rate * moments.one - logs) * shape - n;
  const determinant = n * second - cross * cross;
  // λ in units of the ages themselves: log λ - shape·log unit
  const v = [
    [second / determinant, -cross / determinant],
    [-cross / determinant, n / determinant],
  ] as const;
  const turn = -shape * Math.log(unit);
  const covariance = [
    [v[0][0] + 2 * turn * v[0][1] + turn * turn * v[1][1], v[0][1] + turn * v[1][1]],
    [v[0][1] + turn * v[1][1], v[1][1]],
  ] as const;

  const alike = start.every((s) => s === 0) && end.every((e) => e === end[0]);
  const tail = (1 - level) / 2;
  const exactFreedom = endedBy === "clock" ? 2 * n : 2 * (n - 1);
  const exact = alike && (endedBy === "clock" || end.length === 1) && exactFreedom > 0;
  const reach = Math.exp(twoSidedZ(level) * Math.sqrt(v[1][1]));
  const cautions: string[] = [];
  if (n < 10) cautions.push(`A trend from ${n} failures is hardly more than a hint.`);
  if (system.every((i) => i === system[0]) && end.length > 1)
    cautions.push("All failures are of one system; the others had none.");
  return {
    fitted: true,
    shape,
    scale: unit * rate ** (-1 / shape),
    rate: rate * unit ** -shape,
    unbiasedShape: (shape * (n - (endedBy === "clock" ? 1 : 2))) / n,
    events: n,
    systems: end.length,
    logLikelihood,
    level,
    shapeLimits: exact
      ? [
          (shape * chiSquareQuantile(tail, exactFreedom)) / (2 * n),
          (shape * chiSquareQuantile(1 - tail, exactFreedom)) / (2 * n),
        ]
      : [shape / reach, shape * reach],
    limitsBy: exact ? "exact" : "normal",
    covariance,
    cautions,
  };
}

/** Failures per unit of age at age t > 0, with normal limits on its log. */
export function powerLawIntensity(
  {shape, rate, covariance, level}: PowerLaw,
  t: number,
): {intensity: number; limits: readonly [number, number]} {
  const intensity = rate * shape * t ** (shape - 1);
  const slope = 1 + shape * Math.log(t);
  const variance = covariance[0][0] + 2 * slope * covariance[0][1] + slope * slope * covariance[1][1];
  const reach = Math.exp(twoSidedZ(level) * Math.sqrt(variance));
  return {intensity, limits: [intensity / reach, intensity * reach]};
}

/** Σ over systems of [t^b]ₛᵉ, [t^b log t]ₛᵉ and [t^b log² t]ₛᵉ, t in units of the longest observation. */
function spanMoments(
  start: Float64Array,
  end: Float64Array,
  unit: number,
  b: number,
): {zero: number; one: number; two: number} {
  let zero = 0;
  let one = 0;
  let two = 0;
  for (let i = 0; i < end.length; i++) {
    for (const [edge, sign] of [
      [end[i]! / unit, 1],
      [start[i]! / unit, -1],
    ] as const) {
      if (edge === 0) continue;
      const power = sign * edge ** b;
      const log = Math.log(edge);
      zero += power;
      one += power * log;
      two += power * log * log;
    }
  }
  return {zero, one, two};
}

/** Root of n/b + Σ log t - n·m1(b)/m0(b), which falls in b: bracketed Newton. Null when it never reaches zero. */
function solveShape(start: Float64Array, end: Float64Array, unit: number, n: number, logs: number): number | null {
  const score = (b: number): {value: number; slope: number} => {
    const {zero, one, two} = spanMoments(start, end, unit, b);
    return {value: n / b + logs - (n * one) / zero, slope: -n / (b * b) - n * (two / zero - (one / zero) ** 2)};
  };
  let low = 1e-6;
  let high = 1;
  while (score(high).value > 0 && high < 1e6) high *= 2;
  if (score(high).value > 0) return null;
  let b = Math.min(high, Math.max(low, logs < 0 ? -n / logs : 1));
  for (let i = 0; i < 200; i++) {
    const {value, slope} = score(b);
    if (value > 0) low = b;
    else high = b;
    const step = -value / slope;
    const next = b + step > low && b + step < high ? b + step : (low + high) / 2;
    if (Math.abs(next - b) < 1e-14 * b) return next;
    b = next;
  }
  return b;
}
