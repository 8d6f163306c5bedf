/**
 * How fast each condition ages a part, from all lives, those that changed conditions included.
 *
 * Model: conditionLikelihood.ts. Prior of the effects and its width: priorWidth.ts. What is reported takes the widths'
 * own uncertainty along: covariance = A⁻¹ + J·V·Jᵀ with J = dθ̂/dlog τ and V the covariance of log τ (first-order
 * correction of Kass & Steffey, JASA 84 (1989) 717-726).
 *
 * The result is plain data and survives structured clone.
 */
import {cholesky} from "./cholesky.ts";
import {conditionData, type ConditionData} from "./conditionData.ts";
import {conditionDesign, type ConditionDesign} from "./conditionDesign.ts";
import {conditionObjective, conditionRows, logSpeeds} from "./conditionLikelihood.ts";
import {fitLife} from "./fitLife.ts";
import {requireLevel, twoSidedZ} from "./gammaFunctions.ts";
import {evaluation} from "./likelihood.ts";
import {estimateWidths, LOG_WIDTH, logWidthPrior, widthPoint, type Widths} from "./priorWidth.ts";
import type {NoFit, Weibull} from "./types.ts";

export interface ConditionOptions {
  /** two-sided level of the limits; default 0.9 */
  readonly level?: number;
  /** reference level by factor name; default: the level with the most exposure */
  readonly reference?: {readonly [factor: string]: string};
  /** prior widths held at these values, one per factor in use, then per covariate; default: estimated */
  readonly widths?: readonly number[];
}

/** An effect on log ageing speed: 0.7 ages twice as fast as the reference. */
export interface ConditionEffect {
  readonly factor: string;
  /** null for a covariate, whose effect is per unit of its measure */
  readonly level: string | null;
  /** the level all others are compared with; its effect is 0 */
  readonly reference: boolean;
  readonly estimate: number;
  readonly standardError: number;
  readonly limits: readonly [number, number];
  /** exposure under the level and failures known to have happened under it, weighted; covariates: of all */
  readonly exposure: number;
  readonly failures: number;
  /** share of the effect's uncertainty before the data that is still there: 1 means it rests on the prior alone */
  readonly priorShare: number;
}

/** Life of a part that spends all its time in one cell. */
export interface CellLife {
  readonly weibull: Weibull;
  readonly logScaleVariance: number;
  /** of (log scale in this cell, log shape), pooling and prior width included */
  readonly covariance: readonly [readonly [number, number], readonly [number, number]];
  readonly exposure: number;
  readonly failures: number;
}

export interface PriorWidth {
  readonly factor: string;
  /** standard deviation of the effects of this factor's levels around their mean, or of a covariate's slope per standard deviation */
  readonly width: number;
  readonly limits: readonly [number, number];
}

export interface ConditionFit {
  readonly fitted: true;
  /** life under the reference of every factor and the mean of every covariate */
  readonly shape: number;
  readonly scale: number;
  readonly level: number;
  readonly effects: readonly ConditionEffect[];
  readonly widths: readonly PriorWidth[];
  readonly cells: readonly CellLife[];
  readonly lives: number;
  readonly failures: number;
  /** at the estimate, prior left out */
  readonly logLikelihood: number;
  /** Laplace approximation, prior of the widths left out */
  readonly logMarginal: number;
  /** (log scale, log shape, effects), as estimated; effects of covariates per standard deviation */
  readonly theta: Float64Array;
  /** lower Cholesky factor of their covariance, row-major; for draws */
  readonly covarianceFactor: Float64Array;
  /** log ageing speed of each cell as weights of the effects, cells × effects */
  readonly weights: Float64Array;
  readonly cautions: readonly string[];
}

const pct = (level: number): string => `${Number((100 * level).toPrecision(3))} %`;

/**
 * Fits shape, scale and condition effects together; a reason in words when the lives cannot carry that.
 *
 * @example fitConditions(data, {level: 0.9}).cells[3].weibull
 */
