/**
 * The policy priced for many parameter draws at once: what a renewal age costs, draw by draw, for one component in one
 * condition, over the fleets that serve it there. The walk of rebuild ages is shared; only the survival changes.
 *
 * A draw is a Weibull of wear-out with chance failures beside it: H(t) = (t / scale) ** shape + chance · t.
 */
import type {RenewalCosts} from "./costs.ts";
import {drawTables, type DrawTables, type LifeDraws} from "./drawTables.ts";
import {endsRunAt, type EndingChances} from "./endsRun.ts";
import type {RebuildWalk} from "./rebuildWalk.ts";
import {Scratch} from "./Scratch.ts";

/** One fleet's use of a component in a condition. */
export interface Service {
  /** share of the condition's exposure, the shares adding up to 1 */
  readonly share: number;
  readonly walk: RebuildWalk;
  readonly costs: RenewalCosts;
  /** today's renewal age; null: run to failure */
  readonly current: number | null;
}

/** Rates per unit of exposure, one a draw. */
export interface Rates {
  readonly money: Float64Array;
  readonly failures: Float64Array;
}

export interface PricedDraws {
  readonly draws: number;
  /** renewing when age + next run would pass `interval` */
  at(interval: number): Rates;
  readonly current: Rates;
  readonly runToFailure: Rates;
  /** renewal ages tried: the first is a renewal at every rebuild */
  readonly intervals: Float64Array;
  /** money per unit of exposure, row-major [draw × interval tried] */
  readonly money: Float64Array;
}

/** Ages tried grow by this factor once they are many steps: between them the curve is flat. */
const GROWTH = 1.18;

export interface PriceOptions {
  /** planned exposure of the next run */
  readonly nextRun: number;
  /** chance that a failure ends the run */
  readonly endsRun: EndingChances;
  /** where the tables behind the prices are kept: prices made there before can be asked for nothing more */
  readonly scratch?: Scratch;
}

/**
 * @param draws at least one
 * @param services at least one, all their walks on one grid (same step, same points)
 */
export function priceDraws(
  draws: LifeDraws,
  services: readonly Service[],
  {nextRun, endsRun, scratch = new Scratch()}: PriceOptions,
): PricedDraws {
  const first = services[0];
  if (first === undefined) throw new RangeError("priceDraws requires at least one service, got none");
  const {step, points} = first.walk;
  if (services.some(({walk}) => walk.step !== step || walk.points !== points)) {
    throw new RangeError("priceDraws requires walks on one grid");
  }
  const count = draws.shape.length;
  const ages = points + Math.max(...services.map(({walk}) => walk.reach));
  const tables = drawTables(draws, {step, ages}, endsRun, scratch);
  const {survival, ended, waiting, waited, stayed, mean} = tables;
  const found = services.map(({walk}, s) => foundBefore(tables, walk, scratch.array(`found ${s}`, count * points)));

  const rates = (): {money: Float64Array; failures: Float64Array} => ({
    money: new Float64Array(count),
    failures: new Float64Array(count),
  });

  /** adds `part` times the rates of service s at threshold j to every draw */
  const add = (into: {money: Float64Array; failures: Float64Array}, s: number, j: number, part: number): void => {
    const {walk, costs} = services[s]!;
    const {overshoot, still, wait, reach} = walk;
    const row = j * reach;
    const meanOvershoot = wait[row]! + 0.5 * still[row]!;
    const before = found[s]!;
    for (let d = 0; d < count; d++) {
      const at = d * ages + j;
      let planned = 0;
      let broke = 0;
      // what failed before the threshold has waited for rebuilds before it, not for the one past it
      let length = before[d * points + j]! - step * (waited[at]! + waiting[at]! * meanOvershoot);
      for (let k = 0; k < reach; k++) {
        const chance = overshoot[row + k]!;
        planned += chance * survival[at + k + 1]!;
        broke += chance * ended[at + k + 1]!;
        length += chance * stayed[at + k + 1]!;
      }
      const late = Math.max(0, 1 - planned - broke);
      const money = planned * costs.planned + broke * costs.failure + late * (costs.planned + costs.found);
      into.money[d]! += (part * money) / length;
      into.failures[d]! += (part * (broke + late)) / length;
    }
  };

  /** adds service s at a renewal age: between two grid thresholds, a mixture of both */
  const addAt = (into: {money: Float64Array; failures: Float64Array}, s: number, interval: number): void => {
    const {share: part} = services[s]!;
    const position = Math.min(Math.max((interval - nextRun) / step - 0.5, 0), points - 1);
    const below = Math.floor(position);
    const above = position - below;
    add(into, s, below, part * (1 - above));
    if (above > 1e-9) add(into, s, below + 1, part * above);
  };

  const addRunToFailure = (into: {money: Float64Array; failures: Float64Array}, s: number): void => {
    const {share: part, costs, walk} = services[s]!;
    const late = endsRunAt(endsRun.wear, points * step);
    const last = points - 1;
    const wait = walk.wait[last * walk.reach]!;
    for (let d = 0; d < count; d++) {
      const left = survival[d * ages + last]!;
      const broke = ended[d * ages + last]! + left * late;
      const length = mean[d]! + found[s]![d * points + last]! + left * (1 - late) * wait * step;
      into.money[d]! += (part * (broke * costs.failure + (1 - broke) * (costs.planned + costs.found))) / length;
      into.failures[d]! += part / length;
    }
  };

  const current = rates();
  const runToFailure = rates();
  services.forEach(({current: age}, s) => {
    if (age === null || age - nextRun > (points - 1) * step) addRunToFailure(current, s);
    else addAt(current, s, age);
    addRunToFailure(runToFailure, s);
  });

  const tried: number[] = [];
  for (let j = 0; j < points; j = Math.max(j + 1, Math.round(j * GROWTH))) tried.push(j);
  const money = scratch.array("money", count * tried.length);
  const one = rates();
  tried.forEach((j, t) => {
    one.money.fill(0);
    services.forEach(({share: part}, s) => add(one, s, j, part));
    for (let d = 0; d < count; d++) money[d * tried.length + t] = one.money[d]!;
  });

  return {
    draws: count,
    at: (interval) => {
      const one = rates();
      services.forEach((_, s) => addAt(one, s, interval));
      return one;
    },
    current,
    runToFailure,
    intervals: Float64Array.from(tried, (j) => nextRun + (j + 0.5) * step),
    money,
  };
}

/** Exposure that failures before each threshold waited to be found at the rebuild after them, row-major [draw × threshold]. */
function foundBefore(
  {ages, waiting}: DrawTables,
  {wait, reach, points, step}: RebuildWalk,
  into: Float64Array,
): Float64Array {
  for (let d = 0; d * points < into.length; d++) {
    let sum = 0;
    into[d * points] = 0;
    for (let j = 1; j < points; j++) {
      const at = d * ages + j;
      sum += (waiting[at]! - waiting[at - 1]!) * wait[(j - 1) * reach]! * step;
      into[d * points + j] = sum;
    }
  }
  return into;
}
