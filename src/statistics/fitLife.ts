/**
 * Maximum-likelihood fit of one life distribution: Newton on (location, log shape) with analytic derivatives, after a
 * check that a maximum exists and with a check that one was reached. Never NaN: a fit, or a reason in words.
 */
import {cholesky, inverse} from "./cholesky.ts";
import {errorDistribution, type ErrorDistribution} from "./errorDistribution.ts";
import {mayHaveSeveralMaxima, mayRiseTowardZeroShape, refusal} from "./existence.ts";
import {evaluate, likelihoodRows, type LikelihoodRows} from "./likelihood.ts";
import {countLives} from "./lifeData.ts";
import {maximise, type Maximum} from "./maximise.ts";
import type {Family, FitOutcome, LifeData, LifeFit, NoFit, NoFitReason} from "./types.ts";

export interface FitOptions {
  /** default weibull */
  readonly family?: Family | undefined;
  /** hold the shape (1 / spread) at this value */
  readonly shape?: number | undefined;
}

/** Log shapes outside these are a border, not an estimate: 1e-4 and 5e8. */
const LOG_SHAPE: readonly [number, number] = [-9.2, 20];
const ANYWHERE: readonly [number, number] = [-Infinity, Infinity];
/** A shape so close to 0 that the likelihood has reached its limit there. */
const NO_SHAPE = -9;

/**
 * Fits `data` (see lifeData) by maximum likelihood.
 *
 * `family` weibull (default), exponential, lognormal or loglogistic; `shape` holds the Weibull shape (for the others
 * 1 / spread) at a value. Covariance is the inverse observed information of (location, -log spread), which for Weibull
 * is (log scale, log shape). AICc counts lives, not failures, and is Infinity when there are too few of them.
 *
 * @example fitLife(lifeData({failed: [54, 187, 216], suspended: [500, 500]}))
 */
export function fitLife(data: LifeData, {family = "weibull", shape}: FitOptions = {}): FitOutcome {
  if (shape !== undefined && !(shape > 0 && shape < Infinity)) {
    throw new RangeError(`fitLife requires a finite shape > 0, got ${shape}`);
  }
  const held = family === "exponential" ? 1 : (shape ?? null);
  if (family === "exponential" && shape !== undefined && shape !== 1) {
    throw new RangeError(`fitLife holds the shape of an exponential at 1, got ${shape}`);
  }
  const {lives, failures} = countLives(data);
  const none = (reason: NoFitReason, sentence: string): NoFit => ({
    fitted: false,
    family,
    reason,
    sentence,
    lives,
    failures,
  });
  const refused = refusal(data, held === null);
  if (refused) return none(refused.reason, refused.sentence);

  const rows = likelihoodRows(data);
  const error = errorDistribution(family);
  const best = held === null ? climbFree(rows, error, data) : climb(rows, error, Math.log(held), true);
  if (best.left >= 0) {
    return best.theta[1]! > 0 ? none("failures at one age", STEP) : none("maximum at the border", BORDER);
  }
  if (held === null && mayRiseTowardZeroShape(data)) {
    const border = climb(rows, error, NO_SHAPE, true);
    if (border.at.value >= best.at.value - 1e-7) return none("maximum at the border", BORDER);
  }
  if (!best.converged) {
    return none("not converged", `The likelihood did not settle on a maximum within ${best.iterations} iterations.`);
  }
  const fit = report(best, {family, lives, failures, held: held !== null, fixedShape: shape ?? null});
  const figures = [Math.exp(fit.location), fit.spread, fit.covariance[0][0], fit.covariance[1][1]];
  return figures.every(Number.isFinite)
    ? fit
    : none("not converged", "The fit left the range of numbers a computer keeps.");
}

const BORDER =
  "The likelihood keeps rising toward a shape of 0 (an ever falling hazard), so these lives do not fix a life distribution.";

const STEP =
  "The failures stand so close together that the shape grows without bound; they cannot show how lives spread.";

/** Newton from the lives' own starting point, with the log shape held or free. */
function climb(rows: LikelihoodRows, error: ErrorDistribution, logShape: number, hold: boolean): Maximum {
  const start = [startLocation(rows, logShape), logShape];
  const scratch = new Float64Array(5);
  return maximise((theta, out) => evaluate(rows, error, theta, out, scratch), start, {
    fixed: [false, hold],
    maxStep: [4 / Math.exp(logShape), 1],
    range: [ANYWHERE, hold ? ANYWHERE : LOG_SHAPE],
  });
}

