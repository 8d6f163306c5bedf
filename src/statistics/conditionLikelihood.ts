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

/** An evaluator with its scratch space: writes log-likelihood, gradient and Hessian at `theta` into `out`. */
export function conditionObjective(rows: ConditionRows): (theta: Float64Array, out: Evaluation) => void {
  const {n, design, kind, weight, failedIn, start, cell, hours} = rows;
  const {cells, start: termStart, column, value} = design;
  const m = 2 + design.columns.length;
  const phi = new Float64Array(cells);
  // per point (entry, lower, upper): log u, z, H and, over the parameters this row touches, share and pair share
  const nu = new Float64Array(3);
  const zs = new Float64Array(3);
  const hs = new Float64Array(3);
  const used = [false, false, false];
  const share = [0, 1, 2].map(() => new Float64Array(m));
  const pair = [0, 1, 2].map(() => new Float64Array(m * m));
  const touched = new Int32Array(m);
  const isTouched = new Uint8Array(m);
  const slopeD = new Float64Array(m);

  // what the three adders below work on: one row at a time
  let a = 0;
  let k = 1;
  let gradient: Float64Array = new Float64Array(m);
  let hessian: Float64Array = new Float64Array(m * m);

  /** adds b·∇H and b·∇²H of a point */
  function add(p: number, b: number): void {
    const h = b * hs[p]!;
    if (h === 0) return;
    const z = zs[p]!;
    const g = share[p]!;
    const s = pair[p]!;
    gradient[0]! -= h * k;
    gradient[1]! += h * z;
    hessian[0]! += h * k * k;
    hessian[m]! -= h * k * (z + 1);
    hessian[m + 1]! += h * z * (z + 1);
    for (let q = 0; q < a; q++) {
      const j = touched[q]!;
      const kg = k * g[j]!;
      gradient[j]! += h * kg;
      hessian[j * m]! -= h * k * kg;
      hessian[j * m + 1]! += h * kg * (z + 1);
      for (let r = 0; r < a; r++) {
        const l = touched[r]!;
        if (l <= j) hessian[j * m + l]! += h * (kg * k * g[l]! + k * s[j * m + l]!);
      }
    }
  }

  /** adds κ + z - ν + log φ at the lower point */
  function exact(b: number, c: number): void {
    const z = zs[1]!;
    const g = share[1]!;
    const s = pair[1]!;
    gradient[0]! -= b * k;
    gradient[1]! += b * (1 + z);
    hessian[m]! -= b * k;
    hessian[m + 1]! += b * z;
    for (let q = 0; q < a; q++) {
      const j = touched[q]!;
      gradient[j]! += b * (k - 1) * g[j]!;
      hessian[j * m + 1]! += b * k * g[j]!;
      for (let r = 0; r < a; r++) {
        const l = touched[r]!;
        if (l <= j) hessian[j * m + l]! += b * (k - 1) * s[j * m + l]!;
      }
    }
    for (let t = termStart[c]!; t < termStart[c + 1]!; t++) gradient[2 + column[t]!]! += b * value[t]!;
  }

  /** adds b·∇D·∇Dᵀ, D = H(upper) - H(lower) */
  function square(b: number): void {
    const low = used[1] ? hs[1]! : 0;
    const high = hs[2]!;
    slopeD[0] = -k * (high - low);
    slopeD[1] = high * zs[2]! - (low > 0 ? low * zs[1]! : 0);
    for (let q = 0; q < a; q++) {
      const j = touched[q]!;
      slopeD[j] = k * (high * share[2]![j]! - (low > 0 ? low * share[1]![j]! : 0));
    }
    hessian[0]! += b * slopeD[0] * slopeD[0];
    hessian[m]! += b * slopeD[1] * slopeD[0];
    hessian[m + 1]! += b * slopeD[1] * slopeD[1];
    for (let q = 0; q < a; q++) {
      const j = touched[q]!;
      hessian[j * m]! += b * slopeD[j]! * slopeD[0];
      hessian[j * m + 1]! += b * slopeD[j]! * slopeD[1];
      for (let r = 0; r < a; r++) {
        const l = touched[r]!;
        if (l <= j) hessian[j * m + l]! += b * slopeD[j]! * slopeD[l]!;
      }
    }
  }

  return (theta, out) => {
    ({gradient, hessian} = out);
    gradient.fill(0);
    hessian.fill(0);
    const mu = theta[0]!;
    const kappa = theta[1]!;
    k = Math.exp(kappa);
    const logPhi = logSpeeds(design, theta);
    for (let c = 0; c < cells; c++) phi[c] = Math.exp(logPhi[c]!);
    let total = 0;

    for (let i = 0; i < n; i++) {
      const w = weight[i]!;
      a = 0;
      for (let p = 0; p < 3; p++) {
        const from = start[3 * i + p]!;
        const to = start[3 * i + p + 1]!;
        used[p] = to > from;
        if (to === from) continue;
        const g = share[p]!;
        const s = pair[p]!;
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
            const xv = x * value[t]!;
            g[j]! += xv;
            for (let r = termStart[c]!; r <= t; r++) {
              const l = 2 + column[r]!;
              s[j > l ? j * m + l : l * m + j]! += xv * value[r]!;
            }
          }
        }
        nu[p] = Math.log(u);
        zs[p] = (nu[p]! - mu) * k;
        hs[p] = Math.exp(zs[p]!);
        for (let q = 0; q < a; q++) g[touched[q]!]! /= u;
        for (let q = 0; q < a; q++) {
          for (let r = 0; r <= q; r++) {
            const j = touched[q]! > touched[r]! ? touched[q]! : touched[r]!;
            const l = touched[q]! > touched[r]! ? touched[r]! : touched[q]!;
            s[j * m + l] = s[j * m + l]! / u - g[j]! * g[l]!;
          }
        }
      }

      let v = 0;
      if (used[0]) {
        v += hs[0]!;
        add(0, w);
      }
      if (used[1]) {
        v -= hs[1]!;
        add(1, -w);
      }
      if (kind[i] === EXACT) {
        const c = failedIn[i]!;
        v += kappa + zs[1]! - nu[1]! + logPhi[c]!;
        exact(w, c);
      } else if (kind[i] === INTERVAL) {
        const drop = used[1] ? hs[1]! * Math.expm1((nu[2]! - nu[1]!) * k) : hs[2]!;
        if (drop < WIDE) {
          v += drop < Math.LN2 ? Math.log(-Math.expm1(-drop)) : Math.log1p(-Math.exp(-drop));
          const slope = 1 / Math.expm1(drop);
          add(2, w * slope);
          if (used[1]) add(1, -w * slope);
          square(w * -slope * (1 + slope));
        }
      }
      total += w * v;

      for (let q = 0; q < a; q++) {
        const j = touched[q]!;
        isTouched[j] = 0;
        for (let p = 0; p < 3; p++) {
          if (!used[p]) continue;
          share[p]![j] = 0;
          for (let r = 0; r < a; r++) pair[p]![j * m + touched[r]!] = 0;
        }
      }
    }

    out.value = total;
    for (let j = 0; j < m; j++) for (let l = 0; l < j; l++) hessian[l * m + j] = hessian[j * m + l]!;
  };
}
