import type {ConditionFit} from "./fitConditions.ts";
import {seededRandom} from "./random.ts";

/** Draws of the life in every cell; draw d has `shape[d]` and, in cell c, `scale[d * cells + c]`. */
export interface ConditionDraws {
  readonly count: number;
  readonly cells: number;
  readonly shape: Float64Array;
  readonly scale: Float64Array;
}

/**
 * Draws from the normal approximation of the posterior of (log scale, log shape, effects), the uncertainty of the
 * prior's width included. The same draw holds for all cells, so differences between cells keep their correlation.
 */
export function conditionDraws(
  {theta, covarianceFactor, weights, cells}: ConditionFit,
  {count, seed}: {readonly count: number; readonly seed: number},
): ConditionDraws {
  const m = theta.length;
  const random = seededRandom(seed);
  const shape = new Float64Array(count);
  const scale = new Float64Array(count * cells.length);
  const normal = new Float64Array(m);
  const drawn = new Float64Array(m);
  for (let d = 0; d < count; d++) {
    for (let i = 0; i < m; i++) normal[i] = random.normal();
    for (let i = 0; i < m; i++) {
      let value = theta[i]!;
      for (let j = 0; j <= i; j++) value += covarianceFactor[i * m + j]! * normal[j]!;
      drawn[i] = value;
    }
    shape[d] = Math.exp(drawn[1]!);
    for (let c = 0; c < cells.length; c++) {
      let log = drawn[0]!;
      for (let j = 2; j < m; j++) log -= weights[c * (m - 2) + j - 2]! * drawn[j]!;
      scale[d * cells.length + c] = Math.exp(log);
    }
  }
  return {count, cells: cells.length, shape, scale};
}