export function fitConditions(given: ConditionData, options: ConditionOptions = {}): ConditionFit | NoFit {
  const {level = 0.9, reference = {}, widths: held} = options;
  requireLevel(level, "fitConditions");
  const data = conditionData(given);
  const pooled = fitLife(data);
  if (!pooled.fitted) return pooled;
  const design = conditionDesign(data, reference);
  if (held && (held.length !== design.priors.length || held.some((width) => !(width > 0 && width < 100)))) {
    throw new RangeError(`fitConditions requires ${design.priors.length} positive widths, got ${held.join(", ")}`);
  }
  const rows = conditionRows(data, design);
  const objective = conditionObjective(rows);
  const start = [pooled.location, -Math.log(pooled.spread), ...design.columns.map(() => 0)];
  const found = held
    ? heldWidths(objective, design, held.map(Math.log), start)
    : estimateWidths(objective, design, start);
  if ("failed" in found) {
    const runaway = found.failed.left === 1;
    return {
      fitted: false,
      family: "weibull",
      reason: runaway ? "maximum at the border" : "not converged",
      sentence: runaway
        ? `With ${pooled.failures} failures the effects of ${design.columns.length} conditions can explain every age, so the shape grows without bound.`
        : `Condition effects did not settle on a maximum within ${found.failed.iterations} iterations.`,
      lives: pooled.lives,
      failures: pooled.failures,
    };
  }
  return report(data, design, found, {level, objective, lives: pooled.lives, failures: pooled.failures, held: !!held});
}

type Objective = ReturnType<typeof conditionObjective>;

function heldWidths(objective: Objective, design: ConditionDesign, logWidths: readonly number[], start: number[]) {
  const point = widthPoint(objective, design, logWidths, start);
  if ("failed" in point) return point;
  const f = design.priors.length;
  return {at: point, covariance: new Float64Array(f * f), settled: true};
}

interface Facts {
  readonly level: number;
  readonly objective: Objective;
  readonly lives: number;
  readonly failures: number;
  readonly held: boolean;
}

function report(data: ConditionData, design: ConditionDesign, widths: Widths, facts: Facts): ConditionFit {
  const {level, objective, lives, failures} = facts;
  const z = twoSidedZ(level);
  const {theta} = widths.at.inner;
  const m = theta.length;
  const f = design.priors.length;
  const covariance = widths.at.covariance.slice();
  for (let a = 0; a < f; a++) {
    for (let b = 0; b < f; b++) {
      const v = widths.covariance[a * f + b]!;
      for (let i = 0; i < m; i++) {
        for (let j = 0; j < m; j++) covariance[i * m + j]! += v * widths.at.pulls[a]![i]! * widths.at.pulls[b]![j]!;
      }
    }
  }
  const plain = evaluation(m);
  objective(theta, plain);

  const byCell = failuresByCell(data);
  const weights = new Float64Array(design.cells * design.columns.length);
  for (let c = 0; c < design.cells; c++) {
    for (let t = design.start[c]!; t < design.start[c + 1]!; t++) {
      weights[c * design.columns.length + design.column[t]!] = design.value[t]!;
    }
  }
  const widthOf = design.priors.map((_, i) => Math.exp(widths.at.logWidths[i]!));
  const effects = effectsOf(data, design, {theta, covariance, widthOf, byCell, z});
  const speeds = logSpeeds(design, theta);
  const cells = Array.from({length: design.cells}, (_, c) => cellLife(c));

  const prior = widths.at.logWidths.reduce((sum, logWidth) => sum + logWidthPrior(logWidth), 0);
  return {
    fitted: true,
    shape: Math.exp(theta[1]!),
    scale: Math.exp(theta[0]!),
    level,
    effects,
    widths: design.priors.map(({name}, i) => {
      const spread = z * Math.sqrt(widths.covariance[i * f + i]!);
      const log = widths.at.logWidths[i]!;
      return {factor: name, width: widthOf[i]!, limits: [Math.exp(log - spread), Math.exp(log + spread)] as const};
    }),
    cells,
    lives,
    failures,
    logLikelihood: plain.value,
    logMarginal: widths.at.value - prior,
    theta,
    covarianceFactor: cholesky(covariance, m)!,
    weights,
    cautions: cautionsOf(effects, widths, design, facts),
  };

  function cellLife(c: number): CellLife {
    const slope = new Float64Array(m);
    slope[0] = 1;
    for (let j = 2; j < m; j++) slope[j] = -weights[c * (m - 2) + j - 2]!;
    let variance = 0;
    let cross = 0;
    for (let i = 0; i < m; i++) {
      cross += slope[i]! * covariance[i * m + 1]!;
      for (let j = 0; j < m; j++) variance += slope[i]! * slope[j]! * covariance[i * m + j]!;
    }
    return {
      weibull: {shape: Math.exp(theta[1]!), scale: Math.exp(theta[0]! - speeds[c]!)},
      logScaleVariance: variance,
      covariance: [
        [variance, cross],
        [cross, covariance[m + 1]!],
      ],
      exposure: design.exposure[c]!,
      failures: byCell[c]!,
    };
  }
}

