/**
 * The life of a component in every condition it has seen: parameter draws, and what they rest on.
 */
import {MODES, REGIMES} from "../../shared/vocabulary/index.ts";
import type {LifeTable} from "../lives/index.ts";
import type {ConditionData} from "../statistics/conditionData.ts";
import type {Weibull} from "../statistics/types.ts";
import type {ComponentUse} from "./componentExposure.ts";
import {AgePowers} from "./agePowers.ts";
import {rateDraws} from "./gammaDraws.ts";
import {lifePosterior, type LifePosterior} from "./lifePosterior.ts";
import {livesFailingBy} from "./livesFailingBy.ts";
import {withCondition, withExpectedSlope} from "./withCondition.ts";
import {modeGroup} from "./modeGroups.ts";
import {ownShape, type OwnShape} from "./ownShape.ts";
import type {LifeDraws} from "./drawTables.ts";

export interface ComponentModel {
  readonly component: string;
  /** null when no wear-out life can be had; `noFit` says why */
  readonly posterior: LifePosterior | null;
  readonly noFit: string | null;
  /** failures that the shape rests on: by wear, or by chance where nothing else has failed */
  readonly failures: number;
  /** the shape that these failures show by themselves */
  readonly own: OwnShape;
  /** expected chance failures per unit of exposure, beside wear-out */
  readonly chanceRate: number;
  readonly chanceDraws: Float64Array;
  /** powers by the drawn shapes, which all conditions share */
  readonly powers: AgePowers | null;
  /** chance failures were taken for wear, since they came with age all the same */
  readonly chanceWears: boolean;
  /** index of the cell of each condition, by `mud regime` */
  readonly cellOf: ReadonlyMap<string, number>;
  /** oldest part seen, in hours of the condition with speed 1 */
  readonly oldest: number;
  /** ages and entry ages of the lives, for a bound where nothing failed */
  readonly data: ConditionData;
  /** lives whose hours do not add up, left out */
  readonly leftOut: number;
}

const FLOW_STEP = "flow step";
/**
 * What is expected of the effects before the data. Widths are standard deviations of log ageing speed: muds differ by a
 * third or so; flow by its slope from regime to regime, and a regime from that line by a seventh. Erosion grows with the
 * 2nd to 3rd power of velocity (planning band of the trade), which for bands a quarter apart is 0.4 to 0.7 a step; its
 * slope is centred below that, in proportion to how much of the wear is erosion or abrasion. Estimating the widths from
 * the same few failures (as fitConditions does, for its own purpose) was tried and made intervals dearer.
 */
const WIDTHS = {mud: 0.3, regime: 0.15, [FLOW_STEP]: 0.3};
const FLOW_SLOPE = 0.4;

/** Steps of a regime from the middle one: -1 low or laminar, 0, 1 high or turbulent; 0 where it is not known. */
function flowStep(regime: string): number {
  const order = REGIMES[regime]?.order ?? 2;
  return order <= 3 ? order - 2 : 0;
}

/** How many parameter draws stand for the doubt. */
export const DRAWS = 160;

const OPEN: OwnShape = {shape: null, limits: [null, null]};
/** Fewer chance failures than this are not asked whether they come with age. */
const ASKED = 8;
/** Two-sided level at which their shape must be above 1 before they are taken for wear: what is known of them says chance. */
const SURE = 0.98;

/** @param also a condition that the model must answer for though the log may never have seen it: from its effects alone */
export function componentModel(
  lives: LifeTable,
  use: ComponentUse,
  level: number,
  also: {readonly mud: string; readonly regime: string} | null = null,
): ComponentModel {
  const {component} = use;
  const byChance = use.failures.chance > 0 ? livesFailingBy(lives, component, ["chance"]) : null;
  const chanceShape = byChance === null ? OPEN : ownShape(byChance.data, new Float64Array(byChance.data.cells), SURE);
  const chanceWears = (byChance?.failures ?? 0) >= ASKED && (chanceShape.limits[0] ?? 0) > 1;
  const seen = livesFailingBy(lives, component, chanceWears ? ["wear", "chance"] : ["wear"]);
  const {data, muds, regimes, failures, leftOut} = withCondition(seen, also);
  const cellOf = new Map<string, number>();
  for (let k = 0; k < data.cells; k++) cellOf.set(`${muds[k]} ${regimes[k]}`, k);
  const seed = seedOf(component);
  const struck = chanceWears ? 0 : use.failures.chance;
  const shared = {
    component,
    chanceRate: use.exposure > 0 ? struck / use.exposure : 0,
    chanceDraws: struck > 0 ? rateDraws(struck, use.exposure, DRAWS, seed + 1) : new Float64Array(DRAWS),
    chanceWears,
    cellOf,
    data,
    leftOut,
  };
  if (failures === 0) {
    return {
      ...shared,
      posterior: null,
      noFit: "no part has failed by wear",
      failures: struck,
      own: chanceShape,
      powers: null,
      oldest: oldestIn(data, null),
    };
  }
  const stepped = {...data, covariates: [{name: FLOW_STEP, ofCell: Float64Array.from(regimes, flowStep)}]};
  const centres = {[FLOW_STEP]: FLOW_SLOPE * erosionShare(lives, component)};
  const fitted = lifePosterior(stepped, {widths: WIDTHS, centres, count: DRAWS, seed, failures});
  const steps = new Set(seen.regimes.map(flowStep));
  const beyond = muds.length > seen.muds.length && steps.size === 1 ? flowStep(also!.regime) - [...steps][0]! : 0;
  const posterior =
    fitted === null || beyond === 0
      ? fitted
      : withExpectedSlope(fitted, {steps: beyond, mean: centres[FLOW_STEP], deviation: WIDTHS[FLOW_STEP]}, seed + 2);
  return {
    ...shared,
    posterior,
    noFit: posterior === null ? "the life model did not settle on these lives" : null,
    failures,
    own: posterior === null ? OPEN : ownShape(data, posterior.speed, level),
    powers: posterior === null ? null : new AgePowers(posterior.shape),
    oldest: oldestIn(data, posterior),
  };
}

