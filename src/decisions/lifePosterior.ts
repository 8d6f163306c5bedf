/**
 * Parameter draws of a component's wear-out life, by condition.
 *
 * The likelihood is that of statistics/conditionLikelihood.ts: effective age u = Σ h_k · φ_k is Weibull. Effects have
 * normal priors of fixed widths, given by the caller. The log shape has one too: parts that erode, wear or tire have shapes
 * of 1.4 to 4.4 nine times in ten (AFWAL-TR-83-2079 and IEC 61649 speak of 1 to 4 for early wear-out, and trade practice
 * of 2 to 4 for erosion and fatigue, from memory; the spread is a planning guess). It weighs as much as five failures: it
 * fades as failures come in, and keeps three that happen to stand close together from passing for a law of nature.
 * Whether wear-out is *shown* is asked of the lives without it (ownShape.ts).
 *
 * Draws come from the normal approximation at the maximum, and with few failures, where that is poor, by importance
 * resampling against the likelihood itself (Rubin 1988; Gelman et al., Bayesian Data Analysis, 10.4; from memory).
 */
import {cholesky, inverse} from "../statistics/cholesky.ts";
import type {ConditionData} from "../statistics/conditionData.ts";
import {conditionDesign, type ConditionDesign} from "../statistics/conditionDesign.ts";
import {conditionObjective, conditionRows, logSpeeds, type ConditionRows} from "../statistics/conditionLikelihood.ts";
import {maximise} from "../statistics/maximise.ts";
import {seededRandom} from "../statistics/random.ts";

/** Mean and standard deviation of the log shape of a wear-out mode, before the data. */
export const SHAPE_PRIOR = {mean: Math.log(2.5), deviation: 0.35} as const;

/** Draws of the life in every cell: draw d has `shape[d]` and, in cell c, `scale[d * cells + c]`. */
export interface LifePosterior {
  readonly count: number;
  readonly cells: number;
  readonly shape: Float64Array;
  readonly scale: Float64Array;
  /** likeliest shape, and scale in every cell */
  readonly likeliest: {readonly shape: number; readonly scale: Float64Array};
  /** log ageing speed of each cell at the likeliest parameters */
  readonly speed: Float64Array;
}

export interface PosteriorOptions {
  /** prior width of the effects of each factor, by its name; one that is missing is taken as `WIDTH` */
  readonly widths: Readonly<Record<string, number>>;
  /** prior mean of the effect of each covariate, per unit; 0 where none is named */
  readonly centres?: Readonly<Record<string, number>>;
  readonly count: number;
  readonly seed: number;
  /** failures among the lives */
  readonly failures: number;
}

/** Width where none could be estimated: conditions differ by a factor of 1.5 or so. */
const WIDTH = 0.4;
/** From so many failures on the normal approximation is as good as the draws. */
const PLENTY = 40;
/** Proposals for each draw kept. */
const PROPOSALS = 2;
/** Proposals are this much wider than the normal approximation, and heavier in the tails (t with these degrees). */
const WIDER = 1.15;
const DEGREES = 7;

