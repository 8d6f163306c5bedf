/**
 * Small dense symmetric systems, row-major.
 */

/** Lower Cholesky factor of a positive definite matrix, or null when it is not one. */
export function cholesky(matrix: Float64Array, n: number): Float64Array | null {
  const factor = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * n + j]!;
      for (let q = 0; q < j; q++) sum -= factor[i * n + q]! * factor[j * n + q]!;
      if (i === j) {
        // the bare diagonal sets the scale: what is left of it after elimination must be more than rounding
        if (!(sum > 1e-14 * Math.abs(matrix[i * n + i]!)) || sum === Infinity) return null;
        factor[i * n + i] = Math.sqrt(sum);
      } else {
        factor[i * n + j] = sum / factor[j * n + j]!;
      }
    }
  }
  return factor;
}

/** Solution x of L·Lᵀ·x = b. */
export function solve(factor: Float64Array, n: number, b: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(b);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) x[i]! -= factor[i * n + j]! * x[j]!;
    x[i]! /= factor[i * n + i]!;
  }
  return solveTransposed(factor, n, x);
}

/** Solution x of Lᵀ·x = b: turns independent normals into normals with covariance (L·Lᵀ)⁻¹. */
export function solveTransposed(factor: Float64Array, n: number, b: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(b);
  for (let i = n - 1; i >= 0; i--) {
    for (let j = i + 1; j < n; j++) x[i]! -= factor[j * n + i]! * x[j]!;
    x[i]! /= factor[i * n + i]!;
  }
  return x;
}

/** (L·Lᵀ)⁻¹, row-major. */
export function inverse(factor: Float64Array, n: number): Float64Array {
  const result = new Float64Array(n * n);
  const unit = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    unit.fill(0);
    unit[j] = 1;
    const column = solve(factor, n, unit);
    for (let i = 0; i < n; i++) result[i * n + j] = column[i]!;
  }
  return result;
}

/** log of the determinant of L·Lᵀ. */
export function logDeterminant(factor: Float64Array, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += Math.log(factor[i * n + i]!);
  return 2 * sum;
}
