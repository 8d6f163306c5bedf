/**
 * The policy priced for many parameter draws at once: what a renewal age costs, draw by draw, for one component in one
 * condition, over the fleets that serve it there. The walk of rebuild ages is shared; only the survival changes.
 *
 * A draw is a Weibull of wear-out with chance failures beside it: H(t) = (t / scale) ** shape + chance · t.
 */
import type {RenewalCosts} from "./costs.ts";
import {endsRunAt, type EndingChances} from "./endsRun.ts";
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

/**
 * @param draws at least one
 * @param services at least one, all their walks on one grid (same step, same points)
 * @param options planned exposure of the next run; chance that a failure ends the run
 */
export function priceDraws(
  draws: LifeDraws,
  services: readonly Service[],
  {nextRun, endsRun}: {readonly nextRun: number; readonly endsRun: EndingChances},
): PricedDraws {
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
  // failures in the step that begins at each grid age: those that end a run, and those that wait for the teardown
  const ending = new Float64Array(count * ages);
  const waiting = new Float64Array(count * ages);
  const share = Float64Array.from({length: ages}, (_, i) => endsRunAt(endsRun.wear, (i + 0.5) * step));
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
    let wornBefore = 0;
    for (let i = 1; i < ages; i++) {
      const worn = Math.exp(shape * (logAge[i]! - logScale));
      const s = Math.exp(-worn - chance * i * step);
      sum += (before + s) * step * 0.5;
      survival[row + i] = s;
      reached[row + i] = sum;
      // failures of a step are shared between wear and chance as their hazards are
      const byChance = (chance * step) / (worn - wornBefore + chance * step || 1);
      ending[row + i - 1] = (before - s) * (byChance * endsRun.chance + (1 - byChance) * share[i - 1]!);
      wornBefore = worn;
      waiting[row + i - 1] = before - s - ending[row + i - 1]!;
      before = s;
    }
    mean[d] = sum + tailAfter({shape, scale}, chance, (ages - 1) * step);
  }

  /** failures before each threshold that ended a run, and the exposure the others waited for */
  const endedBefore = new Float64Array(count * points);
  for (let d = 0; d < count; d++) {
    for (let j = 1; j < points; j++) {
      endedBefore[d * points + j] = endedBefore[d * points + j - 1]! + ending[d * ages + j - 1]!;
    }
  }
  const waitedBefore = services.map(({walk: {wait, reach}}) => {
    const sums = new Float64Array(count * points);
    for (let d = 0; d < count; d++) {
      for (let j = 1; j < points; j++) {
        sums[d * points + j] = sums[d * points + j - 1]! + waiting[d * ages + j - 1]! * wait[(j - 1) * reach]!;
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
    const {walk, costs} = services[s]!;
    const {overshoot, still, wait, reach} = walk;
    const row = j * reach;
    for (let d = 0; d < count; d++) {
      const at = d * ages + j;
      let planned = 0;
      let lived = 0;
      let ended = endedBefore[d * points + j]!;
      let waited = waitedBefore[s]![d * points + j]!;
      for (let k = 0; k < reach; k++) {
        const chance = overshoot[row + k]!;
        planned += chance * survival[at + k + 1]!;
        lived += chance * reached[at + k + 1]!;
        ended += ending[at + k]! * still[row + k]!;
        waited += waiting[at + k]! * wait[row + k]!;
      }
      const found = Math.max(0, 1 - planned - ended);
      const money = planned * costs.planned + ended * costs.failure + found * (costs.planned + costs.found);
      const length = lived + waited * step;
      into.money[d]! += (part * money) / length;
      into.failures[d]! += (part * (ended + found)) / length;
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
    for (let d = 0; d < count; d++) {
      const last = points - 1;
      const left = survival[d * ages + last]!;
      const ended = endedBefore[d * points + last]! + left * late;
      const waited = waitedBefore[s]![d * points + last]! + left * (1 - late) * walk.wait[last * walk.reach]!;
      const length = mean[d]! + waited * step;
      into.money[d]! += (part * (ended * costs.failure + (1 - ended) * (costs.planned + costs.found))) / length;
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
  const money = new Float64Array(count * tried.length);
  tried.forEach((j, t) => {
    const one = rates();
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
