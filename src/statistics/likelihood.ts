/**
 * Log-likelihood of a log-location-scale family with its gradient and Hessian.
 *
 * Parameters: location = coefficients · covariates (just one coefficient without covariates) and
 * κ = -log spread (the log of a Weibull shape), last. With z = (log age - location)·e^κ a life gives
 *
 *     -[H(z_lower) - H(z_entry)]  +  log h(z) + κ - log age        if it failed exactly at that age
 *                                 +  log(1 - exp(-[H(z_upper) - H(z_lower)]))  if it failed in between
 *
 * so that left truncation, narrow intervals and far tails need only differences of H (see errorDistribution.ts).
 * Densities are of age, every constant kept.
 */
import {extremeValue, type ErrorDistribution} from "./errorDistribution.ts";
import type {LifeData} from "./types.ts";

const SUSPENDED = 0;
const EXACT = 1;
const INTERVAL = 2;

/** Lives with their logs taken once. Rows that say nothing are left out. */
export interface LikelihoodRows {
  readonly n: number;
  readonly kind: Uint8Array;
  readonly logEntry: Float64Array;
  readonly logLower: Float64Array;
  readonly logUpper: Float64Array;
  readonly weight: Float64Array;
  /** covariates of each row, row-major, `columns` a row; null: a single location for all */
  readonly design: Float64Array | null;
  readonly columns: number;
}

/** Covariates of the lives, row-major; a constant is a column of ones like any other. */
export interface Design {
  readonly columns: number;
  readonly values: Float64Array;
}

export function likelihoodRows(data: LifeData, design: Design | null = null): LikelihoodRows {
  const kept: number[] = [];
  for (let i = 0; i < data.weight.length; i++) {
    // a suspension without any age under observation says nothing
    const informs = data.upper[i]! < Infinity || data.lower[i]! > data.entry[i]!;
    if (data.weight[i]! > 0 && informs) kept.push(i);
  }
  const n = kept.length;
  const columns = design?.columns ?? 1;
  const rows = {
    n,
    kind: new Uint8Array(n),
    logEntry: new Float64Array(n),
    logLower: new Float64Array(n),
    logUpper: new Float64Array(n),
    weight: new Float64Array(n),
    design: design ? new Float64Array(n * columns) : null,
    columns,
  };
  for (let row = 0; row < n; row++) {
    const i = kept[row]!;
    const lower = data.lower[i]!;
    const upper = data.upper[i]!;
    rows.kind[row] = upper === Infinity ? SUSPENDED : lower === upper ? EXACT : INTERVAL;
    rows.logEntry[row] = Math.log(data.entry[i]!);
    rows.logLower[row] = Math.log(lower);
    rows.logUpper[row] = Math.log(upper);
    rows.weight[row] = data.weight[i]!;
    for (let j = 0; rows.design && j < columns; j++) rows.design[row * columns + j] = design!.values[i * columns + j]!;
  }
  return rows;
}

/** Value and derivatives at one point; `hessian` is row-major and symmetric. */
export interface Evaluation {
  value: number;
  readonly gradient: Float64Array;
  readonly hessian: Float64Array;
}

export function evaluation(parameters: number): Evaluation {
  return {value: NaN, gradient: new Float64Array(parameters), hessian: new Float64Array(parameters * parameters)};
}

/** What each row adds, per life: its log-likelihood and derivatives to location and κ. */
export interface RowScores {
  readonly value: Float64Array;
  readonly location: Float64Array;
  readonly logShape: Float64Array;
}

export function rowScores(n: number): RowScores {
  return {value: new Float64Array(n), location: new Float64Array(n), logShape: new Float64Array(n)};
}

/** Past this drop of log-survival an interval's upper end is as good as infinite: exp(-700) underflows nothing yet. */
const WIDE = 700;

