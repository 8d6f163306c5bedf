/**
 * Width of the normal priors of condition effects, from the data.
 *
 * The levels of factor f have effects a ~ N(0, τ_f²) around their common mean, the reference among them, so that no level is
 * favoured and the choice of reference changes nothing. What is estimated are the P differences β from the reference;
 * the mean is absorbed by the scale. Their prior precision is K/τ², K = I - 11ᵀ/(P + 1); for a covariate's slope K = 1. With
 * θ̂ the maximum of ℓ(θ) - Σ βᵀKβ/2τ_f² and A the negative Hessian of that sum there, Laplace's approximation of the
 * marginal likelihood is (Tierney & Kadane, JASA 81 (1986) 82-86; for variance components Breslow & Clayton, JASA 88
 * (1993) 9-25)
 *
 *     M(τ) = ℓ(θ̂) - Σ β̂ᵀKβ̂/2τ_f² - Σ P_f log τ_f - ½ log|A| + const,
 *
 * with log scale and log shape integrated over flat priors. A factor has two to six levels, and then M often has its
 * maximum at τ = 0 although effects exist: all cells would be called equal, with limits far too narrow. So the width has a
 * weak prior of its own, density ∝ τ·exp(-τ²/2s²): its factor τ is the boundary-avoiding penalty of Chung et al.
 * (Psychometrika 78 (2013) 685-709), which moves the estimate by about one standard error at most, and its normal tail
 * keeps τ from running off when every level differs. With s = SPREAD = 1 it expects conditions that typically differ by
 * a factor of two to four and does not rule out ten; that scale is common practice, without a source (of 0.5, 0.7 and 1
 * the last gave the most honest limits on few lives: npm run calibrate). M plus the log of that density is
 * maximised over log τ.
 *
 * Derivatives are exact: dθ̂/dlog τ_f = A⁻¹·2Kβ̂_f/τ_f², and log|A| moves with τ directly and through θ̂, the latter by a
 * difference of Hessians along dθ̂.
 */
import {cholesky, inverse, logDeterminant, solve} from "./cholesky.ts";
import type {ConditionDesign} from "./conditionDesign.ts";
import {evaluation, type Evaluation} from "./likelihood.ts";
import {maximise, type Maximum, type Objective} from "./maximise.ts";

/** Log widths stay inside: effects of 2 % to a factor of 20 are what a width can describe. */
export const LOG_WIDTH: readonly [number, number] = [Math.log(0.02), Math.log(3)];

export interface WidthPoint {
  readonly logWidths: readonly number[];
  /** penalised maximum at these widths */
  readonly inner: Maximum;
  /** M plus the log prior of the widths */
  readonly value: number;
  readonly gradient: readonly number[];
  /** dθ̂ / dlog τ_f, one row per factor */
  readonly pulls: readonly Float64Array[];
  /** A⁻¹ */
  readonly covariance: Float64Array;
}

/** Scale of the weak prior of a width. */
const SPREAD = 1;

/** Log density of the prior of a width, but for a constant. */
export function logWidthPrior(logWidth: number): number {
  return logWidth - Math.exp(2 * logWidth) / (2 * SPREAD * SPREAD);
}

/** Kβ of prior f at `effects` (all effects; others give 0). */
function centred({columns, priors}: ConditionDesign, effects: ArrayLike<number>, f: number): Float64Array {
  const {levels} = priors[f]!;
  let sum = 0;
  columns.forEach(({prior}, j) => {
    if (prior === f) sum += effects[j]!;
  });
  return Float64Array.from(columns, ({prior}, j) => (prior === f ? effects[j]! - (levels > 0 ? sum / levels : 0) : 0));
}

/** ℓ less the penalty of the effects, as an objective for `maximise`. */
function penalised(objective: Objective, design: ConditionDesign, logWidths: readonly number[]): Objective {
  const p = design.columns.length;
  const m = 2 + p;
  // K/τ², row by row
  const precision = new Float64Array(p * p);
  for (let l = 0; l < p; l++) {
    const unit = new Float64Array(p);
    unit[l] = 1;
    const f = design.columns[l]!.prior;
    centred(design, unit, f).forEach((value, j) => (precision[j * p + l] = value * Math.exp(-2 * logWidths[f]!)));
  }
  return (theta, out) => {
    objective(theta, out);
    for (let j = 0; j < p; j++) {
      let pull = 0;
      for (let l = 0; l < p; l++) {
        const b = precision[j * p + l]!;
        pull += b * theta[2 + l]!;
        out.hessian[(2 + j) * m + 2 + l]! -= b;
      }
      out.value -= (pull * theta[2 + j]!) / 2;
      out.gradient[2 + j]! -= pull;
    }
  };
}