/** Null when the lives leave the scale without a maximum: nothing failed. */
export function lifePosterior(data: ConditionData, options: PosteriorOptions): LifePosterior | null {
  const design = conditionDesign(data);
  const rows = conditionRows(data, design);
  const m = 2 + design.columns.length;
  const precision = design.columns.map(({prior, name, level}) => {
    // the effect of a covariate is per standard deviation, its width per unit
    const unit = level === null ? (design.covariates.find((covariate) => covariate.name === name)?.deviation ?? 1) : 1;
    return 1 / ((options.widths[design.priors[prior]!.name] ?? WIDTH) * unit) ** 2;
  });
  const centre = design.columns.map(({name, level}) =>
    level === null
      ? (options.centres?.[name] ?? 0) *
        (design.covariates.find((covariate) => covariate.name === name)?.deviation ?? 1)
      : 0,
  );
  const likelihood = conditionObjective(rows);
  const best = maximise(
    (theta, out) => {
      likelihood(theta, out);
      const off = theta[1]! - SHAPE_PRIOR.mean;
      out.value -= 0.5 * (off / SHAPE_PRIOR.deviation) ** 2;
      out.gradient[1]! -= off / SHAPE_PRIOR.deviation ** 2;
      out.hessian[m + 1]! -= 1 / SHAPE_PRIOR.deviation ** 2;
      precision.forEach((weight, j) => {
        const effect = theta[2 + j]! - centre[j]!;
        out.value -= 0.5 * weight * effect * effect;
        out.gradient[2 + j]! -= weight * effect;
        out.hessian[(2 + j) * m + 2 + j]! -= weight;
      });
    },
    startAt(data, m, options.failures),
    {maxStep: Array.from({length: m}, () => 1.5), range: Array.from({length: m}, () => [-Infinity, Infinity] as const)},
  );
  if (!best.converged) return null;
  const factor = cholesky(
    best.at.hessian.map((value) => -value),
    m,
  );
  if (factor === null) return null;
  const spread = cholesky(inverse(factor, m), m);
  if (spread === null) return null;

  const thetas =
    options.failures >= PLENTY
      ? proposals(best.theta, spread, options.count, options.seed, null).thetas
      : resampled(rows, {mode: best.theta, spread, precision, centre}, options);
  const shape = new Float64Array(options.count);
  const scale = new Float64Array(options.count * design.cells);
  thetas.forEach((theta, d) => {
    shape[d] = Math.exp(theta[1]!);
    const speeds = logSpeeds(design, theta);
    for (let c = 0; c < design.cells; c++) scale[d * design.cells + c] = Math.exp(theta[0]! - speeds[c]!);
  });
  const speed = logSpeeds(design, best.theta);
  return {
    count: options.count,
    cells: design.cells,
    shape,
    scale,
    likeliest: {shape: Math.exp(best.theta[1]!), scale: speed.map((log) => Math.exp(best.theta[0]! - log))},
    speed,
  };
}

/** The scale at which the exposure would have brought the failures seen, were the shape that of the prior. */
function startAt({lower, upper, weight, entry}: ConditionData, m: number, failures: number): Float64Array {
  const shape = Math.exp(SHAPE_PRIOR.mean);
  let sum = 0;
  for (let i = 0; i < lower.length; i++) {
    const age = upper[i]! < Infinity ? 0.5 * (lower[i]! + upper[i]!) : lower[i]!;
    sum += weight[i]! * (age ** shape - entry[i]! ** shape);
  }
  const theta = new Float64Array(m);
  theta[0] = Math.log(Math.max(sum, 1) / Math.max(failures, 0.5)) / shape;
  theta[1] = SHAPE_PRIOR.mean;
  return theta;
}

/** Draws around a mode: normal, or multivariate t with their log densities up to a constant when `degrees` is given. */
function proposals(
  mode: Float64Array,
  spread: Float64Array,
  count: number,
  seed: number,
  degrees: number | null,
): {thetas: Float64Array[]; logDensity: Float64Array} {
  const m = mode.length;
  const random = seededRandom(seed);
  const thetas: Float64Array[] = [];
  const logDensity = new Float64Array(count);
  for (let d = 0; d < count; d++) {
    const normal = Float64Array.from({length: m}, () => random.normal());
    let stretch = 1;
    if (degrees !== null) {
      let chiSquare = 0;
      for (let i = 0; i < degrees; i++) chiSquare += random.normal() ** 2;
      stretch = WIDER * Math.sqrt(degrees / chiSquare);
      const squares = (stretch / WIDER) ** 2 * normal.reduce((sum, z) => sum + z * z, 0);
      logDensity[d] = -0.5 * (degrees + m) * Math.log1p(squares / degrees);
    }
    thetas.push(
      Float64Array.from(mode, (at, i) => {
        let value = at;
        for (let j = 0; j <= i; j++) value += stretch * spread[i * m + j]! * normal[j]!;
        return value;
      }),
    );
  }
  return {thetas, logDensity};
}

