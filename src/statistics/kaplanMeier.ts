/**
 * Survival without a life distribution: product-limit (Kaplan & Meier, JASA 53 (1958) 457-481) and Nelson-Aalen, with
 * delayed entry. A life is at risk at age t when it entered before t and was not yet gone: entry < t <= age. At a tie a
 * failure counts before a suspension (Kaplan & Meier, p. 461) and before an entry.
 *
 * Limits on log(-log S) with Greenwood's variance (Kalbfleisch & Prentice, The Statistical Analysis of Failure Time Data,
 * 2002, eq. 1.13), which stay inside 0 and 1. A failure known only to an interval is placed at its middle, with a
 * caution; turnbull.ts is the estimate made for such lives.
 */
import {requireLevel, twoSidedZ} from "./gammaFunctions.ts";
import type {LifeData, Limits} from "./types.ts";

/** One step per age with a failure. Weights count as that many lives. */
export interface KaplanMeier {
  readonly level: number;
  readonly age: Float64Array;
  readonly atRisk: Float64Array;
  readonly failures: Float64Array;
  readonly survival: Float64Array;
  /** Greenwood; of survival itself */
  readonly standardError: Float64Array;
  /** null where survival is 0 and nothing bounds it */
  readonly limits: readonly Limits[];
  /** Nelson-Aalen cumulative hazard and the square root of Σ d/n² */
  readonly cumulativeHazard: Float64Array;
  readonly hazardError: Float64Array;
  /** ages of suspensions, for marks on the curve */
  readonly suspended: Float64Array;
  readonly cautions: readonly string[];
}

export function kaplanMeier(data: LifeData, {level = 0.9}: {readonly level?: number} = {}): KaplanMeier {
  requireLevel(level, "kaplanMeier");
  const z = twoSidedZ(level);
  const n = data.lower.length;
  const cautions: string[] = [];
  let placed = 0;
  const age = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const between = data.upper[i]! < Infinity && data.upper[i]! > data.lower[i]!;
    age[i] = between ? (data.lower[i]! + data.upper[i]!) / 2 : data.lower[i]!;
    if (between) placed += data.weight[i]!;
  }
  const failed = (i: number): boolean => data.upper[i]! < Infinity;

  const rows = Array.from({length: n}, (_, i) => i).filter((i) => data.weight[i]! > 0);
  const leaving = rows.slice().sort((a, b) => age[a]! - age[b]!);
  const entering = rows.slice().sort((a, b) => data.entry[a]! - data.entry[b]!);
  const steps = {age: [] as number[], atRisk: [] as number[], failures: [] as number[], survival: [] as number[]};
  const errors: number[] = [];
  const limits: Limits[] = [];
  const hazards: number[] = [];
  const hazardErrors: number[] = [];
  let survival = 1;
  let greenwood = 0;
  let hazard = 0;
  let hazardVariance = 0;
  let entered = 0;
  let gone = 0;
  let atRisk = 0;
  while (gone < leaving.length) {
    const t = age[leaving[gone]!]!;
    for (; entered < entering.length && data.entry[entering[entered]!]! < t; entered++) {
      atRisk += data.weight[entering[entered]!]!;
    }
    let failures = 0;
    let leave = 0;
    for (; gone < leaving.length && age[leaving[gone]!] === t; gone++) {
      const i = leaving[gone]!;
      if (data.entry[i]! >= t) continue; // no age lived under observation: never at risk
      leave += data.weight[i]!;
      if (failed(i)) failures += data.weight[i]!;
    }
    if (failures > 0) {
      // weights need not be whole: what is left at risk is 0 when it is only rounding
      const left = atRisk - failures > 1e-9 * atRisk ? atRisk - failures : 0;
      survival *= left / atRisk;
      greenwood += left > 0 ? failures / (atRisk * left) : Infinity;
      hazard += failures / atRisk;
      hazardVariance += failures / atRisk ** 2;
      steps.age.push(t);
      steps.atRisk.push(atRisk);
      steps.failures.push(failures);
      steps.survival.push(survival);
      errors.push(survival > 0 ? survival * Math.sqrt(greenwood) : 0);
      limits.push(logLogLimits(survival, greenwood, z));
      hazards.push(hazard);
      hazardErrors.push(Math.sqrt(hazardVariance));
      if (survival === 0 && gone < leaving.length) {
        cautions.push(
          `All lives then at risk had failed by age ${t}, so the curve stays at 0 although later lives exist.`,
        );
      }
    }
    atRisk -= leave;
  }
  if (placed > 0) {
    cautions.push(`${Number(placed.toPrecision(6))} failures known only to an interval are drawn at its middle.`);
  }
  if (steps.age.length === 0) cautions.push("No failures: the curve stays at 1.");
  return {
    level,
    age: Float64Array.from(steps.age),
    atRisk: Float64Array.from(steps.atRisk),
    failures: Float64Array.from(steps.failures),
    survival: Float64Array.from(steps.survival),
    standardError: Float64Array.from(errors),
    limits,
    cumulativeHazard: Float64Array.from(hazards),
    hazardError: Float64Array.from(hazardErrors),
    suspended: Float64Array.from(
      leaving.filter((i) => !failed(i) && age[i]! > 0),
      (i) => age[i]!,
    ),
    cautions,
  };
}

/** S^exp(± z·√greenwood / log S). */
function logLogLimits(survival: number, greenwood: number, z: number): Limits {
  if (survival === 0) return [null, null];
  const reach = (z * Math.sqrt(greenwood)) / Math.abs(Math.log(survival));
  return [survival ** Math.exp(reach), survival ** Math.exp(-reach)];
}

/** Nelson-Aalen cumulative hazard at each age with a failure, with limits on its log (Klein & Moeschberger 2003, 4.3). */
export interface NelsonAalen {
  readonly level: number;
  readonly age: Float64Array;
  readonly cumulativeHazard: Float64Array;
  readonly standardError: Float64Array;
  readonly limits: readonly Limits[];
  readonly cautions: readonly string[];
}

export function nelsonAalen(data: LifeData, {level = 0.9}: {readonly level?: number} = {}): NelsonAalen {
  const {age, cumulativeHazard, hazardError, cautions} = kaplanMeier(data, {level});
  const z = twoSidedZ(level);
  const limits = Array.from(cumulativeHazard, (h, i): Limits => {
    const reach = Math.exp((z * hazardError[i]!) / h);
    return [h / reach, h * reach];
  });
  return {level, age, cumulativeHazard, standardError: hazardError, limits, cautions};
}
