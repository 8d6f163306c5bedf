/**
 * What would change the answer of a row of the sheet: the interval and its saving again, with one thing different at a time,
 * and how much of the answer is doubt that more failures would lift.
 */
import type {ComponentSettings, Settings} from "../../shared/settings.ts";
import {COMPONENTS} from "../../shared/vocabulary/index.ts";
import {mixedLife, type ComponentModel} from "./componentModel.ts";
import type {IntervalRow} from "./intervalRow.ts";
import {SHAPE_PRIOR, type LifePosterior} from "./lifePosterior.ts";
import {horizonOf, intervalRow, type RowInputs} from "./makeRow.ts";
import {priceDraws} from "./priceDraws.ts";
import {fleetUses, gridFor, servicesOf} from "./services.ts";
import {drawMean} from "./spread.ts";

export const HINGES = ["failure cost", "shape", "life", "run length"] as const;
export type HingeName = (typeof HINGES)[number];

/** The row with one thing different. */
export interface HingeEnd {
  /** what that thing is then: a factor for costs, else the value itself */
  readonly at: number;
  readonly advice: IntervalRow["advice"];
  readonly interval: number | null;
  /** money per 1,000 of exposure, against today's policy under the same change; null where it cannot be told */
  readonly saving: number | null;
}

export interface Hinge {
  readonly name: HingeName;
  readonly low: HingeEnd;
  readonly high: HingeEnd;
}

export interface RowHinges {
  readonly row: IntervalRow;
  readonly hinges: readonly Hinge[];
  /** money per 1,000 of exposure that would be saved if the life were known exactly: what the doubt costs on average */
  readonly doubtCosts: number | null;
  /** wear failures in all conditions that the doubt rests on, and how many more would halve it; null without a model */
  readonly failures: number;
  readonly toHalve: number | null;
  /** exposure of the component, all conditions, in which so many more come at the rate of the log */
  readonly toHalve_h: number | null;
}

/** Costs are halved and doubled: few shops know theirs better. */
const FACTORS = [0.5, 2] as const;
/** A shape or a life at the end of what the lives allow is the mean of so large a share of the draws there. */
const TAIL = 0.2;
/** The log shape expected of wear weighs as much as so many failures (lifePosterior.ts). */
const PRIOR_FAILURES = 6 / Math.PI ** 2 / SHAPE_PRIOR.deviation ** 2;

/** @param runs lower and upper quartile of the log's runs, the lengths of next run that are tried */
export function rowHinges(inputs: RowInputs, row: IntervalRow, runs: readonly [number, number]): RowHinges {
  const {settings, model, use} = inputs;
  const end = (at: number, changed: Partial<RowInputs>): HingeEnd => {
    const other = intervalRow({...inputs, ...changed});
    return {
      at,
      advice: other.advice,
      interval: other.interval_h,
      saving: other.savingPer1000h.againstCurrent,
    };
  };
  const hinges: Hinge[] = [];
  if (row.costPer1000h.runToFailure !== null) {
    // only the ratio of the costs moves an interval, so one of them is enough
    const [low, high] = FACTORS.map((factor) => end(factor, {settings: dearer(settings, use.component, factor)}));
    hinges.push({name: "failure cost", low: low!, high: high!});
  }
  if (model.posterior !== null) {
    for (const name of ["shape", "life"] as const) {
      const [low, high] = tails(inputs, name).map(({at, draws}) => end(at, {model: withDraws(model, draws)}));
      hinges.push({name, low: low!, high: high!});
    }
  }
  const [shorter, longer] = runs;
  if (shorter < longer) {
    hinges.push({
      name: "run length",
      low: end(shorter, {nextRun: shorter}),
      high: end(longer, {nextRun: longer}),
    });
  }
  const fixed = COMPONENTS[use.component]?.disposition === "always renewed";
  const toHalve = model.posterior === null ? null : Math.ceil(3 * (model.failures + PRIOR_FAILURES));
  return {
    row,
    hinges: fixed ? [] : hinges,
    doubtCosts: fixed ? null : doubtCosts(inputs, row),
    failures: model.failures,
    toHalve,
    toHalve_h: toHalve === null || model.failures === 0 ? null : (toHalve * use.exposure) / model.failures,
  };
}

