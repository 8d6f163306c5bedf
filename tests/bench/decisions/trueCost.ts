/**
 * What a renewal age truly costs in the invented scenario, by simulating parts one by one with the generator's own
 * rules: a mode strikes at its draw and ends the run, or quietly spoils the part until the teardown; erosion past a
 * share of its draw may be seen at a teardown. Every age is tried on the same parts, so that their costs differ by the
 * age alone.
 */
import type {RenewalCosts} from "../../../src/decisions/costs.ts";
import {Random} from "../../../seeds/Random.ts";

export interface TrueMode {
  readonly shape: number;
  /** circulating h in the condition */
  readonly scale: number;
  /** whether a teardown can see it coming */
  readonly eroding: boolean;
}

export interface TrueService {
  readonly modes: readonly TrueMode[];
  /** h between rebuilds that this part does not force */
  readonly gaps: ArrayLike<number>;
  readonly costs: RenewalCosts;
  readonly quietShare: number;
  readonly foundWorn: {readonly from: number; readonly caught: number};
}

export interface TrueCosts {
  /** age at a rebuild beyond which the part is renewed, h, ascending */
  readonly thresholds: Float64Array;
  /** money per h at each of them */
  readonly money: Float64Array;
  readonly runToFailure: number;
}

const CYCLES = 60_000;

export function trueCosts(service: TrueService, thresholds: Float64Array, seed: string): TrueCosts {
  const {modes, gaps, costs, quietShare, foundWorn} = service;
  const random = new Random(seed);
  const money = new Float64Array(thresholds.length);
  const hours = new Float64Array(thresholds.length);
  let endMoney = 0;
  let endHours = 0;
  for (let cycle = 0; cycle < CYCLES; cycle++) {
    let strike = Infinity;
    let quiet = false;
    let seen = Infinity;
    for (const {shape, scale, eroding} of modes) {
      const draw = scale * (-Math.log(random.between(0, 1))) ** (1 / shape);
      const silent = quietShare > 0 && random.chance(quietShare);
      if (draw < strike) {
        strike = draw;
        quiet = silent;
      }
      if (eroding) seen = Math.min(seen, foundWorn.from * draw);
    }
    let next = 0;
    let age = 0;
    for (;;) {
      const opened = age + gaps[random.integer(0, gaps.length - 1)]!;
      let cost: number | null = null;
      let end = opened;
      if (strike <= opened) {
        cost = quiet ? costs.planned + costs.found : costs.failure;
        end = quiet ? opened : strike;
      } else if (opened > seen && random.chance(foundWorn.caught)) cost = costs.planned + costs.found;
      if (cost !== null) {
        for (; next < thresholds.length; next++) {
          money[next]! += cost;
          hours[next]! += end;
        }
        endMoney += cost;
        endHours += end;
        break;
      }
      for (; next < thresholds.length && opened > thresholds[next]!; next++) {
        money[next]! += costs.planned;
        hours[next]! += opened;
      }
      age = opened;
    }
  }
  return {thresholds, money: money.map((sum, i) => sum / hours[i]!), runToFailure: endMoney / endHours};
}

/** True money per h of renewing when age + `nextRun` would pass `interval`; null is run to failure. */
export function trueCostAt(
  {thresholds, money, runToFailure}: TrueCosts,
  interval: number | null,
  nextRun: number,
): number {
  if (interval === null) return runToFailure;
  const threshold = interval - nextRun;
  const last = thresholds.length - 1;
  if (threshold >= thresholds[last]!) return runToFailure;
  if (threshold <= thresholds[0]!) return money[0]!;
  let i = 1;
  while (thresholds[i]! < threshold) i++;
  const part = (threshold - thresholds[i - 1]!) / (thresholds[i]! - thresholds[i - 1]!);
  return money[i - 1]! * (1 - part) + money[i]! * part;
}

/** The least true cost over all renewal ages, run to failure included. */
export function leastCost({money, runToFailure}: TrueCosts): number {
  return money.reduce((least, cost) => Math.min(least, cost), runToFailure);
}
