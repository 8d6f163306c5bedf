/**
 * Life regression: log age = coefficients · covariates + spread · error, the accelerated-life model of all four families
 * (Meeker & Escobar, Statistical Methods for Reliability Data, 1998, chapter 17), by maximum likelihood.
 *
 * Columns are centred and scaled before Newton's method and put back afterwards, so that a temperature in kelvin beside
 * its product with a voltage costs no digits.
 */
import {cholesky, inverse} from "./cholesky.ts";
import {errorDistribution} from "./errorDistribution.ts";
import {fitLife} from "./fitLife.ts";
import {requireLevel, twoSidedZ} from "./gammaFunctions.ts";
import {evaluate, likelihoodRows} from "./likelihood.ts";
import {maximise} from "./maximise.ts";
import type {Family, LifeData, NoFit, NoFitReason} from "./types.ts";

export interface RegressionCovariate {
  readonly name: string;
  /** one value per life; finite */
  readonly values: ArrayLike<number>;
}

export interface RegressionFit {
  readonly fitted: true;
  readonly family: Family;
  /** intercept first */
  readonly names: readonly string[];
  readonly coefficients: readonly number[];
  readonly spread: number;
  readonly logLikelihood: number;
  /** of the fit without covariates, and twice the difference; degrees of freedom: names.length - 1 */
  readonly logLikelihoodAlone: number;
  readonly likelihoodRatio: number;
  readonly aicc: number;
  /** of (coefficients, log spread); zeros in the last row and column when the spread is held (exponential) */
  readonly covariance: readonly (readonly number[])[];
  readonly lives: number;
  readonly failures: number;
  readonly iterations: number;
}

/** Fits all covariates with an intercept; throws when a covariate is constant or follows from the others. */
export function fitRegression(
  data: LifeData,
  covariates: readonly RegressionCovariate[],
  {family = "weibull"}: {readonly family?: Family} = {},
): RegressionFit | NoFit {
  const n = data.lower.length;
  for (const {name, values} of covariates) {
    if (values.length !== n)
      throw new RangeError(`fitRegression requires ${n} values of ${name}, got ${values.length}`);
    if (!Array.from(values).every(Number.isFinite))
      throw new RangeError(`fitRegression requires finite values of ${name}`);
  }
  const alone = fitLife(data, {family});
  if (!alone.fitted) return alone;
  const {standard, back} = standardised(data, covariates);
  const columns = covariates.length + 1;
  const rows = likelihoodRows(data, {columns, values: standard});
  const error = errorDistribution(family);
  const held = family === "exponential";
  const start = [alone.location, ...covariates.map(() => 0), -Math.log(alone.spread)];
  const scratch = new Float64Array(5);
  const best = maximise((theta, out) => evaluate(rows, error, theta, out, scratch), start, {
    fixed: start.map((_, j) => held && j === columns),
    maxStep: start.map((_, j) => (j === columns ? 0.7 : 3 * alone.spread)),
  });
  const none = (reason: NoFitReason, sentence: string): NoFit => ({
    fitted: false,
    family,
    reason,
    sentence,
    lives: alone.lives,
    failures: alone.failures,
  });

  const m = columns + 1;
  const information = best.at.hessian.map((value) => -value);
  if (held)
    for (let j = 0; j < m; j++) information[j * m + columns] = information[columns * m + j] = j === columns ? 1 : 0;
  const factor = cholesky(information, m);
  const variance = factor && inverse(factor, m);
  const k = Math.exp(best.theta[columns]!);
  const runaway = covariates.findIndex((_, j) => !variance || variance[(j + 1) * (m + 1)]! * k * k > 1e4);
  if (runaway >= 0 || !variance) {
    const name = covariates[Math.max(0, runaway)]?.name ?? "the intercept";
    return none(
      "maximum at the border",
      `The effect of ${name} grows without bound: some of its values go with lives that did not fail at all, or separate them fully.`,
    );
  }
  if (!best.converged)
    return none("not converged", `The regression did not settle within ${best.iterations} iterations.`);

  const coefficients = Array.from({length: columns}, (_, j) => dot(back[j]!, best.theta));
  // κ = -log spread: its covariances with the coefficients change sign
  const covariance = Array.from({length: m}, (_, i) =>
    Array.from({length: m}, (_, j) => {
      if (held && (i === columns || j === columns)) return 0;
      if (i === columns && j === columns) return variance[columns * m + columns]!;
      if (i === columns || j === columns) return -cross(back[Math.min(i, j)]!, columns);
      return back[i]!.reduce((sum, a, p) => sum + a * cross(back[j]!, p), 0);
    }),
  );
  function cross(row: readonly number[], column: number): number {
    return row.reduce((sum, value, q) => sum + value * variance![q * m + column]!, 0);
  }
  const parameters = columns + (held ? 0 : 1);
  const spare = alone.lives - parameters - 1;
  return {
    fitted: true,
    family,
    names: ["intercept", ...covariates.map(({name}) => name)],
    coefficients,
    spread: held ? 1 : 1 / k,
    logLikelihood: best.at.value,
    logLikelihoodAlone: alone.logLikelihood,
    likelihoodRatio: Math.max(0, 2 * (best.at.value - alone.logLikelihood)),
    aicc: spare > 0 ? -2 * best.at.value + 2 * parameters + (2 * parameters * (parameters + 1)) / spare : Infinity,
    covariance,
    lives: alone.lives,
    failures: alone.failures,
    iterations: best.iterations,
  };
}

