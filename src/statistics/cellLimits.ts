import {requireLevel, twoSidedZ} from "./gammaFunctions.ts";
import type {CellLife} from "./fitConditions.ts";
import {cumulativeHazard, quantile, survival} from "./weibull.ts";

/** An estimate with its normal-approximation limits, pooling and prior width included. */
export interface CellFigure {
  readonly estimate: number;
  readonly limits: readonly [number, number];
}

/** Age by which a fraction `p` fails when all time is spent in the cell; limits on log age. */
export function cellAge({weibull, covariance}: CellLife, p: number, level = 0.9): CellFigure {
  requireLevel(level, "cellAge");
  const estimate = quantile(p, weibull);
  // log age = log scale + log(-log(1 - p)) / shape
  const slope = -Math.log(-Math.log1p(-p)) / weibull.shape;
  const reach = Math.exp(twoSidedZ(level) * deviation(covariance, 1, slope));
  return {estimate, limits: [estimate / reach, estimate * reach]};
}

/** Fraction that survives to `age` > 0 when all time is spent in the cell; limits on log(-log R). */
export function cellReliability({weibull, covariance}: CellLife, age: number, level = 0.9): CellFigure {
  requireLevel(level, "cellReliability");
  const estimate = survival(age, weibull);
  if (!(age > 0)) return {estimate, limits: [estimate, estimate]};
  const logHazard = Math.log(cumulativeHazard(age, weibull));
  const reach = twoSidedZ(level) * deviation(covariance, -weibull.shape, logHazard);
  return {estimate, limits: [Math.exp(-Math.exp(logHazard + reach)), Math.exp(-Math.exp(logHazard - reach))]};
}

function deviation([[a, b], [, c]]: CellLife["covariance"], byScale: number, byShape: number): number {
  return Math.sqrt(byScale * byScale * a + 2 * byScale * byShape * b + byShape * byShape * c);
}
