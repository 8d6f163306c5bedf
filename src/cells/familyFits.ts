/** The life distributions a page weighs against each other, and two fits of Weibull shown beside them. */
import type {CurvePoint} from "../charts/chart.ts";
import {
  ageLimits,
  fitLife,
  fitThreshold,
  MOST_RANKED,
  quantile,
  rankRegression,
  type Family,
  type FitOutcome,
  type LifeData,
  type LifeFit,
  type Limits,
  type RankFit,
  type ThresholdFit,
} from "../statistics/index.ts";
import {failedBy} from "./lifeModel.ts";
import {sayNumber} from "./say.ts";

export const FAMILIES = ["weibull", "lognormal", "loglogistic", "exponential"] as const satisfies readonly Family[];
export const NAMES: Readonly<Record<Family, string>> = {
  weibull: "Weibull",
  lognormal: "lognormal",
  loglogistic: "loglogistic",
  exponential: "exponential",
};
export const THRESHOLD_NAME = "Weibull with a threshold";
export const RANK_NAME = "Weibull by rank regression";

export interface Candidate {
  readonly family: Family;
  readonly fit: FitOutcome;
  readonly b10: {readonly age: number; readonly limits: Limits} | null;
  readonly line: readonly CurvePoint[];
  /** what the limits of the B10 life leave to be said */
  readonly cautions: readonly string[];
}
export type Fitted = Candidate & {readonly fit: LifeFit};

/** Weibull beyond a threshold age, where that exists; else why it is not shown, null when Weibull itself says it. */
export type Threshold =
  | {readonly shown: true; readonly fit: ThresholdFit; readonly b10: number; readonly line: readonly CurvePoint[]}
  | {readonly shown: false; readonly sentence: string | null};

export interface Ranked {
  readonly fit: RankFit;
  readonly b10: number;
}

/** Null where it does not exist: no fit, or too few lives for the correction. */
export const aiccOf = ({fit}: Pick<Candidate, "fit">): number | null =>
  fit.fitted && Number.isFinite(fit.aicc) ? fit.aicc : null;

export const isFitted = (candidate: Candidate): candidate is Fitted => candidate.fit.fitted;

/** Every family, the best first: by AICc, then those without one, then those without a fit. */
export function candidates(data: LifeData, ages: readonly number[], level: number): Candidate[] {
  const place = (c: Candidate) => aiccOf(c) ?? (c.fit.fitted ? Number.MAX_VALUE : Infinity);
  const all = FAMILIES.map((family) => candidate(data, family, {ages, level}));
  return all.sort((a, b) => (place(a) === place(b) ? 0 : place(a) - place(b)));
}

function candidate(
  data: LifeData,
  family: Family,
  {ages, level}: {readonly ages: readonly number[]; readonly level: number},
): Candidate {
  const fit = fitLife(data, {family});
  if (!fit.fitted) return {family, fit, b10: null, line: [], cautions: []};
  const {estimate, limits, cautions} = ageLimits(data, fit, 0.1, {level, by: "adjusted"});
  const line = ages.map((age) => ({age, estimate: failedBy(fit, age), lower: null, upper: null}));
  return {family, fit, b10: {age: estimate, limits}, line, cautions};
}

/** Lives above which a profile of some hundred fits is not worth its seconds. */
const MOST_PROFILED = 20_000;

export function threshold(data: LifeData, ages: readonly number[], level: number): Threshold {
  if (data.lower.length > MOST_PROFILED)
    return {
      shown: false,
      sentence: `${THRESHOLD_NAME} is not tried above ${sayNumber(MOST_PROFILED)} lives: its profile would take too long.`,
    };
  const fit = fitThreshold(data, {level});
  if (!fit.fitted) return {shown: false, sentence: null};
  if (!fit.regular)
    return {
      shown: false,
      sentence: `${THRESHOLD_NAME} is left out: its likelihood only rises as the threshold nears the first failure, so no best one exists.`,
    };
  if (fit.threshold === 0)
    return {
      shown: false,
      sentence: `${THRESHOLD_NAME} is left out: no threshold above 0 makes these lives more likely.`,
    };
  const {shape, scale} = fit.weibull;
  const failed = (age: number) => (age <= fit.threshold ? 0 : -Math.expm1(-(((age - fit.threshold) / scale) ** shape)));
  return {
    shown: true,
    fit,
    b10: fit.threshold + quantile(0.1, fit.weibull),
    line: ages.map((age) => ({age, estimate: failed(age), lower: null, upper: null})),
  };
}

/** Null below two different ages of failure, and above the lives that ranks are counted out for. */
export function ranked(data: LifeData): Ranked | null {
  if (data.lower.length > MOST_RANKED) return null;
  const fit = rankRegression(data);
  if (fit === null || fit.shape === null || fit.scale === null) return null;
  return {fit, b10: quantile(0.1, {shape: fit.shape, scale: fit.scale})};
}