/** Writes log-likelihood, gradient and Hessian at `theta` (coefficients, then κ) into `out`, and each row's part into `scores`. */
export function evaluate(
  rows: LikelihoodRows,
  error: ErrorDistribution,
  theta: Float64Array,
  out: Evaluation,
  span: Float64Array = new Float64Array(5),
  scores: RowScores | null = null,
): void {
  const {n, kind, logEntry, logLower, logUpper, weight, design, columns} = rows;
  const m = columns + 1;
  const {gradient, hessian} = out;
  gradient.fill(0);
  hessian.fill(0);
  const kappa = theta[columns]!;
  const k = Math.exp(kappa);
  // Weibull lives from new, failed exactly or suspended, are most of all lives: one exponential each, no calls
  const brief = error === extremeValue && !design && !scores;
  let value = 0;
  let gκ = 0;
  let hκκ = 0;
  let g0 = 0;
  let h00 = 0;
  let h0κ = 0;

  for (let i = 0; i < n; i++) {
    let location = theta[0]!;
    if (design) {
      location = 0;
      for (let j = 0; j < columns; j++) location += design[i * columns + j]! * theta[j]!;
    }
    if (brief && kind[i] !== INTERVAL && logEntry[i] === -Infinity) {
      const w = weight[i]!;
      const z = (logLower[i]! - location) * k;
      const e = Math.exp(z);
      const ze = z * e;
      const d = kind[i]; // 1 if it failed
      value += w * ((d === 1 ? z + kappa - logLower[i]! : 0) - e);
      g0 += w * k * (e - d!);
      gκ += w * (d! * (z + 1) - ze);
      h00 -= w * k * k * e;
      h0κ += w * k * (e + ze - d!);
      hκκ += w * (d! * z - ze - z * ze);
      continue;
    }
    // partial derivatives of this life: l to location, s to κ
    let v = 0;
    let l = 0;
    let s = 0;
    let ll = 0;
    let ls = 0;
    let ss = 0;
    const y = logLower[i]!;
    const entry = logEntry[i]!;
    const z = (y - location) * k;

    if (y > entry) {
      const before = entry === -Infinity ? -Infinity : (entry - location) * k;
      error.span(before, z, span);
      const d1 = span[1]!;
      const d2 = span[2]!;
      let aS = z * d1;
      let aLS = d1 + z * d2;
      let aSS = z * z * d2;
      if (before > -Infinity) {
        const width = (y - entry) * k;
        aS += width * span[3]!;
        aLS += width * span[4]!;
        aSS += width * (z + before) * span[4]!;
      }
      v -= span[0]!;
      l += k * d1;
      s -= aS;
      ll -= k * k * d2;
      ls += k * aLS;
      ss -= aS + aSS;
    }

    if (kind[i] === EXACT) {
      error.logHazard(z, span);
      const d1 = span[1]!;
      const d2 = span[2]!;
      v += span[0]! + kappa - y;
      l -= k * d1;
      s += z * d1 + 1;
      ll += k * k * d2;
      ls -= k * (d1 + z * d2);
      ss += z * d1 + z * z * d2;
    } else if (kind[i] === INTERVAL) {
      const top = (logUpper[i]! - location) * k;
      error.span(z, top, span);
      const drop = span[0]!;
      if (drop < WIDE) {
        const d1 = span[1]!;
        const d2 = span[2]!;
        let aS = top * d1;
        let aLS = d1 + top * d2;
        let aSS = top * top * d2;
        if (z > -Infinity) {
          const width = (logUpper[i]! - y) * k;
          aS += width * span[3]!;
          aLS += width * span[4]!;
          aSS += width * (top + z) * span[4]!;
        }
        const aL = -k * d1;
        const slope = 1 / Math.expm1(drop);
        v += drop < Math.LN2 ? Math.log(-Math.expm1(-drop)) : Math.log1p(-Math.exp(-drop));
        const l1 = slope * aL;
        const s1 = slope * aS;
        l += l1;
        s += s1;
        ll += slope * (k * k * d2 - aL * aL) - l1 * l1;
        ls += slope * (-k * aLS - aL * aS) - l1 * s1;
        ss += slope * (aS + aSS - aS * aS) - s1 * s1;
      }
    }

    if (scores) {
      scores.value[i] = v;
      scores.location[i] = l;
      scores.logShape[i] = s;
    }
    const w = weight[i]!;
    value += w * v;
    gκ += w * s;
    hκκ += w * ss;
    if (design) {
      for (let j = 0; j < columns; j++) {
        const x = w * design[i * columns + j]!;
        if (x === 0) continue;
        gradient[j]! += x * l;
        hessian[j * m + columns]! += x * ls;
        for (let q = 0; q <= j; q++) hessian[j * m + q]! += x * ll * design[i * columns + q]!;
      }
    } else {
      g0 += w * l;
      h00 += w * ll;
      h0κ += w * ls;
    }
  }

  out.value = value;
  gradient[columns] = gκ;
  hessian[columns * m + columns] = hκκ;
  if (design) {
    for (let j = 0; j < columns; j++) {
      hessian[columns * m + j] = hessian[j * m + columns]!;
      for (let q = 0; q < j; q++) hessian[q * m + j] = hessian[j * m + q]!;
    }
  } else {
    gradient[0] = g0;
    hessian[0] = h00;
    hessian[1] = hessian[2] = h0κ;
  }
}
