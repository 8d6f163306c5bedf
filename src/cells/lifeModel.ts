/**
 * The life model of one group of lives with all a page shows of it: fit, limits, curves, plotting positions.
 * Made once for all cells that ask the same.
 */
import type {Words} from "../../shared/columnar.ts";
import type {CurvePoint} from "../charts/chart.ts";
import {
  ageLimits,
  bootstrapLife,
  fitLife,
  fixedShapeBound,
  hazard,
  normalCdf,
  quantile,
  reliabilityBand,
  reliabilityLimits,
  runToEnd,
  scaleLimits,
  shapeLimits,
  survival,
  type FitOutcome,
  type LifeData,
  type LifeFit,
  type LimitOptions,
  type Limits,
  type LimitsResult,
  type LimitsBy,
  type Weibull,
} from "../statistics/index.ts";
import type {CellEffects} from "./contract.ts";
import {failuresIn, type LifeGroup} from "./lifeGroups.ts";
import {observedCurve, type ObservedPoint} from "./observedCurve.ts";

/** Ages at which these fractions have failed are told. */
export const FRACTIONS = [0.05, 0.1, 0.5] as const;

export interface AgeAt {
  readonly p: number;
  readonly age: number;
  readonly limits: Limits;
}

export interface ReliabilityAt {
  readonly age: number;
  readonly estimate: number;
  readonly limits: Limits;
}

export interface LifeModel {
  readonly name: string;
  readonly lives: number;
  readonly failures: number;
  readonly fit: FitOutcome;
  readonly weibull: Weibull | null;
  readonly shapeLimits: Limits;
  readonly scaleLimits: Limits;
  readonly ages: readonly AgeAt[];
  readonly reliability: readonly ReliabilityAt[];
  /** reliability by age with limits; empty without a fit */
  readonly curve: readonly CurvePoint[];
  readonly hazard: readonly CurvePoint[];
  /** surviving fraction, no distribution assumed */
  readonly steps: readonly CurvePoint[];
  readonly points: readonly ObservedPoint[];
  readonly suspensions: readonly number[];
  readonly oldest: number;
  /** where nothing failed and a shape is taken as known */
  readonly bound: LifeBound | null;
  readonly cautions: readonly string[];
}

/** Lower bound of the life of lives without a failure, the shape taken as known. */
export interface LifeBound {
  readonly shape: number;
  readonly b10: number;
  readonly confidence: number;
}

export interface ModelOptions {
  readonly level: number;
  readonly by: LimitsBy;
  /** ages at which reliability is told */
  readonly at: readonly number[];
  /** shape taken as known; null: estimated */
  readonly shape: number | null;
  /** whether curves are wanted; a table alone needs none */
  readonly curves: boolean;
}

const NONE: Limits = [null, null];
/** Points of a curve. */
const CURVE = 25;
/** Ticks along the bottom of a plot; more only blacken it. */
const MOST_TICKS = 400;

/** Who the lives belong to, for a bootstrap that keeps the parts of a tool together, and who waits for it. */
export interface ModelSetting {
  readonly tools: Words;
  readonly effects: CellEffects;
}

/** Sets drawn for bootstrap limits. */
const RESAMPLED = 1000;

export function lifeModel(group: LifeGroup, options: ModelOptions, {tools, effects}: ModelSetting): LifeModel {
  const {data, name} = group;
  const fit = fitLife(data, options.shape === null ? {} : {shape: options.shape});
  const oldest = oldestOf(data);
  const base = {
    name,
    lives: data.lower.length,
    failures: failuresIn(data),
    fit,
    oldest,
    suspensions: options.curves ? thinned(suspendedAges(data)) : [],
    ...(options.curves ? observedCurve(data, options.level) : {steps: [], points: []}),
  };
  if (!fit.fitted || fit.shape === null || fit.scale === null) {
    const nothing = {
      weibull: null,
      shapeLimits: NONE,
      scaleLimits: NONE,
      ages: [],
      reliability: [],
      curve: [],
      hazard: [],
    };
    const {bound, cautions} = boundOf(data, options);
    return {...base, ...nothing, bound, cautions};
  }
  const limit: LimitOptions = {
    level: options.level,
    by: options.by,
    ...resampled(group, fit, options, {tools, effects}),
  };
  return {...base, bound: null, ...fitted(data, fit, {shape: fit.shape, scale: fit.scale}, oldest, options, limit)};
}

/** What lives without a failure still say when the shape is taken as known. */
function boundOf(
  data: LifeData,
  {shape, level}: ModelOptions,
): {readonly bound: LifeBound | null; readonly cautions: readonly string[]} {
  const confidence = (1 + level) / 2;
  const found = shape === null || failuresIn(data) > 0 ? null : fixedShapeBound(data, {shape, confidence});
  if (found === null || shape === null) return {bound: null, cautions: []};
  return {bound: {shape, b10: quantile(0.1, {shape, scale: found.scale}), confidence}, cautions: found.cautions};
}

