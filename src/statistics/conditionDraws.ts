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
export function conditionDraws(fit: ConditionFit, options: DrawOptions): ConditionDraws {
  const {theta, weights, cells} = fit;
  const {count} = options;
  const m = theta.length;
  const shape = new Float64Array(count);
  const scale = new Float64Array(count * cells.length);
  drawTheta(fit, options, (d, drawn) => {
    shape[d] = Math.exp(drawn[1]!);
    for (let c = 0; c < cells.length; c++) {
      let log = drawn[0]!;
      for (let j = 2; j < m; j++) log -= weights[c * (m - 2) + j - 2]! * drawn[j]!;
      scale[d * cells.length + c] = Math.exp(log);
    }
  });
  return {count, cells: cells.length, shape, scale};
}

/** Draws of the life under the reference and of every effect of a fit without covariates. */
export interface EffectDraws {
  readonly count: number;
  readonly shape: Float64Array;
  /** scale under the reference of every factor */
  readonly scale: Float64Array;
  /** log ageing speed; effect e of `fit.effects` in draw d is `effect[d * effects + e]`, 0 for a reference */
  readonly effect: Float64Array;
  readonly effects: number;
}

/** As conditionDraws, by effect and not by cell, for cells that no life saw. */
export function effectDraws(fit: ConditionFit, options: DrawOptions): EffectDraws {
  const {effects} = fit;
  const {count} = options;
  if (effects.some(({level}) => level === null)) throw new RangeError("effectDraws takes a fit without covariates");
  const shape = new Float64Array(count);
  const scale = new Float64Array(count);
  const effect = new Float64Array(count * effects.length);
  drawTheta(fit, options, (d, drawn) => {
    scale[d] = Math.exp(drawn[0]!);
    shape[d] = Math.exp(drawn[1]!);
    // effects stand in the order of the parameters, references among them without one
    let j = 2;
    effects.forEach(({reference}, e) => {
      if (!reference) effect[d * effects.length + e] = drawn[j++]!;
    });
  });
  return {count, shape, scale, effect, effects: effects.length};
}

interface DrawOptions {
  readonly count: number;
  readonly seed: number;
}

function drawTheta(
  {theta, covarianceFactor}: ConditionFit,
  {count, seed}: DrawOptions,
  take: (draw: number, drawn: Float64Array) => void,
): void {
  const m = theta.length;
  const random = seededRandom(seed);
  const normal = new Float64Array(m);
  const drawn = new Float64Array(m);
  for (let d = 0; d < count; d++) {
    for (let i = 0; i < m; i++) normal[i] = random.normal();
    for (let i = 0; i < m; i++) {
      let value = theta[i]!;
      for (let j = 0; j <= i; j++) value += covarianceFactor[i * m + j]! * normal[j]!;
      drawn[i] = value;
    }
    take(d, drawn);
  }
}