const LOG_SHAPE: readonly [number, number] = [Math.log(0.02), Math.log(60)];

/** Solves the inner problem at given widths and differentiates M there; null when the inner maximum was not reached. */
export function widthPoint(
  objective: Objective,
  design: ConditionDesign,
  logWidths: readonly number[],
  start: ArrayLike<number>,
): WidthPoint | {readonly failed: Maximum} {
  const m = 2 + design.columns.length;
  const target = penalised(objective, design, logWidths);
  const inner = maximise(target, start, {
    close: 1e-8, // one more quadratic step is taken at that length: 1e-8 of a standard error is left
    maxStep: Array.from({length: m}, () => 1.5),
    range: Array.from({length: m}, (_, j) => (j === 1 ? LOG_SHAPE : ([-Infinity, Infinity] as const))),
  });
  if (!inner.converged) return {failed: inner};
  const information = inner.at.hessian.map((value) => -value);
  const factor = cholesky(information, m);
  if (!factor) return {failed: inner};
  const covariance = inverse(factor, m);
  const pulls: Float64Array[] = [];
  const scratch = evaluation(m);
  let value = inner.at.value - logDeterminant(factor, m) / 2;
  const gradient = design.priors.map(({columns, levels}, f) => {
    const width = Math.exp(logWidths[f]!);
    const effects = inner.theta.subarray(2);
    const shifted = centred(design, effects, f);
    let squares = 0;
    let trace = 0;
    const right = new Float64Array(m);
    design.columns.forEach(({prior}, j) => {
      if (prior !== f) return;
      squares += effects[j]! * shifted[j]!;
      right[2 + j] = (2 * shifted[j]!) / width ** 2;
      design.columns.forEach(({prior: other}, l) => {
        if (other !== f) return;
        const k = (j === l ? 1 : 0) - (levels > 0 ? 1 / levels : 0);
        trace += k * covariance[(2 + j) * m + 2 + l]!;
      });
    });
    const pull = solve(factor, m, right);
    pulls.push(pull);
    value += logWidthPrior(logWidths[f]!) - columns * logWidths[f]!;
    const direct = (squares + trace) / width ** 2 - columns;
    return direct + throughMaximum(target, inner, pull, covariance, scratch) + 1 - (width / SPREAD) ** 2;
  });
  return {logWidths, inner, value, gradient, pulls, covariance};
}

/** -½ tr(A⁻¹ · dA along `pull`), A = -ℓ'' + const. */
function throughMaximum(
  objective: Objective,
  {theta, at}: Maximum,
  pull: Float64Array,
  covariance: Float64Array,
  there: Evaluation,
): number {
  const m = theta.length;
  let size = 0;
  for (let j = 0; j < m; j++) size = Math.max(size, Math.abs(pull[j]!) / Math.sqrt(covariance[j * m + j]!));
  if (!(size > 1e-8)) return 0;
  const step = 1e-3 / size;
  objective(
    theta.map((value, j) => value + step * pull[j]!),
    there,
  );
  let trace = 0;
  for (let j = 0; j < m; j++) {
    for (let l = 0; l < m; l++)
      trace += (covariance[j * m + l]! * (there.hessian[j * m + l]! - at.hessian[j * m + l]!)) / step;
  }
  return trace / 2;
}

export interface Widths {
  readonly at: WidthPoint;
  /** covariance of the log widths, from the curvature of M; none has a standard error above 1 */
  readonly covariance: Float64Array;
  readonly settled: boolean;
}

