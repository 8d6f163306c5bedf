/**
 * What one plan saves against another on the same simulated tools, with the doubt that the lives leave.
 *
 * The tools of one parameter draw differ by luck, their means by draw differ by luck and by the draw. The spread between draws
 * that luck does not explain is the doubt of the lives (analysis of variance of a random effect: between-group variance less
 * the within-group variance over the group's size; Searle, Casella & McCulloch, Variance Components, ch. 3, from memory).
 * Draw means are drawn in to that spread, and what the number of tools leaves open of the mean is added back.
 */
import {normalCdf, normalQuantile} from "../../statistics/normal.ts";
import type {Limits} from "../../statistics/types.ts";
import {drawLimits, drawMean} from "../spread.ts";

export interface Difference {
  readonly mean: number;
  /** limits of it over the parameter draws */
  readonly limits: Limits;
  /** standard error of the mean that is due to the simulation, not to the lives */
  readonly error: number;
  /** share of draws in which it is above 0 */
  readonly chance: number;
}

/**
 * @param a costs by tool, row-major [draw × tool]
 * @param b costs of the other plan on the same tools; what is told is a − b
 * @param tools a draw
 */
export function pairedDifference(a: Float64Array, b: Float64Array, tools: number, level: number): Difference {
  const draws = a.length / tools;
  const means = new Float64Array(draws);
  let within = 0;
  for (let d = 0; d < draws; d++) {
    for (let t = 0; t < tools; t++) means[d]! += (a[d * tools + t]! - b[d * tools + t]!) / tools;
    for (let t = 0; t < tools; t++) within += (a[d * tools + t]! - b[d * tools + t]! - means[d]!) ** 2;
  }
  const mean = drawMean(means);
  let between = 0;
  for (let d = 0; d < draws; d++) between += (means[d]! - mean) ** 2 / Math.max(draws - 1, 1);
  const luck = tools > 1 ? within / (draws * (tools - 1)) / tools : 0;
  const kept = between > 0 ? Math.sqrt(Math.max(0, 1 - luck / between)) : 0;
  const drawn = means.map((value) => mean + kept * (value - mean));
  const error = Math.sqrt(luck / draws);
  const [low, high] = drawLimits(drawn, level);
  const ofMean = normalQuantile((1 + level) / 2) * error;
  const lower = low === null ? null : mean - Math.hypot(mean - low, ofMean);
  const upper = high === null ? null : mean + Math.hypot(high - mean, ofMean);
  let above = 0;
  for (const value of drawn) above += error > 0 ? normalCdf(value / error) : value > 0 ? 1 : 0;
  return {mean, limits: [lower, upper], error, chance: above / draws};
}
