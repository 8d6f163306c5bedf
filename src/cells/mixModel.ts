/**
 * How often wear would end runs in each mud, flow and temperature, whoever runs the tools: the condition effects turned
 * into rates, so that fleets can be compared at one mix.
 *
 * Each component's lives give its Weibull life in every condition (statistics/fitConditions). Parts are renewed at
 * rebuilds, so a part that ages twice as fast does not fail 2^shape times as often: its rate is that of renewal at an age,
 * F(T) / ∫₀ᵀ S, with T the age that gives the hours a part spends in service in these logs. T is the same for all fleets:
 * a fleet that renews later than the others shows it in what is left, not in the mix.
 *
 * Made from all lives of the logs whatever the filters, so one model serves every cell and filter (effects.memo).
 */
import {wordAt, wordsOf, type Words} from "../../shared/columnar.ts";
import {COMPONENT_CODES} from "../../shared/vocabulary/index.ts";
import {conditionDataFor, exposureOf, LIFE_ENDINGS, type LifeTable} from "../lives/index.ts";
import {effectDraws, failureFraction, fitConditions, restrictedMean, type ConditionFit} from "../statistics/index.ts";
import type {CellEffects, CellInputs} from "./contract.ts";
import {countedModes} from "./lifeGroups.ts";
import {sayCondition} from "./say.ts";

/** Draws of the model behind every limit that counts its uncertainty. */
export const DRAWS = 200;
const SEED = 20_260_101;

/** Edges of the temperature bands, °C: below the first nothing is aged by heat in the trade's usual rule (common practice). */
const HEAT_EDGES = [110, 130] as const;
export const HEAT_BANDS = ["up to 110 °C", "110 to 130 °C", "above 130 °C"] as const;

export interface RunCell {
  readonly mud: string;
  readonly regime: string;
  readonly heat: string;
}

/** How often one component fails by wear in each condition, relative figures: only their ratios mean anything. */
export interface PartRisk {
  readonly component: string;
  readonly failures: number;
  /** by condition */
  readonly risk: Float64Array;
  /** the same with every mud taken as the commonest one: what flow and temperature alone do */
  readonly riskSameMud: Float64Array;
  /** draw d of condition k at d × conditions + k */
  readonly drawn: Float64Array;
  readonly drawnSameMud: Float64Array;
}

export interface MixModel {
  readonly cells: readonly RunCell[];
  /** condition of every run of the run table */
  readonly cellOf: Int32Array;
  /** components whose lives carry a model; the others are left as they are */
  readonly parts: ReadonlyMap<string, PartRisk>;
  /** components with wear failures but no model, with the reason */
  readonly without: readonly {readonly component: string; readonly sentence: string}[];
}

/** The model of these logs, made once for all cells and filters. */
export function mixModel(inputs: CellInputs, effects: CellEffects): MixModel {
  const make = () => makeModel(inputs);
  return effects.memo ? effects.memo(`mix model ${inputs.settings.exposure}`, make) : make();
}

/** Temperature band of every run; missing where the log names no temperature. */
export function heatBands(temperature: Float64Array): Words {
  return wordsOf(
    Array.from(temperature, (t) =>
      Number.isFinite(t) ? HEAT_BANDS[t <= HEAT_EDGES[0] ? 0 : t <= HEAT_EDGES[1] ? 1 : 2]! : null,
    ),
  );
}

export const sayCell = ({mud, regime, heat}: RunCell): string =>
  `${sayCondition(mud, regime)}, ${heat === "unknown" ? "unknown temperature" : heat}`;

function makeModel({runs, all, conditions, settings}: CellInputs): MixModel {
  const heat = heatBands(runs.columns.temperature_max_C);
  const {cells, cellOf} = cellsOfRuns(conditions.mud, conditions.regime, heat);
  const exposures = exposureOf(runs, settings.exposure);
  const mix = new Float64Array(cells.length);
  cellOf.forEach((cell, run) => {
    if (exposures[run]! > 0) mix[cell]! += exposures[run]!;
  });
  const parts = new Map<string, PartRisk>();
  const without: {component: string; sentence: string}[] = [];
  for (const component of COMPONENT_CODES) {
    if (!all.component.words.includes(component)) continue;
    const {data} = conditionDataFor(
      all,
      {component, ...countedModes(component, "wear")},
      {name: "temperature", ofRun: heat},
    );
    if (data.lower.length === 0) continue;
    const fit = fitConditions(data, {level: settings.level});
    if (!fit.fitted) {
      without.push({component, sentence: fit.sentence});
      continue;
    }
    parts.set(component, partRisk(component, fit, {cells, mix, hoursPerPart: hoursPerPart(all, component)}));
  }
  return {cells, cellOf, parts, without};
}