/** Replicates for bootstrap limits: tools are drawn, each with all its lives. */
function resampled(
  {data, rows}: LifeGroup,
  fit: LifeFit,
  {by}: ModelOptions,
  {tools, effects}: ModelSetting,
): Pick<LimitOptions, "replicates"> {
  if (by !== "bootstrap") return {};
  const group = Array.from(rows, (row) => tools.codes[row]!);
  const replicates = runToEnd(bootstrapLife(data, fit, {group, count: RESAMPLED, seed: 1}), {
    report: (done) => effects.progress(done, RESAMPLED),
    signal: effects.signal,
  });
  effects.signal.throwIfAborted();
  return replicates ? {replicates} : {};
}

function fitted(
  data: LifeData,
  fit: LifeFit,
  weibull: Weibull,
  oldest: number,
  {at, curves}: ModelOptions,
  limit: LimitOptions,
) {
  const cautions = new Set(fit.cautions);
  const limited = ({limits, cautions: said}: Pick<LimitsResult, "limits" | "cautions">): Limits => {
    for (const caution of said) cautions.add(caution);
    return limits;
  };
  const shape = limited(shapeLimits(data, fit, limit));
  const scale = limited(scaleLimits(data, fit, limit));
  const ages = FRACTIONS.map((p) => ({
    p,
    age: quantile(p, weibull),
    limits: limited(ageLimits(data, fit, p, limit)),
  }));
  const reliability = at.map((age) => ({
    age,
    estimate: survival(age, weibull),
    limits: limited(reliabilityLimits(data, fit, age, limit)),
  }));
  const grid = curves ? curveAges(data, oldest) : [];
  // what the ends of a curve lack in limits is seen on the curve; only the figures told in words carry their cautions
  const curve = reliabilityBand(data, fit, grid, limit).map(({at: age, estimate, limits: [lower, upper]}) => ({
    age,
    estimate,
    lower,
    upper,
  }));
  const rates = grid.map((age) => ({age, estimate: hazard(age, weibull) * 1000, lower: null, upper: null}));
  if (oldest < quantile(0.1, weibull))
    cautions.add("the B10 life lies beyond the oldest part seen; it leans on the model, not on lives");
  return {
    weibull,
    shapeLimits: shape,
    scaleLimits: scale,
    ages,
    reliability,
    curve,
    hazard: rates,
    cautions: [...cautions],
  };
}

/** What was observed, for a plot without a model: plotting positions, suspensions, and ages at which to draw a line. */
export function observedPoints(data: LifeData): {
  readonly points: readonly ObservedPoint[];
  readonly suspensions: readonly number[];
  readonly ages: readonly number[];
} {
  const oldest = oldestOf(data);
  return {
    points: observedCurve(data, 0.9).points,
    suspensions: thinned(suspendedAges(data)),
    ages: oldest > 0 ? curveAges(data, oldest) : [],
  };
}

/** Fraction failed by an age under a fit of any family. */
export function failedBy({family, location, spread}: LifeFit, age: number): number {
  const z = (Math.log(age) - location) / spread;
  switch (family) {
    case "weibull":
    case "exponential":
      return -Math.expm1(-Math.exp(z));
    case "lognormal":
      return normalCdf(z);
    case "loglogistic":
      return 1 / (1 + Math.exp(-z));
  }
}

function oldestOf({lower, upper}: LifeData): number {
  let oldest = 0;
  for (let i = 0; i < lower.length; i++) oldest = Math.max(oldest, upper[i]! < Infinity ? upper[i]! : lower[i]!);
  return oldest;
}

function suspendedAges({lower, upper}: LifeData): number[] {
  const ages: number[] = [];
  for (let i = 0; i < lower.length; i++) if (upper[i] === Infinity) ages.push(lower[i]!);
  return ages.sort((a, b) => a - b);
}

function thinned(ages: readonly number[]): number[] {
  const every = Math.max(1, Math.ceil(ages.length / MOST_TICKS));
  return ages.filter((_, i) => i % every === 0);
}

/** Ages of the curves: even in log age from a twentieth of the earliest failure to the oldest part. */
function curveAges({lower, upper}: LifeData, oldest: number): number[] {
  let earliest = oldest;
  for (let i = 0; i < lower.length; i++)
    if (upper[i]! < Infinity) earliest = Math.min(earliest, middle(lower[i]!, upper[i]!));
  const from = Math.log(Math.max(earliest / 2, oldest / 200));
  const to = Math.log(oldest);
  return Array.from({length: CURVE}, (_, i) => Math.exp(from + ((to - from) * i) / (CURVE - 1)));
}

const middle = (lower: number, upper: number): number => (lower + upper) / 2;
