/**
 * One fit as `fit --json` prints it. Names and nesting are a contract with other programs.
 *
 * `level` is two-sided; a limit that does not exist is null. Covariance is that of (log scale, log shape); for lognormal
 * and loglogistic, log scale is the location and log shape is −log spread. Only numbers and null leave here, never NaN.
 */
import {
  ageLimits,
  fixedShapeBound,
  quantile,
  reliabilityLimits,
  scaleLimits,
  shapeLimits,
  survival,
  type Family,
  type FitOutcome,
  type LifeData,
  type LifeFit,
  type LimitOptions,
  type Limits,
  type LimitsBy,
  type LimitsResult,
} from "../statistics/index.ts";

export interface FitJson {
  readonly group: Readonly<Record<string, string>>;
  readonly family: Family;
  readonly lives: number;
  readonly failures: number;
  readonly shape?: number | null;
  readonly scale?: number | null;
  readonly location?: number | null;
  readonly spread?: number | null;
  readonly logLikelihood: number | null;
  readonly aicc: number | null;
  readonly covariance: LifeFit["covariance"] | null;
  readonly level: number;
  readonly limitsBy: LimitsBy;
  readonly limits: Readonly<Record<string, Limits>>;
  readonly quantiles: readonly {readonly p: number; readonly age: number | null; readonly limits: Limits}[];
  readonly reliability: readonly {readonly at: number; readonly estimate: number | null; readonly limits: Limits}[];
  readonly cautions: readonly string[];
}

/** Fractions failed whose ages are printed; 0.1 is the B10 life. */
export const FRACTIONS = [0.01, 0.05, 0.1, 0.5] as const;

const NONE: Limits = [null, null];

export interface FitQuestion {
  readonly group: Readonly<Record<string, string>>;
  readonly data: LifeData;
  readonly outcome: FitOutcome;
  readonly options: LimitOptions & {readonly level: number; readonly by: LimitsBy};
  /** the Weibull shape that was to be held, if one was */
  readonly heldShape?: number | undefined;
  /** ages at which reliability is wanted */
  readonly at: readonly number[];
  /** said of the data before they were fitted */
  readonly cautions: readonly string[];
}

export function fitJson(question: FitQuestion): FitJson {
  return question.outcome.fitted ? fitted(question, question.outcome) : unfitted(question);
}

function fitted({group, data, options, at, cautions: before}: FitQuestion, fit: LifeFit): FitJson {
  const cautions = new Set([...before, ...fit.cautions]);
  const ask = (result: LimitsResult): LimitsResult => {
    for (const caution of result.cautions) cautions.add(caution);
    return result;
  };
  const shape = ask(shapeLimits(data, fit, options));
  const scale = ask(scaleLimits(data, fit, options));
  const quantiles = FRACTIONS.map((p) => {
    const {estimate, limits} = ask(ageLimits(data, fit, p, options));
    return {p, age: finite(estimate), limits};
  });
  const reliability = at.map((age) => {
    const {estimate, limits} = ask(reliabilityLimits(data, fit, age, options));
    return {at: age, estimate: finite(estimate), limits};
  });
  const weibull = fit.shape !== null && fit.scale !== null;
  return {
    group,
    family: fit.family,
    lives: fit.lives,
    failures: fit.failures,
    ...(weibull ? {shape: fit.shape, scale: fit.scale} : {location: fit.location, spread: fit.spread}),
    logLikelihood: finite(fit.logLikelihood),
    aicc: finite(fit.aicc),
    covariance: fit.covariance,
    level: options.level,
    limitsBy: options.by,
    limits: weibull
      ? {shape: shape.limits, scale: scale.limits}
      : {location: mapped(scale.limits, Math.log), spread: reversed(mapped(shape.limits, (value) => 1 / value))},
    quantiles,
    reliability,
    cautions: [...cautions],
  };
}

/** No estimate. With the shape held, lives without a failure still bound scale, ages and reliability from below. */
function unfitted({group, data, outcome, options, heldShape, at, cautions}: FitQuestion): FitJson {
  const {family, lives, failures} = outcome;
  const weibull = family === "weibull" || family === "exponential";
  const shape = family === "exponential" ? 1 : heldShape;
  const bound =
    shape === undefined || failures > 0 ? null : fixedShapeBound(data, {shape, confidence: (1 + options.level) / 2});
  const from = (value: (law: {shape: number; scale: number}) => number): Limits =>
    bound === null ? NONE : [value(bound), null];
  return {
    group,
    family,
    lives,
    failures,
    shape: null,
    scale: null,
    ...(weibull ? {} : {location: null, spread: null}),
    logLikelihood: null,
    aicc: null,
    covariance: null,
    level: options.level,
    limitsBy: options.by,
    limits: weibull ? {shape: NONE, scale: from(({scale}) => scale)} : {location: NONE, spread: NONE},
    quantiles: FRACTIONS.map((p) => ({p, age: null, limits: from((law) => quantile(p, law))})),
    reliability: at.map((age) => ({at: age, estimate: null, limits: from((law) => survival(age, law))})),
    cautions: [...cautions, ...(outcome.fitted ? [] : [outcome.sentence]), ...(bound?.cautions ?? [])],
  };
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

const mapped = ([lower, upper]: Limits, of: (value: number) => number): Limits => [
  lower === null ? null : of(lower),
  upper === null ? null : of(upper),
];

const reversed = ([lower, upper]: Limits): Limits => [upper, lower];
