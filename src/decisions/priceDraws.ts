/**
 * The policy priced for many parameter draws at once: what a renewal age costs, draw by draw, for one component in one
 * condition, over the fleets that serve it there. The walk of rebuild ages is shared; only the survival changes.
 *
 * A draw is a Weibull of wear-out with chance failures beside it: H(t) = (t / scale) ** shape + chance · t.
 */
import {meanFailureCost, type RenewalCosts} from "./costs.ts";
import type {RebuildWalk} from "./rebuildWalk.ts";
import {integrate} from "./integrate.ts";
import type {Weibull} from "../statistics/types.ts";

/** Equally likely parameter draws; the columns have one length. */
export interface LifeDraws {
  readonly shape: Float64Array;
  readonly scale: Float64Array;
  /** chance failures per unit of exposure */
  readonly chance: Float64Array;
}

/** One fleet's use of a component in a condition. */
export interface Service {
  /** share of the condition's exposure, the shares adding up to 1 */
  readonly share: number;
  readonly walk: RebuildWalk;
  readonly costs: RenewalCosts;
  /** share of failures that end the run */
  readonly endsRun: number;
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
const GROWTH = 1.12;

/**
 * @param draws at least one
 * @param services at least one, all their walks on one grid (same step, same points)
 * @param nextRun planned exposure of the next run
 */
export function priceDraws(draws: LifeDraws, services: readonly Service[], nextRun: number): PricedDraws {
  const first = services[0];
  if (first === undefined) throw new RangeError("priceDraws requires at least one service, got none");
  const {step, points} = first.walk;
  if (services.some(({walk}) => walk.step !== step || walk.points !== points)) {
    throw new RangeError("priceDraws requires walks on one grid");
  }
  const count = draws.shape.length;
  const ages = points + Math.max(...services.map(({walk}) => walk.reach));
  const survival = new Float64Array(count * ages);
  const reached = new Float64Array(count * ages);
  const mean = new Float64Array(count);
  const logAge = Float64Array.from({length: ages}, (_, i) => Math.log(i * step));
  for (let d = 0; d < count; d++) {
    const shape = draws.shape[d]!;
    const scale = draws.scale[d]!;
    const chance = draws.chance[d]!;
    const logScale = Math.log(scale);
    const row = d * ages;
    survival[row] = 1;
    let before = 1;
    let sum = 0;
    for (let i = 1; i < ages; i++) {
      const s = Math.exp(-Math.exp(shape * (logAge[i]! - logScale)) - chance * i * step);
      sum += (before + s) * step * 0.5;
      survival[row + i] = s;
      reached[row + i] = sum;
      before = s;
    }
    mean[d] = sum + tailAfter({shape, scale}, chance, (ages - 1) * step);
  }

  /** exposure waited for by failures found late, summed over the rebuilds up to each grid age */
  const waited = services.map(({walk: {visits, meanGap}}) => {
    const sums = new Float64Array(count * points);
    for (let d = 0; d < count; d++) {
      let sum = 0;
      for (let i = 0; i < points; i++) {
        sum += visits[i]! * survival[d * ages + i]!;
        sums[d * points + i] = sum * meanGap;
      }
    }
    return sums;
  });

  const rates = (): {money: Float64Array; failures: Float64Array} => ({
    money: new Float64Array(count),
    failures: new Float64Array(count),
  });

  /** adds `part` times the rates of service s at threshold j to every draw */
  const add = (into: {money: Float64Array; failures: Float64Array}, s: number, j: number, part: number): void => {
    const {walk, costs, endsRun} = services[s]!;
    const {overshoot, reach} = walk;
    const late = waited[s]!;
    const failure = meanFailureCost(costs, endsRun);
    const row = j * reach;
    for (let d = 0; d < count; d++) {
      const at = d * ages + j + 1;
      let planned = 0;
      let lived = 0;
      for (let k = 0; k < reach; k++) {
        const chance = overshoot[row + k]!;
        planned += chance * survival[at + k]!;
        lived += chance * reached[at + k]!;
      }
      const length = endsRun * lived + (1 - endsRun) * late[d * points + j]!;
      const failed = Math.max(0, 1 - planned);
      into.money[d]! += (part * (planned * costs.planned + failed * failure)) / length;
      into.failures[d]! += (part * failed) / length;
    }
  };

  /** adds service s at a renewal age: between two grid thresholds, a mixture of both */
  const addAt = (into: {money: Float64Array; failures: Float64Array}, s: number, interval: number): void => {
    const {share} = services[s]!;
    const position = Math.min(Math.max((interval - nextRun) / step - 0.5, 0), points - 1);
    const below = Math.floor(position);
    const above = position - below;
    add(into, s, below, share * (1 - above));
    if (above > 1e-9) add(into, s, below + 1, share * above);
  };

  const addRunToFailure = (into: {money: Float64Array; failures: Float64Array}, s: number): void => {
    const {share, costs, endsRun} = services[s]!;
    const failure = meanFailureCost(costs, endsRun);
    for (let d = 0; d < count; d++) {
      const last = d * ages + points - 1;
      const rest = Math.max(0, mean[d]! - reached[last]! - 0.5 * step * survival[last]!);
      const length = endsRun * mean[d]! + (1 - endsRun) * (waited[s]![d * points + points - 1]! + rest);
      into.money[d]! += (share * failure) / length;
      into.failures[d]! += share / length;
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
  const money = new Float64Array(count * tried.length);
  tried.forEach((j, t) => {
    const one = rates();
    services.forEach(({share}, s) => add(one, s, j, share));
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

/** Integral of the survival from `age` on: what the grid does not reach. Little is left there, so three pieces do. */
function tailAfter({shape, scale}: Weibull, chance: number, age: number): number {
  const survival = (t: number): number => Math.exp(-((t / scale) ** shape) - chance * t);
  if (survival(age) < 1e-6) return 0;
  // pieces grow by the age at which another unit of hazard has been gathered
  const hazard = (shape / scale) * (age / scale) ** (shape - 1) + chance;
  const unit = 1 / hazard;
  let sum = 0;
  let from = age;
  for (const width of [1, 2, 4, 8, 16, 64]) {
    const to = from + width * unit;
    sum += integrate(survival, from, to);
    from = to;
    if (survival(from) < 1e-6) break;
  }
  return sum;
}