function climbFree(rows: LikelihoodRows, error: ErrorDistribution, data: LifeData): Maximum {
  const guess = startLogShape(rows);
  let best = climb(rows, error, guess, false);
  const steady = best.converged && best.left < 0;
  if (steady && !mayHaveSeveralMaxima(data)) return best;
  const others = steady ? [guess - 1, guess + 1] : [-1, 0, 1, 2, 3, 4];
  for (const logShape of others) {
    const other = climb(rows, error, logShape, false);
    if (other.converged && (!best.converged || other.at.value > best.at.value + 1e-9)) best = other;
  }
  return best;
}

const typical = (rows: LikelihoodRows, i: number): number =>
  rows.logLower[i] === -Infinity
    ? rows.logUpper[i]! - Math.LN2
    : Math.log((Math.exp(rows.logLower[i]!) + Math.exp(rows.logUpper[i]!)) / 2);

/** Spread of the logs of failure ages, as if complete: log age of a Weibull has standard deviation π / (√6 · shape). */
function startLogShape(rows: LikelihoodRows): number {
  let w = 0;
  let mean = 0;
  let squares = 0;
  for (let i = 0; i < rows.n; i++) {
    if (rows.kind[i] === 0) continue;
    const weight = rows.weight[i]!;
    const step = typical(rows, i) - mean;
    w += weight;
    mean += (weight / w) * step;
    squares += weight * step * (typical(rows, i) - mean);
  }
  const deviation = Math.sqrt(squares / w);
  if (!(deviation > 0)) return Math.log(2);
  return Math.min(9, Math.max(-2, Math.log(Math.PI / Math.sqrt(6) / deviation)));
}

/** Location that balances failures and cumulative hazard of a Weibull of this shape: Σ H = failures. */
function startLocation(rows: LikelihoodRows, logShape: number): number {
  const k = Math.exp(logShape);
  let top = -Infinity;
  for (let i = 0; i < rows.n; i++) {
    const age = rows.kind[i] === 0 ? rows.logLower[i]! : typical(rows, i);
    top = Math.max(top, age);
  }
  let sum = 0;
  let failures = 0;
  for (let i = 0; i < rows.n; i++) {
    const failed = rows.kind[i] !== 0;
    const age = failed ? typical(rows, i) : rows.logLower[i]!;
    const entry = rows.logEntry[i]!;
    const reached = Math.exp(k * (age - top));
    sum += rows.weight[i]! * (entry === -Infinity ? reached : -reached * Math.expm1(k * (entry - age)));
    if (failed) failures += rows.weight[i]!;
  }
  return top + Math.log(sum / failures) / k;
}

interface Facts {
  readonly family: Family;
  readonly lives: number;
  readonly failures: number;
  readonly held: boolean;
  readonly fixedShape: number | null;
}

function report({theta, at, iterations}: Maximum, {family, lives, failures, held, fixedShape}: Facts): LifeFit {
  const location = theta[0]!;
  const kappa = theta[1]!;
  const weibull = family === "weibull" || family === "exponential";
  const parameters = held ? 1 : 2;
  const spare = lives - parameters - 1;
  const cautions: string[] = [];
  if (failures < 5) {
    cautions.push(
      `Only ${failures === 1 ? "one failure" : `${Number(failures.toPrecision(3))} failures`} among ${Number(lives.toPrecision(6))} lives: take the limits, not the estimate.`,
    );
  }
  return {
    fitted: true,
    family,
    shape: weibull ? (family === "exponential" ? 1 : (fixedShape ?? Math.exp(kappa))) : null,
    scale: weibull ? Math.exp(location) : null,
    location,
    spread: family === "exponential" ? 1 : fixedShape === null ? Math.exp(-kappa) : 1 / fixedShape,
    lives,
    failures,
    logLikelihood: at.value,
    aicc: spare > 0 ? -2 * at.value + 2 * parameters + (2 * parameters * (parameters + 1)) / spare : Infinity,
    covariance: covariance(at.hessian, held),
    fixedShape,
    iterations,
    cautions,
  };
}

function covariance(hessian: Float64Array, held: boolean): LifeFit["covariance"] {
  if (held) {
    return [
      [-1 / hessian[0]!, 0],
      [0, 0],
    ];
  }
  const information = hessian.map((value) => -value);
  const v = inverse(cholesky(information, 2)!, 2);
  return [
    [v[0]!, v[1]!],
    [v[2]!, v[3]!],
  ];
}