/** BFGS on the log widths, inside their bounds, each inner maximum started from the last. */
export function estimateWidths(
  objective: Objective,
  design: ConditionDesign,
  start: ArrayLike<number>,
): Widths | {readonly failed: Maximum} {
  const f = design.priors.length;
  const first = widthPoint(
    objective,
    design,
    design.priors.map(() => Math.log(0.4)),
    start,
  );
  if ("failed" in first) return first;
  let here = first;
  let settled = f === 0;
  // where the data are strong M is close to -P·log τ - |β|²/2τ², of curvature 2·P at its top; prior and shrinkage soften it
  let metric: Float64Array = Float64Array.from({length: f * f}, (_, i) =>
    i % (f + 1) === 0 ? 1 / (1.5 * design.priors[i % f]!.columns + 1) : 0,
  );
  for (let iteration = 0; iteration < 25 && !settled; iteration++) {
    const step = towards(metric, here);
    const longest = Math.max(...step.map(Math.abs));
    if (longest < 1e-3) settled = true;
    let length = Math.min(1, 1.2 / longest);
    let next: WidthPoint | null = null;
    for (let halving = 0; halving < 8 && !settled; halving++, length /= 3) {
      const logWidths = here.logWidths.map((value, i) => inside(value + length * step[i]!));
      const tried = widthPoint(objective, design, logWidths, foreseen(here, logWidths));
      if (!("failed" in tried) && tried.value > here.value - 1e-9) {
        next = tried;
        break;
      }
    }
    if (next === null) break;
    metric = updated(metric, here, next);
    here = next;
  }
  return {at: here, covariance: widthCovariance(objective, design, here), settled};
}

const inside = (logWidth: number): number => Math.min(LOG_WIDTH[1], Math.max(LOG_WIDTH[0], logWidth));

/** Where the maximum at other widths should be, to first order. */
function foreseen({inner, logWidths: from, pulls}: WidthPoint, to: readonly number[]): Float64Array {
  return inner.theta.map((value, j) => to.reduce((sum, w, f) => sum + pulls[f]![j]! * (w - from[f]!), value));
}

/** Quasi-Newton step, with what would push a bound aside left out. */
function towards(metric: Float64Array, {gradient, logWidths}: WidthPoint): number[] {
  const f = gradient.length;
  const blocked = gradient.map(
    (g, i) => (g < 0 && logWidths[i]! <= LOG_WIDTH[0]) || (g > 0 && logWidths[i]! >= LOG_WIDTH[1]),
  );
  return gradient.map((_, i) => {
    if (blocked[i]) return 0;
    let sum = 0;
    for (let j = 0; j < f; j++) if (!blocked[j]) sum += metric[i * f + j]! * gradient[j]!;
    return sum;
  });
}

/** BFGS update of the inverse curvature (Nocedal & Wright, Numerical Optimization, 2006, eq. 6.17). */
function updated(metric: Float64Array, from: WidthPoint, to: WidthPoint): Float64Array {
  const f = from.gradient.length;
  const s = to.logWidths.map((value, i) => value - from.logWidths[i]!);
  const y = to.gradient.map((value, i) => from.gradient[i]! - value);
  const sy = s.reduce((sum, value, i) => sum + value * y[i]!, 0);
  if (!(sy > 1e-10)) return metric;
  const my = y.map((_, i) => y.reduce((sum, value, j) => sum + metric[i * f + j]! * value, 0));
  const ymy = y.reduce((sum, value, i) => sum + value * my[i]!, 0);
  return metric.map((value, index) => {
    const i = Math.floor(index / f);
    const j = index % f;
    return value + ((1 + ymy / sy) * s[i]! * s[j]! - s[i]! * my[j]! - my[i]! * s[j]!) / sy;
  });
}

function widthCovariance(objective: Objective, design: ConditionDesign, here: WidthPoint): Float64Array {
  const f = here.gradient.length;
  if (f === 0) return new Float64Array(0);
  const curvature = new Float64Array(f * f);
  for (let i = 0; i < f; i++) {
    const h = here.logWidths[i]! > 0 ? -0.1 : 0.1;
    const logWidths = here.logWidths.map((value, j) => (i === j ? value + h : value));
    const there = widthPoint(objective, design, logWidths, foreseen(here, logWidths));
    for (let j = 0; j < f; j++) {
      const slope = "failed" in there ? 0 : -(there.gradient[j]! - here.gradient[j]!) / h;
      curvature[i * f + j]! += slope / 2;
      curvature[j * f + i]! += slope / 2;
    }
  }
  for (let ridge = 0; ; ridge = ridge === 0 ? 0.1 : 2 * ridge) {
    const factor = cholesky(
      curvature.map((value, i) => (i % (f + 1) === 0 ? value + ridge : value)),
      f,
    );
    if (!factor) continue;
    const covariance = inverse(factor, f);
    if (here.gradient.every((_, i) => covariance[i * (f + 1)]! <= 1)) return covariance;
  }
}
