import {errorDistribution} from "./errorDistribution.ts";
import type {LifeData, LifeFit} from "./types.ts";

/**
 * Cox-Snell residuals (JRSS B 30 (1968) 248-275): every age turned into the cumulative hazard the fit gives it, entry and
 * interval ends alike. If the fit is right they are lives of a unit exponential under the same censoring, so their
 * Kaplan-Meier or Turnbull curve should follow exp(-r), and their Nelson-Aalen curve the diagonal.
 */
export function coxSnellResiduals(data: LifeData, {family, location, spread}: LifeFit): LifeData {
  const error = errorDistribution(family);
  const hazardAt = (age: number): number =>
    age === Infinity ? Infinity : age === 0 ? 0 : error.cumulativeHazard((Math.log(age) - location) / spread);
  return {
    lower: data.lower.map(hazardAt),
    upper: data.upper.map(hazardAt),
    entry: data.entry.map(hazardAt),
    weight: data.weight.slice(),
  };
}
