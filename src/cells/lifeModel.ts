/**
 * The life model of one group of lives with all a page shows of it: fit, limits, curves, plotting positions.
 * Made once for all cells that ask the same.
 */
import type {CurvePoint, ProbabilityPoint} from "../charts/chart.ts";
import {
  ageLimits,
  fitLife,
  hazard,
  kaplanMeier,
  normalCdf,
  quantile,
  reliabilityBand,
  reliabilityLimits,
  scaleLimits,
  shapeLimits,
  survival,
  type FitOutcome,
  type LifeData,
  type LifeFit,
  type Limits,
  type LimitsBy,
  type Weibull,
} from "../statistics/index.ts";
import {failuresIn, type LifeGroup} from "./lifeGroups.ts";

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
  /** Kaplan-Meier steps; failures found later stand at the middle of their range */
  readonly steps: readonly CurvePoint[];
  readonly points: readonly ProbabilityPoint[];
  readonly suspensions: readonly number[];
  readonly oldest: number;
  readonly cautions: readonly string[];
}

export interface ModelOptions {
  readonly level: number;
  readonly by: LimitsBy;
  /** ages at which reliability is told */
  readonly at: readonly number[];
  /** whether curves are wanted; a table alone needs none */
  readonly curves: boolean;
}

const NONE: Limits = [null, null];
/** Points of a curve. */
const CURVE = 25;
/** Ticks along the bottom of a plot; more only blacken it. */
const MOST_TICKS = 400;

export function lifeModel(group: LifeGroup, options: ModelOptions): LifeModel {
  const {data, name} = group;
  const fit = fitLife(data);
  const oldest = oldestOf(data);
  const base = {
    name,
    lives: data.lower.length,
    failures: failuresIn(data),
    fit,
    oldest,
    suspensions: options.curves ? thinned(suspendedAges(data)) : [],
    ...(options.curves ? observed(data, options.level) : {steps: [], points: []}),
  };
  if (!fit.fitted || fit.shape === null || fit.scale === null) {
    return {
      ...base,
      weibull: null,
      shapeLimits: NONE,
      scaleLimits: NONE,
      ages: [],
      reliability: [],
      curve: [],
      hazard: [],
      cautions: [],
    };
  }
  return {...base, ...fitted(data, fit, {shape: fit.shape, scale: fit.scale}, oldest, options)};
}

function fitted(data: LifeData, fit: LifeFit, weibull: Weibull, oldest: number, {level, by, at, curves}: ModelOptions) {
  const cautions = new Set(fit.cautions);
  const limited = ({
    limits,
    cautions: said,
  }: {
    readonly limits: Limits;
    readonly cautions: readonly string[];
  }): Limits => {
    for (const caution of said) cautions.add(caution);
    return limits;
  };
  const shape = limited(shapeLimits(data, fit, {level, by}));
  const scale = limited(scaleLimits(data, fit, {level, by}));
  const ages = FRACTIONS.map((p) => ({
    p,
    age: quantile(p, weibull),
    limits: limited(ageLimits(data, fit, p, {level, by})),
  }));
  const reliability = at.map((age) => ({
    age,
    estimate: survival(age, weibull),
    limits: limited(reliabilityLimits(data, fit, age, {level, by})),
  }));
  const grid = curves ? curveAges(data, oldest) : [];
  // what the ends of a curve lack in limits is seen on the curve; only the figures told in words carry their cautions
  const curve = reliabilityBand(data, fit, grid, {level, by}).map(({at: age, estimate, limits: [lower, upper]}) => ({
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
  readonly points: readonly ProbabilityPoint[];
  readonly suspensions: readonly number[];
  readonly ages: readonly number[];
} {
  const oldest = oldestOf(data);
  return {
    points: observed(data, 0.9).points,
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

/**
 * Kaplan-Meier steps and plotting positions. A failure known only to lie in a range stands at its middle here, for
 * drawing alone: the fit takes the range as it is. The position of a failure is half way down its step, which for
 * complete data is (i − 0.5) / n.
 */
function observed(data: LifeData, level: number): Pick<LifeModel, "steps" | "points"> {
  const {age, survival: surviving, limits} = kaplanMeier(data, {level});
  const place = new Map<number, number>();
  age.forEach((at, i) => place.set(at, 1 - middle(i === 0 ? 1 : surviving[i - 1]!, surviving[i]!)));
  const points: ProbabilityPoint[] = [];
  for (let i = 0; i < data.lower.length; i++) {
    const [from, to] = [data.lower[i]!, data.upper[i]!];
    const failed = to < Infinity ? place.get(middle(from, to)) : undefined;
    if (failed !== undefined) points.push(from === to ? {age: to, failed} : {age: middle(from, to), failed, from, to});
  }
  const steps = Array.from(age, (at, i) => ({
    age: at,
    estimate: surviving[i]!,
    lower: limits[i]![0],
    upper: limits[i]![1],
  }));
  return {
    steps: [{age: 0, estimate: 1, lower: null, upper: null}, ...steps],
    points: points.sort((a, b) => a.age - b.age),
  };
}