/** Failures per cell: exact ones where they happened, others by the share of their last interval spent in each cell. */
function failuresByCell(data: ConditionData): Float64Array {
  const {cells, lower, upper, weight, atLower, atUpper, failedIn} = data;
  const failures = new Float64Array(cells);
  for (let i = 0; i < lower.length; i++) {
    if (upper[i] === Infinity) continue;
    if (lower[i] === upper[i]) {
      failures[failedIn[i]!]! += weight[i]!;
      continue;
    }
    let between = 0;
    for (let c = i * cells; c < (i + 1) * cells; c++) between += atUpper[c]! - atLower[c]!;
    for (let c = 0; c < cells; c++) {
      failures[c]! += (weight[i]! * (atUpper[i * cells + c]! - atLower[i * cells + c]!)) / between;
    }
  }
  return failures;
}

interface Estimates {
  readonly theta: Float64Array;
  readonly covariance: Float64Array;
  readonly widthOf: readonly number[];
  readonly byCell: Float64Array;
  readonly z: number;
}

function effectsOf(data: ConditionData, design: ConditionDesign, estimates: Estimates): ConditionEffect[] {
  const {theta, covariance, widthOf, byCell, z} = estimates;
  const m = theta.length;
  const effects: ConditionEffect[] = [];

  /** of a difference of two levels, or of a slope */
  const priorVariance = (j: number): number => {
    const {prior} = design.columns[j]!;
    return (design.priors[prior]!.levels > 0 ? 2 : 1) * widthOf[prior]! ** 2;
  };
  const estimated = (j: number, unit: number) => {
    const estimate = theta[2 + j]! / unit;
    const variance = covariance[(2 + j) * m + 2 + j]!;
    const standardError = Math.sqrt(variance) / unit;
    return {
      estimate,
      standardError,
      limits: [estimate - z * standardError, estimate + z * standardError] as const,
      priorShare: Math.min(1, variance / priorVariance(j)),
    };
  };

  data.factors.forEach(({name, levels, levelOf}, index) => {
    levels.forEach((level, code) => {
      const over = (values: Float64Array): number =>
        values.reduce((sum, value, c) => (levelOf[c] === code ? sum + value : sum), 0);
      const shared = {factor: name, level, exposure: over(design.exposure), failures: over(byCell)};
      const j = design.columns.findIndex((column) => column.name === name && column.level === level);
      if (design.references[index] === code) {
        const nothing = {estimate: 0, standardError: 0, limits: [0, 0] as const, priorShare: 0};
        effects.push({...shared, reference: true, ...nothing});
      } else if (j >= 0) {
        effects.push({...shared, reference: false, ...estimated(j, 1)});
      }
    });
  });
  for (const {name, deviation} of design.covariates) {
    const j = design.columns.findIndex((column) => column.name === name && column.level === null);
    if (j < 0) continue;
    const all = (values: Float64Array): number => values.reduce((sum, value) => sum + value, 0);
    const shared = {factor: name, level: null, reference: false, exposure: all(design.exposure), failures: all(byCell)};
    effects.push({...shared, ...estimated(j, deviation)});
  }
  return effects;
}

function cautionsOf(
  effects: readonly ConditionEffect[],
  widths: Widths,
  design: ConditionDesign,
  {failures, level, held}: Facts,
): string[] {
  const cautions: string[] = [];
  const names = (list: readonly ConditionEffect[]): string => list.map(({level: l, factor}) => l ?? factor).join(", ");
  const unseen = effects.filter((e) => !e.reference && e.level !== null && !(e.exposure > 0));
  const weak = effects.filter((e) => !e.reference && e.exposure > 0 && e.priorShare > 0.5);
  const failureless = effects.filter((e) => e.level !== null && e.exposure > 0 && !(e.failures > 0));
  if (unseen.length > 0) {
    cautions.push(
      `No life was spent under ${names(unseen)}; what is said of it rests on the spread between the other conditions alone.`,
    );
  }
  if (failureless.length > 0) {
    cautions.push(
      `No failure happened under ${names(failureless)}; its effect is bounded from one side only and leans on the prior.`,
    );
  }
  if (weak.length > 0) {
    cautions.push(`Too little is known of ${names(weak)}: more than half of its uncertainty is still the prior's.`);
  }
  design.priors.forEach(({name}, i) => {
    const log = widths.at.logWidths[i]!;
    if (!held && log <= LOG_WIDTH[0])
      cautions.push(`The levels of ${name} do not differ beyond chance; they are pooled almost fully.`);
    if (!held && log >= LOG_WIDTH[1])
      cautions.push(`The levels of ${name} differ more than the prior allows for (a factor of 20).`);
  });
  if (failures < 5 + design.columns.length) {
    cautions.push(
      `${Number(failures.toPrecision(3))} failures carry ${design.columns.length} condition effects; the ${pct(level)} limits are approximate and lean on the prior.`,
    );
  }
  if (!widths.settled) cautions.push("The width of the prior did not settle; limits may be too narrow or too wide.");
  return cautions;
}
