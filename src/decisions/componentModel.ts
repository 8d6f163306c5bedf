import {MODES, REGIMES} from "../../shared/vocabulary/index.ts";
/**
 * The life of a component in every condition it has seen: parameter draws, and what they rest on.
 */
import {conditionDataFor, type ConditionAnswer, type LifeTable} from "../lives/index.ts";
import type {ConditionData} from "../statistics/conditionData.ts";
import type {ComponentUse} from "./componentExposure.ts";
import {ownShape, type OwnShape} from "./ownShape.ts";
import {rateDraws} from "./gammaDraws.ts";
import {modeGroup} from "./modeGroups.ts";
import {lifePosterior, type LifePosterior} from "./lifePosterior.ts";
import type {LifeDraws} from "./priceDraws.ts";

export interface ComponentModel {
  readonly component: string;
  /** null when no life model can be had; `noFit` says why */
  readonly posterior: LifePosterior | null;
  /** the shape by the lives alone */
  readonly own: OwnShape;
  readonly noFit: string | null;
  /** wear failures behind the posterior */
  readonly failures: number;
  /** expected chance failures per unit of exposure */
  readonly chanceRate: number;
  readonly chanceDraws: Float64Array;
  /** index of the cell of each condition, by `mud regime` */
  readonly cellOf: ReadonlyMap<string, number>;
  /** oldest part seen, in hours of the condition with speed 1 */
  readonly oldest: number;
  /** ages and entry ages of the lives, for a bound where nothing failed */
  readonly data: ConditionData;
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
export const DRAWS = 200;

export function componentModel(lives: LifeTable, use: ComponentUse, level: number): ComponentModel {
  const {component} = use;
  const {data, muds, regimes} = wearData(lives, component);
  const cellOf = new Map<string, number>();
  for (let k = 0; k < data.cells; k++) cellOf.set(`${muds[k]} ${regimes[k]}`, k);
  const seed = seedOf(component);
  const chance = use.failures.chance;
  const shared = {
    component,
    failures: failuresIn(data),
    chanceRate: use.exposure > 0 ? chance / use.exposure : 0,
    chanceDraws: chance > 0 ? rateDraws(chance, use.exposure, DRAWS, seed + 1) : new Float64Array(DRAWS),
    cellOf,
    data,
  };
  if (shared.failures === 0) {
    return {
      ...shared,
      posterior: null,
      own: {shape: null, limits: [null, null]},
      noFit: "no part has failed by wear",
      oldest: oldestIn(data, null),
    };
  }
  const stepped = {...data, covariates: [{name: FLOW_STEP, ofCell: Float64Array.from(regimes, flowStep)}]};
  const centres = {[FLOW_STEP]: FLOW_SLOPE * erosionShare(lives, component)};
  const posterior = lifePosterior(stepped, {widths: WIDTHS, centres, count: DRAWS, seed, failures: shared.failures});
  return {
    ...shared,
    posterior,
    own: posterior === null ? {shape: null, limits: [null, null]} : ownShape(data, posterior.speed, level),
    noFit: posterior === null ? "the life model did not settle on these lives" : null,
    oldest: oldestIn(data, posterior),
  };
}

/** The draws of one condition; null when there is no model or the condition is not among its cells. */
export function cellDraws({posterior, cellOf, chanceDraws}: ComponentModel, condition: string): LifeDraws | null {
  const cell = cellOf.get(condition);
  if (posterior === null || cell === undefined) return null;
  return {
    shape: posterior.shape,
    scale: Float64Array.from({length: posterior.count}, (_, d) => posterior.scale[d * posterior.cells + cell]!),
    chance: chanceDraws,
  };
}

/** Lives of a component with the failures by chance turned into suspensions at the age at which the part came out. */
function wearData(lives: LifeTable, component: string): ConditionAnswer {
  const answer = conditionDataFor(lives, {component});
  const {data, rows} = answer;
  const {cells} = data;
  const chance = lives.mode.words.map((code) => modeGroup(code) !== "wear");
  const lower = data.lower.slice();
  const upper = data.upper.slice();
  const atLower = data.atLower.slice();
  const failedIn = data.failedIn.slice();
  for (let i = 0; i < rows.length; i++) {
    if (upper[i] === Infinity || chance[lives.mode.codes[rows[i]!]!] !== true) continue;
    lower[i] = upper[i]!;
    upper[i] = Infinity;
    failedIn[i] = -1;
    for (let k = i * cells; k < (i + 1) * cells; k++) atLower[k] = data.atUpper[k]!;
  }
  return {...answer, data: {...data, lower, upper, atLower, failedIn}};
}

/** Share of the wear failures of a component that are erosion or wear, which flow drives; one half more is taken as seen. */
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

function failuresIn({upper, weight}: ConditionData): number {
  let sum = 0;
  for (let i = 0; i < upper.length; i++) if (upper[i]! < Infinity) sum += weight[i]!;
  return sum;
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
