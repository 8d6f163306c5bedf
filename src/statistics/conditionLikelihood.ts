/**
 * Log-likelihood of cumulative exposure with its gradient and Hessian.
 *
 * The effective age of a part is u = Σ h_k·φ_k over cells k, its hours there times how fast they age it, and u is
 * Weibull: H = (u / scale) ** shape. (Cumulative exposure: Nelson, IEEE Trans. Reliability R-29 (1980) 103-108.) With
 * θ = (log scale, log shape, effects), ν = log u and z = (ν - log scale)·shape, a life gives what likelihood.ts gives, with u in
 * place of age; an exact failure also brings log φ of the cell it failed in, as du/dt is φ there.
 *
 *     ∂ν/∂β_j = p_j, the share of effective hours in column j;   ∂²ν/∂β_i∂β_j = p_ij - p_i·p_j
 */
import type {ConditionData} from "./conditionData.ts";
import type {ConditionDesign} from "./conditionDesign.ts";
import type {Evaluation} from "./likelihood.ts";

const SUSPENDED = 0;
const EXACT = 1;
const INTERVAL = 2;

/** Lives as sparse lists of the cells they have been in. Points of row i: entry, lower, upper, some of them empty. */
export interface ConditionRows {
  readonly n: number;
  readonly design: ConditionDesign;
  readonly kind: Uint8Array;
  readonly weight: Float64Array;
  readonly failedIn: Int32Array;
  /** cells of point 3·i + (0 entry, 1 lower, 2 upper) are at start[…] … start[… + 1] - 1 */
  readonly start: Int32Array;
  readonly cell: Int32Array;
  readonly hours: Float64Array;
}

export function conditionRows(data: ConditionData, design: ConditionDesign): ConditionRows {
  const {cells} = data;
  const kept: number[] = [];
  for (let i = 0; i < data.weight.length; i++) {
    const informs = data.upper[i]! < Infinity || data.lower[i]! > data.entry[i]!;
    if (data.weight[i]! > 0 && informs) kept.push(i);
  }
  const n = kept.length;
  const kind = new Uint8Array(n);
  const start = new Int32Array(3 * n + 1);
  const cell: number[] = [];
  const hours: number[] = [];
  kept.forEach((i, row) => {
    const suspended = data.upper[i] === Infinity;
    kind[row] = suspended ? SUSPENDED : data.lower[i] === data.upper[i] ? EXACT : INTERVAL;
    const points = [
      data.entry[i]! > 0 ? data.atEntry : null,
      data.lower[i]! > 0 ? data.atLower : null,
      kind[row] === INTERVAL ? data.atUpper : null,
    ];
    points.forEach((block, p) => {
      for (let c = 0; block && c < cells; c++) {
        if (block[i * cells + c]! > 0) {
          cell.push(c);
          hours.push(block[i * cells + c]!);
        }
      }
      start[3 * row + p + 1] = cell.length;
    });
  });
  return {
    n,
    design,
    kind,
    weight: Float64Array.from(kept, (i) => data.weight[i]!),
    failedIn: Int32Array.from(kept, (i) => data.failedIn[i]!),
    start,
    cell: Int32Array.from(cell),
    hours: Float64Array.from(hours),
  };
}

/** log φ of every cell at the effects in `theta` (from index 2). */
export function logSpeeds(design: ConditionDesign, theta: ArrayLike<number>): Float64Array {
  const {cells, start, column, value} = design;
  const speeds = new Float64Array(cells);
  for (let c = 0; c < cells; c++) {
    for (let t = start[c]!; t < start[c + 1]!; t++) speeds[c]! += value[t]! * theta[2 + column[t]!]!;
  }
  return speeds;
}

/** Past this drop of log-survival an interval's upper end is as good as infinite. */
const WIDE = 700;

/** Coefficients with which the shares p of one point enter gradient and Hessian; see `take` below. */
interface PointTerms {
  /** of p in the gradient of the effects, and in their mixed derivatives with log scale and log shape */
  gradient: number;
  scale: number;
  shape: number;
  /** of p·pᵀ and of the pair shares p_ij in the Hessian of the effects */
  outer: number;
  pair: number;
}

