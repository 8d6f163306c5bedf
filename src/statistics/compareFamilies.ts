import {fitLife} from "./fitLife.ts";
import type {Family, FitOutcome, LifeData} from "./types.ts";

export interface FamilyRow {
  readonly family: Family;
  readonly fit: FitOutcome;
  /** null where there is no fit, or too few lives for the correction */
  readonly aicc: number | null;
  /** AICc above the best */
  readonly behind: number | null;
  /** Akaike weight: share of support among the families fitted (Burnham & Anderson, Model Selection, 2002, section 2.9) */
  readonly weight: number | null;
}

const FAMILIES: readonly Family[] = ["weibull", "exponential", "lognormal", "loglogistic"];

/** Families side by side, the best first. Differences of AICc below 2 do not tell families apart. */
export function compareFamilies(data: LifeData, families: readonly Family[] = FAMILIES): FamilyRow[] {
  const fits = families.map((family) => {
    const fit = fitLife(data, {family});
    return {family, fit, aicc: fit.fitted && Number.isFinite(fit.aicc) ? fit.aicc : null};
  });
  const best = Math.min(...fits.map(({aicc}) => aicc ?? Infinity));
  const total = fits.reduce((sum, {aicc}) => sum + (aicc === null ? 0 : Math.exp((best - aicc) / 2)), 0);
  return fits
    .map((row) => ({
      ...row,
      behind: row.aicc === null ? null : row.aicc - best,
      weight: row.aicc === null ? null : Math.exp((best - row.aicc) / 2) / total,
    }))
    .sort((a, b) => (a.aicc ?? Infinity) - (b.aicc ?? Infinity));
}
