/**
 * The risk rule: the longest age at which a part still survives the next planned run with the target probability.
 */
import type {Weibull} from "../statistics/types.ts";
import {cumulativeHazardOf} from "./life.ts";

/**
 * Longest age at which a part under competing Weibull modes survives a further `run` with probability `target`.
 * Conditional survival is taken from the difference of cumulative hazards, never from a ratio of survivals.
 *
 * @param run exposure of the next run, > 0
 * @param target probability in (0, 1)
 * @param within relative precision of the age; the last digit when 0
 * @returns age >= 0; Infinity when the risk never gets that high; null when not even a new part meets the target and
 * no older one does; NaN for a run or target outside its domain
 */
export function longestSafeAge(modes: readonly Weibull[], run: number, target: number, within = 0): number | null {
  if (!(run > 0 && target > 0 && target < 1)) return NaN;
  const allowed = -Math.log(target);
  const meets = (age: number): boolean => hazardOfRun(modes, age, run) <= allowed;
  const rising = modes.some(({shape}) => shape > 1);
  if (!rising) return meets(1e9 * run) ? Infinity : null;

  let high = run;
  // the risk of a run grows without bound once a mode of shape > 1 leads
  while (meets(high)) {
    high *= 2;
    if (high > 1e12 * run) return Infinity;
  }
  let low = 0;
  if (modes.some(({shape}) => shape < 1)) {
    // risk may fall before it rises: look for the last age that meets the target
    let last: number | null = null;
    for (let age = high; age > run * 1e-6; age /= 1.05) {
      if (meets(age)) {
        last = age;
        break;
      }
    }
    if (last === null) return meets(0) ? 0 : null;
    low = last;
    high = Math.min(high, last * 1.05);
  } else if (!meets(0)) return null;
  for (let step = 0; step < 200; step++) {
    const middle = low + (high - low) / 2;
    if (middle === low || middle === high || high - low < within * low) break;
    if (meets(middle)) low = middle;
    else high = middle;
  }
  return low;
}

/** Cumulative hazard gathered from `age` to `age + run`; accurate when the run is short against the age. */
export function hazardOfRun(modes: readonly Weibull[], age: number, run: number): number {
  if (age === 0) return cumulativeHazardOf(modes, run);
  let sum = 0;
  for (const {shape, scale} of modes) sum += (age / scale) ** shape * Math.expm1(shape * Math.log1p(run / age));
  return sum;
}
