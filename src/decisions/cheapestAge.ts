/**
 * The renewal age of least expected cost over parameter draws.
 *
 * The mean of the cost over the draws is minimised, not the cost at the mean draw: where the doubt is large, an age that
 * is nearly right for every draw beats one that is exactly right for the likeliest.
 */
import type {Limits} from "../statistics/types.ts";
import {drawLimits, drawMean} from "./spread.ts";
import type {PricedDraws} from "./priceDraws.ts";

export interface CheapestAge {
  /** age of least expected cost; null when no age tried costs less than running to failure */
  readonly age: number | null;
  /** expected money per unit of exposure at that age (or running to failure) */
  readonly money: number;
  /** 1 − money / money of running to failure, both expected; 0 when no age is cheaper */
  readonly saving: number;
  /** limits of the draws' own best ages: an end among draws that run to failure is null */
  readonly limits: Limits;
}

/** Costs that differ by less, relative, are the same. */
const SAME = 1e-9;
/** How many ages are tried around the cheapest of the first pass. */
const AROUND = 6;

export function cheapestAge(priced: PricedDraws, level: number): CheapestAge {
  const {intervals, money, draws} = priced;
  const tried = intervals.length;
  const expected = new Float64Array(tried);
  const own = new Float64Array(draws);
  for (let d = 0; d < draws; d++) {
    const row = d * tried;
    let best = 0;
    for (let t = 0; t < tried; t++) {
      expected[t]! += money[row + t]! / draws;
      if (money[row + t]! < money[row + best]!) best = t;
    }
    const renewed = money[row + best]! < priced.runToFailure.money[d]!;
    own[d] = renewed ? lowestBetween(intervals, money.subarray(row, row + tried), best) : Infinity;
  }
  const never = drawMean(priced.runToFailure.money);
  const limits = drawLimits(own, level);
  let best = 0;
  for (let t = 1; t < tried; t++) if (expected[t]! < expected[best]! * (1 - SAME)) best = t;
  if (!(expected[best]! < never)) return {age: null, money: never, saving: 0, limits};

  let age = intervals[best]!;
  let least = expected[best]!;
  const last = endOfTies(expected, best);
  if (last > best) return {age: (age + intervals[last]!) / 2, money: least, saving: 1 - least / never, limits};
  const from = intervals[Math.max(best - 1, 0)]!;
  const to = intervals[Math.min(best + 1, tried - 1)]!;
  for (let i = 1; i < AROUND; i++) {
    const candidate = from + ((to - from) * i) / AROUND;
    const cost = drawMean(priced.at(candidate).money);
    if (cost < least) {
      least = cost;
      age = candidate;
    }
  }
  return {age, money: least, saving: 1 - least / never, limits};
}

/**
 * The last of the ages in a row that cost the same as the cheapest. Where rebuilds fall on few ages, every age between two of
 * them is one policy; its middle stays that policy when a gap turns out a little shorter or longer.
 */
function endOfTies(expected: Float64Array, best: number): number {
  let last = best;
  while (last + 1 < expected.length && expected[last + 1]! <= expected[best]! * (1 + SAME)) last += 1;
  return last;
}

/** Where the parabola through a lowest point and its neighbours is lowest; the point itself at either end. */
function lowestBetween(x: Float64Array, y: Float64Array, at: number): number {
  if (at === 0 || at === x.length - 1) return x[at]!;
  const [x0, x1, x2] = [x[at - 1]!, x[at]!, x[at + 1]!];
  const left = (x1 - x0) * (y[at]! - y[at + 1]!);
  const right = (x1 - x2) * (y[at]! - y[at - 1]!);
  if (left === right) return x1;
  const lowest = x1 - (0.5 * ((x1 - x0) * left - (x1 - x2) * right)) / (left - right);
  return Math.min(Math.max(lowest, x0), x2);
}