interface Target {
  readonly mode: Float64Array;
  /** lower Cholesky factor of the covariance at the mode */
  readonly spread: Float64Array;
  /** of each effect's prior, and its mean */
  readonly precision: readonly number[];
  readonly centre: readonly number[];
}

/** Draws by systematic resampling of weighted proposals. */
function resampled(rows: ConditionRows, target: Target, {count, seed}: PosteriorOptions): Float64Array[] {
  const tried = PROPOSALS * count;
  const {thetas, logDensity} = proposals(target.mode, target.spread, tried, seed, DEGREES);
  const value = logLikelihood(rows);
  const logWeights = thetas.map((theta, d) => {
    let log = value(theta) - 0.5 * ((theta[1]! - SHAPE_PRIOR.mean) / SHAPE_PRIOR.deviation) ** 2;
    target.precision.forEach((weight, j) => (log -= 0.5 * weight * (theta[2 + j]! - target.centre[j]!) ** 2));
    log -= logDensity[d]!;
    // a proposal far out may overflow: it has no weight
    return Number.isNaN(log) ? -Infinity : log;
  });
  const top = Math.max(...logWeights);
  if (!Number.isFinite(top)) return thetas.slice(0, count);
  const weights = logWeights.map((log) => Math.exp(log - top));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const kept: Float64Array[] = [];
  let passed = 0;
  let next = 0.5;
  for (let d = 0; d < tried && kept.length < count; d++) {
    passed += (weights[d]! / total) * count;
    while (next < passed && kept.length < count) {
      kept.push(thetas[d]!);
      next += 1;
    }
  }
  while (kept.length < count) kept.push(thetas[weights.indexOf(Math.max(...weights))]!);
  return kept;
}

/** The log-likelihood alone, without derivatives: what resampling asks for many times. */
function logLikelihood(rows: ConditionRows): (theta: Float64Array) => number {
  const {n, design, kind, weight, failedIn, start, cell, hours} = rows;
  const phi = new Float64Array(design.cells);
  const logHours = hours.map(Math.log);
  let logPhi: Float64Array = phi;
  /** log of the effective age at a point: 0 entry, 1 lower, 2 upper; -Infinity for age 0 */
  const logAge = (point: number): number => {
    const from = start[point]!;
    const to = start[point + 1]!;
    if (to === from) return -Infinity;
    // a life that has seen one condition only needs no sum, and no logarithm
    if (to === from + 1) return logHours[from]! + logPhi[cell[from]!]!;
    let u = 0;
    for (let q = from; q < to; q++) u += hours[q]! * phi[cell[q]!]!;
    return Math.log(u);
  };
  return (theta) => {
    const logScale = theta[0]!;
    const shape = Math.exp(theta[1]!);
    logPhi = logSpeeds(design as ConditionDesign, theta);
    for (let c = 0; c < phi.length; c++) phi[c] = Math.exp(logPhi[c]!);
    const hazardAt = (log: number): number => (log === -Infinity ? 0 : Math.exp(shape * (log - logScale)));
    let total = 0;
    for (let i = 0; i < n; i++) {
      const at = logAge(3 * i + 1);
      const low = hazardAt(at);
      let value = hazardAt(logAge(3 * i)) - low;
      if (kind[i] === 1) value += theta[1]! + (shape - 1) * (at - logScale) - logScale + logPhi[failedIn[i]!]!;
      else if (kind[i] === 2) {
        value += Math.log(Math.max(-Math.expm1(low - hazardAt(logAge(3 * i + 2))), 1e-300));
      }
      total += weight[i]! * value;
    }
    return total;
  };
}