/** The settings with the failure cost of a component multiplied, for the shop and for every fleet that has its own. */
function dearer(settings: Settings, component: string, factor: number): Settings {
  const times = <T extends Partial<ComponentSettings>>(own: T | undefined): T | undefined =>
    own?.failure_cost === undefined ? own : {...own, failure_cost: own.failure_cost * factor};
  const components = {...settings.components};
  const shop = times(components[component]);
  if (shop !== undefined) components[component] = shop;
  const fleets = Object.fromEntries(
    Object.entries(settings.fleets).map(([fleet, own]) => {
      const said = times(own.components[component]);
      return [fleet, said === undefined ? own : {...own, components: {...own.components, [component]: said}}];
    }),
  );
  return {...settings, components, fleets};
}

/** Draws with the smallest and the largest shape or scale in the condition, and their mean. */
function tails({model, mix}: RowInputs, by: "shape" | "life"): {at: number; draws: number[]}[] {
  const life = mixedLife(model, mix);
  if (life === null) return [];
  const values = by === "shape" ? life.draws.shape : life.draws.scale;
  const order = Array.from(values.keys()).sort((a, b) => values[a]! - values[b]!);
  const count = Math.max(1, Math.round(TAIL * values.length));
  return [order.slice(0, count), order.slice(-count)].map((draws) => ({
    at: drawMean(draws.map((d) => values[d]!)),
    draws,
  }));
}

/** The model with some of its draws only; its likeliest law is their middle. */
function withDraws(model: ComponentModel, draws: readonly number[]): ComponentModel {
  const {cells, shape, scale, speed} = model.posterior!;
  const kept: LifePosterior = {
    count: draws.length,
    cells,
    shape: Float64Array.from(draws, (d) => shape[d]!),
    scale: Float64Array.from(
      {length: draws.length * cells},
      (_, i) => scale[draws[Math.floor(i / cells)]! * cells + (i % cells)]!,
    ),
    likeliest: {
      shape: Math.exp(drawMean(draws.map((d) => Math.log(shape[d]!)))),
      scale: Float64Array.from({length: cells}, (_, c) =>
        Math.exp(drawMean(draws.map((d) => Math.log(scale[d * cells + c]!)))),
      ),
    },
    speed,
  };
  return {
    ...model,
    posterior: kept,
    powers: null,
    chanceDraws: Float64Array.from(draws, (d) => model.chanceDraws[d]!),
  };
}

/** Mean over the draws of what the recommendation costs above each draw's own cheapest age, run to failure included. */
function doubtCosts(inputs: RowInputs, row: IntervalRow): number | null {
  const {model, mix, settings, nextRun, endsRun, condition, use, scratch} = inputs;
  const life = mixedLife(model, mix);
  if (life === null || row.costPer1000h.recommended === null) return null;
  const {fleets} = fleetUses(condition, use.component, inputs);
  const services = servicesOf(fleets, gridFor(horizonOf(life, fleets, nextRun), settings.service_unit_h, fleets));
  if (services === null) return null;
  const priced = priceDraws(life.draws, services, {nextRun, endsRun, scratch});
  const tried = priced.intervals.length;
  const followed = row.interval_h === null ? priced.runToFailure : priced.at(row.interval_h);
  let sum = 0;
  for (let d = 0; d < priced.draws; d++) {
    let least = priced.runToFailure.money[d]!;
    for (let t = 0; t < tried; t++) least = Math.min(least, priced.money[d * tried + t]!);
    sum += Math.max(0, followed.money[d]! - least);
  }
  return (1000 * sum) / priced.draws;
}
