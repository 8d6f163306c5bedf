/**
 * Do repairable systems fail more often as they age, or less? Tests of no trend.
 * Laplace and MIL-HDBK-189 test a constant rate (Poisson); reverse arrangements only that gaps are exchangeable.
 */
import {chiSquareCdf, chiSquareSurvival} from "./gammaFunctions.ts";
import {normalSurvival} from "./normal.ts";
import type {RepairHistory} from "./repairHistory.ts";

export interface TrendTest {
  readonly statistic: number;
  /** chi-square only */
  readonly degreesOfFreedom: number | null;
  /** chance of so low a statistic, and of so high a one, without a trend */
  readonly pLow: number;
  readonly pHigh: number;
  readonly pTwoSided: number;
  /** what a small p-value would mean, by the side the statistic lies on */
  readonly direction: "failing more often" | "failing less often";
}

const twice = (a: number, b: number): number => Math.min(1, 2 * Math.min(a, b));

interface Seen {
  readonly events: number;
  readonly system: Int32Array;
  /** events of each system, and its observation; an event at the very end (failure-terminated) is not counted */
  readonly counts: Float64Array;
}

/** With `endedBy` failure the last event of each system that stands at its end is part of the plan, not of the count. */
function seen({start, end, system, age}: RepairHistory, endedBy: "clock" | "failure"): Seen & {rows: number[]} {
  const rows = Array.from(age.keys()).filter((j) => endedBy === "clock" || age[j]! < end[system[j]!]!);
  const counts = new Float64Array(start.length);
  rows.forEach((j) => counts[system[j]!]!++);
  return {events: rows.length, system, counts, rows};
}

/**
 * Laplace: sum of event ages against its mean under a constant rate, in standard deviations, pooled over systems
 * (Cox & Lewis, The Statistical Analysis of Series of Events, 1966). Positive: failing more often. Null without events.
 */
export function laplaceTest(
  history: RepairHistory,
  {endedBy = "clock"}: {readonly endedBy?: "clock" | "failure"} = {},
): TrendTest | null {
  const {start, end, age} = history;
  const {events, counts, rows} = seen(history, endedBy);
  if (events === 0) return null;
  const sum = rows.reduce((total, j) => total + age[j]!, 0);
  let expected = 0;
  let variance = 0;
  counts.forEach((n, i) => {
    expected += (n * (start[i]! + end[i]!)) / 2;
    variance += (n * (end[i]! - start[i]!) ** 2) / 12;
  });
  const z = (sum - expected) / Math.sqrt(variance);
  const pHigh = normalSurvival(z);
  const pLow = normalSurvival(-z);
  return {
    statistic: z,
    degreesOfFreedom: null,
    pLow,
    pHigh,
    pTwoSided: twice(pLow, pHigh),
    direction: z > 0 ? "failing more often" : "failing less often",
  };
}

/**
 * MIL-HDBK-189: 2·Σ log(end / age), chi-square with two degrees of freedom an event under a constant rate (MIL-HDBK-189A, 2009,
 * section 5.5.2). Low: failing more often. Systems must be observed from 0; null without events or with a later start.
 */
export function handbookTest(
  history: RepairHistory,
  {endedBy = "clock"}: {readonly endedBy?: "clock" | "failure"} = {},
): TrendTest | null {
  const {start, end, system, age} = history;
  const {events, rows} = seen(history, endedBy);
  if (events === 0 || start.some((s) => s > 0)) return null;
  const statistic = 2 * rows.reduce((sum, j) => sum + Math.log(end[system[j]!]! / age[j]!), 0);
  const degreesOfFreedom = 2 * events;
  const pLow = chiSquareCdf(statistic, degreesOfFreedom);
  const pHigh = chiSquareSurvival(statistic, degreesOfFreedom);
  return {
    statistic,
    degreesOfFreedom,
    pLow,
    pHigh,
    pTwoSided: twice(pLow, pHigh),
    direction: statistic < degreesOfFreedom ? "failing more often" : "failing less often",
  };
}

/**
 * Reverse arrangements of one system's gaps: pairs in which the later gap is the longer (Kendall, Biometrika 30 (1938) 81-93).
 * Many: failing less often. Exact for up to 200 gaps. Null with fewer than two gaps.
 */
export function reverseArrangements(gaps: ArrayLike<number>): TrendTest | null {
  const n = gaps.length;
  if (n < 2) return null;
  if (n > 200) throw new RangeError(`reverseArrangements requires at most 200 gaps, got ${n}`);
  let count = 0;
  for (let i = 0; i < n; i++) for (let j = i + 1; j < n; j++) if (gaps[j]! > gaps[i]!) count++;
  // chance of q such pairs: each new gap adds 0 .. i of them, all alike
  let chances = [1];
  for (let i = 1; i < n; i++) {
    const next = new Array<number>(chances.length + i).fill(0);
    chances.forEach((p, q) => {
      for (let s = 0; s <= i; s++) next[q + s]! += p / (i + 1);
    });
    chances = next;
  }
  const sum = (from: number, to: number): number => chances.slice(from, to).reduce((a, b) => a + b, 0);
  const pLow = Math.min(1, sum(0, count + 1));
  const pHigh = Math.min(1, sum(count, chances.length));
  return {
    statistic: count,
    degreesOfFreedom: null,
    pLow,
    pHigh,
    pTwoSided: twice(pLow, pHigh),
    direction: count > (n * (n - 1)) / 4 ? "failing less often" : "failing more often",
  };
}