/** What a row is priced with in one condition. */
export interface ConditionLife {
  /** likeliest law of wear-out; a shape of 1 where only chance has struck */
  readonly wear: Weibull;
  /** chance failures per unit of exposure beside it */
  readonly chanceRate: number;
  readonly draws: LifeDraws;
}

/** A condition, and the share of a part's hours spent there. */
export interface ConditionShare {
  /** `mud regime` */
  readonly condition: string;
  readonly share: number;
}

/**
 * The life of a part that spends its hours in several conditions, evenly mixed over its life: an hour ages it by the mean of
 * their paces, so the scale is their harmonic mean. Conditions that the model does not know are left out of the mix; null
 * where none is left, or there is no model. Chance alone is an exponential life.
 */
export function mixedLife(model: ComponentModel, mix: readonly ConditionShare[]): ConditionLife | null {
  const {posterior, cellOf, chanceDraws, chanceRate, powers} = model;
  const known = mix.flatMap(({condition, share}) => {
    const cell = cellOf.get(condition);
    return cell === undefined ? [] : [{cell, share}];
  });
  const total = known.reduce((sum, {share}) => sum + share, 0);
  if (!(total > 0)) return null;
  if (posterior !== null) {
    const scaleOf = (of: Float64Array, from: number): number =>
      total / known.reduce((sum, {cell, share}) => sum + share / of[from + cell]!, 0);
    const scale = new Float64Array(posterior.count);
    for (let d = 0; d < scale.length; d++) scale[d] = scaleOf(posterior.scale, d * posterior.cells);
    return {
      wear: {shape: posterior.likeliest.shape, scale: scaleOf(posterior.likeliest.scale, 0)},
      chanceRate,
      draws: {
        shape: posterior.shape,
        scale,
        chance: chanceDraws,
        ...(powers === null ? {} : {powers}),
      },
    };
  }
  if (!(chanceRate > 0)) return null;
  return {
    wear: {shape: 1, scale: 1 / chanceRate},
    chanceRate: 0,
    draws: {
      shape: new Float64Array(DRAWS).fill(1),
      scale: chanceDraws.map((rate) => 1 / rate),
      chance: new Float64Array(DRAWS),
    },
  };
}

/** How fast a mix ages a part, 1 where no effect is known. */
export function mixedSpeed({posterior, cellOf}: ComponentModel, mix: readonly ConditionShare[]): number {
  let speed = 0;
  let total = 0;
  for (const {condition, share} of mix) {
    const cell = cellOf.get(condition);
    if (cell === undefined) continue;
    speed += share * Math.exp(posterior?.speed[cell] ?? 0);
    total += share;
  }
  return total > 0 ? speed / total : 1;
}

/** Share of the wear failures of a component that are erosion or wear, which flow drives. */
function erosionShare(lives: LifeTable, component: string): number {
  let wear = 0;
  let driven = 0;
  for (let i = 0; i < lives.rows; i++) {
    if (lives.component.words[lives.component.codes[i]!] !== component) continue;
    if (lives.upper[i] === Infinity || lives.serviceInduced[i] === 1) continue;
    const code = lives.mode.words[lives.mode.codes[i]!];
    if (code === undefined || modeGroup(code) !== "wear") continue;
    wear += 1;
    const mechanism = MODES[code]?.mechanism ?? "";
    if (mechanism.startsWith("2.3") || mechanism.startsWith("2.4")) driven += 1;
  }
  return wear === 0 ? 0 : driven / wear;
}

/** The greatest effective age any life reached. */
function oldestIn({cells, atLower, lower}: ConditionData, posterior: LifePosterior | null): number {
  let oldest = 0;
  for (let i = 0; i < lower.length; i++) {
    let age = 0;
    for (let k = 0; k < cells; k++)
      age += atLower[i * cells + k]! * (posterior === null ? 1 : Math.exp(posterior.speed[k]!));
    oldest = Math.max(oldest, age);
  }
  return oldest;
}

/** A fixed seed from a word (FNV-1a), so that the same log gives the same sheet. */
function seedOf(word: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < word.length; i++) hash = Math.imul(hash ^ word.charCodeAt(i), 0x01000193);
  return hash >>> 0;
}