function cellsOfRuns(mud: Words, regime: Words, heat: Words): {cells: RunCell[]; cellOf: Int32Array} {
  const known = new Map<string, number>();
  const cells: RunCell[] = [];
  const cellOf = Int32Array.from(mud.codes, (_, run) => {
    const cell = {
      mud: wordAt(mud, run) ?? "UNK",
      regime: wordAt(regime, run) ?? "unknown",
      heat: wordAt(heat, run) ?? "unknown",
    };
    const key = `${cell.mud}|${cell.regime}|${cell.heat}`;
    const place = known.get(key);
    if (place !== undefined) return place;
    known.set(key, cells.length);
    return cells.push(cell) - 1;
  });
  return {cells, cellOf};
}

/** Hours in service per part that left it: what the shop's renewal habit comes to. Infinity when none left. */
function hoursPerPart(lives: LifeTable, component: string): number {
  const code = lives.component.words.indexOf(component);
  const {offsets, hours} = lives.exposure;
  let spent = 0;
  let left = 0;
  for (let row = 0; row < lives.rows; row++) {
    if (lives.component.codes[row] !== code) continue;
    for (let s = offsets[row]!; s < offsets[row + 1]!; s++) if (hours[s]! > 0) spent += hours[s]!;
    const ending = LIFE_ENDINGS[lives.ending[row]!];
    if (ending !== "still running" && ending !== "cut by window" && ending !== "lost from view") left++;
  }
  return left === 0 ? Infinity : spent / left;
}

function partRisk(
  component: string,
  fit: ConditionFit,
  {cells, mix, hoursPerPart: hours}: {cells: readonly RunCell[]; mix: Float64Array; hoursPerPart: number},
): PartRisk {
  const K = cells.length;
  const draws = effectDraws(fit, {count: DRAWS, seed: SEED});
  const place = (factor: string, level: string) =>
    fit.effects.findIndex((effect) => effect.factor === factor && effect.level === level);
  const commonest = fit.effects.findIndex(({factor, reference}) => factor === "mud" && reference);
  const terms = cells.map(({mud, regime, heat}) => [
    place("mud", mud),
    place("regime", regime),
    place("temperature", heat),
  ]);
  const estimates = Float64Array.from(fit.effects, ({estimate}) => estimate);
  /** log ageing speed of a condition; a level that no life saw counts as the reference */
  const speed = (k: number, effect: (e: number) => number, sameMud: boolean): number =>
    terms[k]!.reduce((sum, e, factor) => {
      const use = factor === 0 && sameMud ? commonest : e;
      return use < 0 ? sum : sum + effect(use);
    }, 0);
  const scaleOf = (k: number, sameMud: boolean) => fit.scale * Math.exp(-speed(k, (e) => estimates[e]!, sameMud));
  const until = renewalAge(
    hours,
    Array.from(mix, (share, k) => ({share, scale: scaleOf(k, false)})),
    fit.shape,
  );
  const rate = (shape: number, scale: number): number =>
    failureFraction(until, {shape, scale}) / restrictedMean(until, {shape, scale});
  const drawn = new Float64Array(DRAWS * K);
  const drawnSameMud = new Float64Array(DRAWS * K);
  for (let d = 0; d < DRAWS; d++) {
    const effect = (e: number): number => draws.effect[d * draws.effects + e]!;
    for (let k = 0; k < K; k++) {
      drawn[d * K + k] = rate(draws.shape[d]!, draws.scale[d]! * Math.exp(-speed(k, effect, false)));
      drawnSameMud[d * K + k] = rate(draws.shape[d]!, draws.scale[d]! * Math.exp(-speed(k, effect, true)));
    }
  }
  return {
    component,
    failures: fit.failures,
    risk: Float64Array.from(cells, (_, k) => rate(fit.shape, scaleOf(k, false))),
    riskSameMud: Float64Array.from(cells, (_, k) => rate(fit.shape, scaleOf(k, true))),
    drawn,
    drawnSameMud,
  };
}

/**
 * The age of renewal that gives the hours per part of the logs, found by halving: mean time in service rises with it.
 * Ten times the longest life in any condition where parts are in effect run to failure.
 */
function renewalAge(hours: number, mix: readonly {share: number; scale: number}[], shape: number): number {
  const whole = mix.reduce((sum, {share}) => sum + share, 0);
  const longest = 10 * Math.max(...mix.map(({scale}) => scale));
  const served = (age: number): number =>
    mix.reduce((sum, {share, scale}) => sum + (share / whole) * restrictedMean(age, {shape, scale}), 0);
  if (!(whole > 0) || served(longest) <= hours) return longest;
  let low = 0;
  let high = longest;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (served(middle) < hours) low = middle;
    else high = middle;
  }
  return high;
}
