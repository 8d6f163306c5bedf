/**
 * How many failures it takes to tell wear-out from chance.
 *
 * The log of a Weibull shape estimated from r failures has a variance near 6 / (π² r) = 0.608 / r (asymptotic, complete
 * samples; Bain & Engelhardt, Statistical Analysis of Reliability and Life-Testing Models, 1991; from memory). The
 * one-sided lower limit then exceeds 1 with the chance `power` when log shape ≥ (z_confidence + z_power) · √(0.608 / r).
 */
import {normalQuantile} from "../statistics/normal.ts";

const VARIANCE = 6 / Math.PI ** 2;

/**
 * @param shape the true shape, > 1; at 1 or below no number is enough and the answer is Infinity
 * @param confidence of the one-sided limit, in (0, 1)
 * @param power chance of showing it, in (0, 1)
 */
export function failuresNeeded(shape: number, confidence: number, power = 0.8): number {
  if (!(shape > 1)) return Infinity;
  const z = normalQuantile(confidence) + normalQuantile(power);
  return Math.max(2, Math.ceil((VARIANCE * z * z) / Math.log(shape) ** 2));
}
