/** Mean life under wear-out and chance together. */
import {mean} from "../statistics/weibull.ts";
import type {Weibull} from "../statistics/types.ts";
import {integrate} from "./integrate.ts";

/** Ends of the pieces the integral is cut into, as powers of the smaller typical age. */
const PIECES = [0, 0.25, 0.6, 1, 1.6, 2.6, 4.5, 9, 20, 45];

/**
 * ∫ exp(−(t / scale) ** shape − chance · t) dt from 0 to infinity, to about 1e-4 of itself or better.
 *
 * @param chance failures per unit of exposure, >= 0
 */
export function competingMean(weibull: Weibull, chance: number): number {
  if (!(chance > 0)) return mean(weibull);
  const {shape, scale} = weibull;
  if (shape >= 1) {
    const survival = (t: number): number => Math.exp(-((t / scale) ** shape) - chance * t);
    const unit = Math.min(scale, 1 / chance);
    let sum = 0;
    for (let i = 1; i < PIECES.length; i++) sum += integrate(survival, unit * PIECES[i - 1]!, unit * PIECES[i]!);
    return sum;
  }
  // a falling hazard is steep at 0 and long at the end: t = scale · y ** (1 / shape) makes both ends tame
  const power = 1 / shape;
  const inner = (y: number): number => Math.exp(-y - chance * scale * y ** power) * power * y ** (power - 1);
  const unit = Math.min(1, (chance * scale) ** -shape);
  let sum = 0;
  for (let i = 1; i < PIECES.length; i++) sum += integrate(inner, unit * PIECES[i - 1]!, unit * PIECES[i]!);
  return scale * sum;
}