/**
 * An evaluator with its scratch space: writes log-likelihood, gradient and Hessian at `theta` into `out`.
 *
 * The pair shares enter linearly, p_ij = Σ share of cell · x_i·x_j of the cell, so what multiplies them is gathered per cell
 * over all lives and the products are formed once at the end.
 */
export function conditionObjective(rows: ConditionRows): (theta: Float64Array, out: Evaluation) => void {
  const {n, design, kind, weight, failedIn, start, cell, hours} = rows;
  const {cells, start: termStart, column, value} = design;
  const m = 2 + design.columns.length;
  const phi = new Float64Array(cells);
  const gathered = new Float64Array(cells);
  // per point (entry, lower, upper): u, log u, z, H and the shares of the effects this row touches
  const us = new Float64Array(3);
  const nu = new Float64Array(3);
  const zs = new Float64Array(3);
  const hs = new Float64Array(3);
  const used = [false, false, false];
  const share = [0, 1, 2].map(() => new Float64Array(m));
  const terms = [0, 1, 2].map((): PointTerms => ({gradient: 0, scale: 0, shape: 0, outer: 0, pair: 0}));
  const touched = new Int32Array(m);
  const isTouched = new Uint8Array(m);
  const slopeD = new Float64Array(m);
  // gradient by log scale and log shape, then their second derivatives: scale·scale, shape·scale, shape·shape
  const head = new Float64Array(5);

  /** adds b·∇H and b·∇²H of a point: ∇z = (-k, z, k·p), ∇²z of the effects k·(p_ij - p·pᵀ) */
  function take(p: number, b: number, k: number): void {
    const h = b * hs[p]!;
    const z = zs[p]!;
    head[0]! -= h * k;
    head[1]! += h * z;
    head[2]! += h * k * k;
    head[3]! -= h * k * (z + 1);
    head[4]! += h * z * (z + 1);
    const point = terms[p]!;
    point.gradient += h * k;
    point.scale -= h * k * k;
    point.shape += h * k * (z + 1);
    point.outer += h * k * (k - 1);
    point.pair += h * k;
  }

  return (theta, out) => {
    const {gradient, hessian} = out;
    gradient.fill(0);
    hessian.fill(0);
    gathered.fill(0);
    const mu = theta[0]!;
    const kappa = theta[1]!;
    const k = Math.exp(kappa);
    const logPhi = logSpeeds(design, theta);
    for (let c = 0; c < cells; c++) phi[c] = Math.exp(logPhi[c]!);
    let total = 0;
    head.fill(0);

    for (let i = 0; i < n; i++) {
      const w = weight[i]!;
      let a = 0;
      for (let p = 0; p < 3; p++) {
        const from = start[3 * i + p]!;
        const to = start[3 * i + p + 1]!;
        used[p] = to > from;
        if (to === from) continue;
        const g = share[p]!;
        let u = 0;
        for (let q = from; q < to; q++) {
          const c = cell[q]!;
          const x = hours[q]! * phi[c]!;
          u += x;
          for (let t = termStart[c]!; t < termStart[c + 1]!; t++) {
            const j = 2 + column[t]!;
            if (isTouched[j] === 0) {
              isTouched[j] = 1;
              touched[a++] = j;
            }
            g[j]! += x * value[t]!;
          }
        }
        us[p] = u;
        nu[p] = Math.log(u);
        zs[p] = (nu[p]! - mu) * k;
        hs[p] = Math.exp(zs[p]!);
        for (let q = 0; q < a; q++) g[touched[q]!]! /= u;
        const point = terms[p]!;
        point.gradient = point.scale = point.shape = point.outer = point.pair = 0;
      }

      let v = 0;
      if (used[0]) {
        v += hs[0]!;
        take(0, w, k);
      }
      if (used[1]) {
        v -= hs[1]!;
        take(1, -w, k);
      }
      if (kind[i] === EXACT) {
        // κ + z - ν + log φ
        const c = failedIn[i]!;
        const z = zs[1]!;
        v += kappa + z - nu[1]! + logPhi[c]!;
        head[0]! -= w * k;
        head[1]! += w * (1 + z);
        head[3]! -= w * k;
        head[4]! += w * z;
        const point = terms[1]!;
        point.gradient += w * (k - 1);
        point.shape += w * k;
        point.outer -= w * (k - 1);
        point.pair += w * (k - 1);
        for (let t = termStart[c]!; t < termStart[c + 1]!; t++) gradient[2 + column[t]!]! += w * value[t]!;
      } else if (kind[i] === INTERVAL) {
        const drop = used[1] ? hs[1]! * Math.expm1((nu[2]! - nu[1]!) * k) : hs[2]!;
        if (drop < WIDE) {
          v += drop < Math.LN2 ? Math.log(-Math.expm1(-drop)) : Math.log1p(-Math.exp(-drop));
          const slope = 1 / Math.expm1(drop);
          take(2, w * slope, k);
          if (used[1]) take(1, -w * slope, k);
          // -slope·(1 + slope)·∇D·∇Dᵀ, D = H(upper) - H(lower)
          const b = -w * slope * (1 + slope);
          const high = hs[2]!;
          const low = used[1] ? hs[1]! : 0;
          const d0 = -k * (high - low);
          const d1 = high * zs[2]! - (low > 0 ? low * zs[1]! : 0);
          head[2]! += b * d0 * d0;
          head[3]! += b * d1 * d0;
          head[4]! += b * d1 * d1;
          for (let q = 0; q < a; q++) {
            const j = touched[q]!;
            const d = k * (high * share[2]![j]! - (low > 0 ? low * share[1]![j]! : 0));
            slopeD[j] = d;
            hessian[j * m]! += b * d * d0;
            hessian[j * m + 1]! += b * d * d1;
            for (let r = 0; r <= q; r++) {
              const l = touched[r]!;
              hessian[j > l ? j * m + l : l * m + j]! += b * d * slopeD[l]!;
            }
          }
        }
      }
      total += w * v;

      for (let p = 0; p < 3; p++) {
        if (!used[p]) continue;
        const g = share[p]!;
        const point = terms[p]!;
        const perHour = point.pair / us[p]!;
        for (let q = start[3 * i + p]!; q < start[3 * i + p + 1]!; q++) {
          const c = cell[q]!;
          gathered[c]! += perHour * hours[q]! * phi[c]!;
        }
        for (let q = 0; q < a; q++) {
          const j = touched[q]!;
          const own = g[j]!;
          if (own === 0) continue;
          gradient[j]! += point.gradient * own;
          hessian[j * m]! += point.scale * own;
          hessian[j * m + 1]! += point.shape * own;
          const outer = point.outer * own;
          for (let r = 0; r <= q; r++) {
            const l = touched[r]!;
            hessian[j > l ? j * m + l : l * m + j]! += outer * g[l]!;
          }
        }
        for (let q = 0; q < a; q++) g[touched[q]!] = 0;
      }
      for (let q = 0; q < a; q++) isTouched[touched[q]!] = 0;
    }

    for (let c = 0; c < cells; c++) {
      for (let t = termStart[c]!; t < termStart[c + 1]!; t++) {
        for (let r = termStart[c]!; r <= t; r++) {
          const j = 2 + column[t]!;
          const l = 2 + column[r]!;
          hessian[j > l ? j * m + l : l * m + j]! += gathered[c]! * value[t]! * value[r]!;
        }
      }
    }
    out.value = total;
    gradient[0] = head[0]!;
    gradient[1] = head[1]!;
    hessian[0] = head[2]!;
    hessian[m] = head[3]!;
    hessian[m + 1] = head[4]!;
    for (let j = 0; j < m; j++) for (let l = 0; l < j; l++) hessian[l * m + j] = hessian[j * m + l]!;
  };
}