const dot = (row: readonly number[], theta: Float64Array): number => row.reduce((sum, a, j) => sum + a * theta[j]!, 0);

/**
 * Orthonormal columns (weighted Gram-Schmidt, run twice) spanning the intercept and the covariates, and the rows that turn
 * coefficients of these into coefficients of the given columns.
 */
function standardised(
  data: LifeData,
  covariates: readonly RegressionCovariate[],
): {standard: Float64Array; back: readonly (readonly number[])[]} {
  const n = data.lower.length;
  const {weight} = data;
  const total = weight.reduce((sum, w) => sum + w, 0);
  const inner = (a: Float64Array, b: Float64Array): number => {
    let sum = 0;
    for (let i = 0; i < n; i++) sum += weight[i]! * a[i]! * b[i]!;
    return sum / total;
  };
  const given = [new Float64Array(n).fill(1), ...covariates.map(({values}) => Float64Array.from(values))];
  const columns = given.length;
  const basis: Float64Array[] = [];
  // given[j] = Σ upper[i][j] · basis[i]
  const upper = given.map(() => new Array<number>(columns).fill(0));
  given.forEach((column, j) => {
    const rest = column.slice();
    const size = Math.sqrt(inner(column, column));
    for (let pass = 0; pass < 2; pass++) {
      basis.forEach((unit, i) => {
        const share = inner(unit, rest);
        upper[i]![j]! += share;
        for (let r = 0; r < n; r++) rest[r]! -= share * unit[r]!;
      });
    }
    const left = Math.sqrt(inner(rest, rest));
    if (!(left > 1e-9 * size)) {
      throw new RangeError(
        `fitRegression cannot tell ${covariates[j - 1]?.name} apart from the intercept and the covariates before it`,
      );
    }
    upper[j]![j] = left;
    basis.push(rest.map((value) => value / left));
  });
  // Σ_j b_j given[j] = Σ_i (Σ_j upper[i][j] b_j) basis[i]: b = upper⁻¹ · coefficients
  const back = given.map(() => new Array<number>(columns).fill(0));
  for (let c = 0; c < columns; c++) {
    for (let i = columns - 1; i >= 0; i--) {
      let sum = i === c ? 1 : 0;
      for (let j = i + 1; j < columns; j++) sum -= upper[i]![j]! * back[j]![c]!;
      back[i]![c] = sum / upper[i]![i]!;
    }
  }
  const standard = new Float64Array(n * columns);
  basis.forEach((unit, j) => unit.forEach((value, i) => (standard[i * columns + j] = value)));
  return {standard, back};
}

/** Age by which a fraction `p` fails at given covariates, with normal limits on log age. */
export function regressionAge(
  fit: RegressionFit,
  {p, at, level = 0.9}: {readonly p: number; readonly at: readonly number[]; readonly level?: number},
): {age: number; limits: readonly [number, number]; logError: number} {
  requireLevel(level, "regressionAge");
  if (at.length !== fit.names.length - 1) {
    throw new RangeError(`regressionAge requires ${fit.names.length - 1} covariates, got ${at.length}`);
  }
  const z = errorDistribution(fit.family).quantile(p);
  const slope = [1, ...at, z * fit.spread];
  const log = fit.coefficients.reduce((sum, b, j) => sum + b * slope[j]!, z * fit.spread);
  let variance = 0;
  for (let i = 0; i < slope.length; i++) {
    for (let j = 0; j < slope.length; j++) variance += slope[i]! * slope[j]! * fit.covariance[i]![j]!;
  }
  const logError = Math.sqrt(variance);
  const reach = twoSidedZ(level) * logError;
  return {age: Math.exp(log), limits: [Math.exp(log - reach), Math.exp(log + reach)], logError};
}
