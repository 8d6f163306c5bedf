/**
 * A control chart for what lies between events: is one stretch shorter or longer than a steady rate would give?
 *
 * The exposure between r events is gamma distributed under a steady rate; its quantiles are the limits (r = 1: Chan, Xie &
 * Goh, International Journal of Production Research 38 (2000) 397-408; r > 1: Xie, Goh & Ranjan, Reliability Engineering
 * and System Safety 77 (2002) 143-150). One event a point needs a gap of nearly nothing to call a worsening; several
 * events a point see it far sooner.
 */
import {gammaQuantile} from "./gammaFunctions.ts";

export interface SpacingLimits {
  readonly lower: number;
  /** median of a stretch */
  readonly centre: number;
  readonly upper: number;
}

/**
 * @param rate events per unit of exposure, > 0
 * @param events how many events end a stretch, 1 or more
 * @param falseAlarms chance that a stretch of a steady process lies outside, both sides together
 */
export function spacingLimits(rate: number, events: number, falseAlarms: number): SpacingLimits {
  if (!(rate > 0 && rate < Infinity)) throw new RangeError(`spacingLimits requires a rate > 0, got ${rate}`);
  if (!(Number.isInteger(events) && events > 0))
    throw new RangeError(`spacingLimits requires a whole number of events > 0, got ${events}`);
  if (!(falseAlarms > 0 && falseAlarms < 1))
    throw new RangeError(`spacingLimits requires false alarms in (0, 1), got ${falseAlarms}`);
  const at = (p: number): number => gammaQuantile(p, events) / rate;
  return {
    lower: at(falseAlarms / 2),
    centre: at(0.5),
    upper: gammaQuantile(falseAlarms / 2, events, {upper: true}) / rate,
  };
}
