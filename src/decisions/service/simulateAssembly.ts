/**
 * One tool under a plan, run by run: parts wear at the pace of each run's mud and flow, chance strikes, faults of the last
 * rebuild come to light, failures end runs or wait for the teardown, and what is opened is renewed as the plan says.
 *
 * Random numbers are common to all plans: the n-th part in a slot has the same luck whatever the plan, and the tool the
 * same runs, so that two plans differ by what they do and little else. Each number is a hash of where it belongs.
 */
import {endsRunAt} from "../endsRun.ts";
import type {Assembly} from "./assembly.ts";
import type {Duty} from "./duty.ts";

/** When the tool is opened, and which parts are renewed then. */
export interface Plan {
  /** opened at the end of the run that brings it to so much since the last opening; null: as the fleet's log shows */
  readonly every: number | null;
  /** every so many services is a major one; Infinity: none is */
  readonly major: number;
  /** what is done to each part at an opening */
  readonly parts: readonly PartRule[];
}

export type PartRule =
  | {readonly renew: "every service"}
  | {readonly renew: "major service"}
  | {readonly renew: "after failure"}
  /** renewed when age + next run passes the age */
  | {readonly renew: "by age"; readonly age: number};

export interface Shop {
  readonly duty: Duty;
  readonly assembly: Assembly;
  readonly openingCost: number;
  readonly majorCost: number;
  readonly nextRun: number;
  readonly meanRun: number;
  /** exposure between openings that no failure forced, ascending, and the share of each */
  readonly gaps: {readonly hours: Float64Array; readonly weights: Float64Array};
  /** faults built in at an opening: rates by exposure since it, constant between edges; row-major [draw × band] */
  readonly faults: {readonly edges: readonly number[]; readonly rates: Float64Array};
  /** what such a fault costs when it ends a run */
  readonly faultCost: number;
}

/** Sums over the counted runs. */
export interface Ledger {
  money: number;
  hours: number;
  /** failures that ended a run */
  failures: number;
  openings: number;
  majors: number;
  /** parts renewed before they failed */
  renewed: number;
}

/** Runs of a tool that are counted, after others that wear its first, all new parts apart. */
export const COUNTED = 110;
export const WARM_UP = 50;

const LIFE = 1;
const CHANCE = 2;
const QUIET = 3;
const GAP = 4;
const FAULT = 5;
const START = 6;

/** Adds what one tool costs under a plan to the ledger. @param draw which parameter draw is the truth @param seed the tool's luck */
export function simulateAssembly(shop: Shop, plan: Plan, draw: number, seed: number, into: Ledger): void {
  const {duty, assembly, faults} = shop;
  const {parts} = assembly;
  const n = parts.length;
  const K = duty.conditions.length;
  const serial = new Int32Array(n);
  /** share of the part's wear life used up, in units of the scale; and where it ends */
  const worn = new Float64Array(n);
  const wearsOutAt = new Float64Array(n);
  const age = new Float64Array(n);
  const struckAt = new Float64Array(n);
  const silent = new Uint8Array(n);
  const fit = (s: number): void => {
    const part = parts[s]!;
    const number = serial[s]!++;
    worn[s] = age[s] = silent[s] = 0;
    wearsOutAt[s] = (-Math.log(hashed(seed, s, number, LIFE))) ** (1 / part.shape[draw]!);
    const rate = part.chance[draw]!;
    struckAt[s] = rate > 0 ? -Math.log(hashed(seed, s, number, CHANCE)) / rate : Infinity;
  };
  for (let s = 0; s < n; s++) fit(s);
  // by condition, then slot: what the loop over the parts reads in a row
  const paces = new Float64Array(K * n);
  for (let s = 0; s < n; s++) for (let k = 0; k < K; k++) paces[k * n + s] = parts[s]!.pace[draw * K + k]!;

  let opened = 0;
  let since = 0;
  let sinceMajor = 0;
  let due = plan.every ?? gapAt(shop, hashed(seed, 0, 0, GAP));
  let faultAt = Infinity;
  let run = Math.floor(hashed(seed, 0, 0, START) * duty.hours.length);
  for (let r = 0; r < WARM_UP + COUNTED; r++) {
    const counts = r >= WARM_UP ? 1 : 0;
    const hours = duty.hours[run]!;
    const pace = duty.condition[run]! * n;
    run = duty.next[run]!;
    // what ends the run first, and at which share of it
    let share = 1;
    let failed = -1;
    if (faultAt <= since + hours) {
      share = Math.max(0, (faultAt - since) / hours);
      failed = n;
    }
    let strikes = false;
    for (let s = 0; s < n; s++) {
      const wearsAt = (wearsOutAt[s]! - worn[s]!) / paces[pace + s]!;
      const struckIn = struckAt[s]! - age[s]!;
      if ((wearsAt > hours && struckIn > hours) || silent[s] === 1) continue;
      strikes = true;
      const at = Math.min(wearsAt, struckIn);
      if (at >= share * hours) continue;
      const part = parts[s]!;
      const ends = struckIn < wearsAt ? part.chanceEnds : endsRunAt(part.wearEnds, age[s]! + at);
      if (hashed(seed, s, serial[s]! - 1, QUIET) < ends) {
        share = at / hours;
        failed = s;
      }
    }
    const lasted = share * hours;
    for (let s = 0; s < n; s++) {
      worn[s]! += lasted * paces[pace + s]!;
      age[s]! += lasted;
    }
    if (strikes) {
      // failures that did not end the run, in the part of it that was run
      for (let s = 0; s < n; s++) {
        if (s !== failed && (worn[s]! >= wearsOutAt[s]! || age[s]! >= struckAt[s]!)) silent[s] = 1;
      }
    }
    since += lasted;
    sinceMajor += lasted;
    into.hours += counts * lasted;
    if (failed < 0 && since < due) continue;

    if (failed >= 0) {
      into.money += counts * (failed === n ? shop.faultCost : parts[failed]!.costs.failure);
      into.failures += counts;
    } else into.money += counts * shop.openingCost;
    into.openings += counts;
    // a major service falls on the opening nearest to its time
    const major = plan.every !== null && sinceMajor >= (plan.major - 0.5) * plan.every;
    if (major) {
      into.money += counts * shop.majorCost;
      into.majors += counts;
      sinceMajor = 0;
    }
    for (let s = 0; s < n; s++) {
      const {costs, always} = parts[s]!;
      if (s === failed) fit(s);
      else if (silent[s] === 1) {
        into.money += counts * (costs.planned + costs.found);
        fit(s);
      } else if (always || renews(plan.parts[s]!, major, age[s]! + shop.nextRun)) {
        into.money += counts * costs.planned;
        into.renewed += counts;
        fit(s);
      }
    }
    opened += 1;
    since = 0;
    due = plan.every ?? gapAt(shop, hashed(seed, 0, opened, GAP));
    faultAt = faultTime(faults, draw, -Math.log(hashed(seed, 0, opened, FAULT)));
  }
}

function renews(rule: PartRule, major: boolean, ageAfterNextRun: number): boolean {
  switch (rule.renew) {
    case "every service":
      return true;
    case "major service":
      return major;
    case "after failure":
      return false;
    case "by age":
      return ageAfterNextRun > rule.age;
  }
}

/** The gap at a quantile, less half a run: openings fall on the end of a run, half a run past it on average. */
function gapAt({gaps: {hours, weights}, meanRun}: Shop, at: number): number {
  let passed = 0;
  let i = 0;
  while (i < hours.length - 1 && (passed += weights[i]!) < at) i += 1;
  return hours[i]! - meanRun / 2;
}

/** Exposure since the opening at which so much hazard of faults has been gathered. */
function faultTime({edges, rates}: Shop["faults"], draw: number, hazard: number): number {
  const bands = edges.length - 1;
  let left = hazard;
  for (let b = 0; b < bands; b++) {
    const rate = rates[draw * bands + b]!;
    const width = edges[b + 1]! - edges[b]!;
    if (rate > 0 && left <= rate * width) return edges[b]! + left / rate;
    left -= rate > 0 ? rate * width : 0;
  }
  return Infinity;
}

/** Uniform in (0, 1) by mixing where the number belongs (the finaliser of MurmurHash3 by A. Appleby, from memory). */
export function hashed(seed: number, slot: number, serial: number, what: number): number {
  let h = Math.imul(seed + 1, 0x9e3779b1) ^ Math.imul(slot * 8 + what + 1, 0x85ebca77);
  h = mixed(h) ^ Math.imul(serial + 1, 0xc2b2ae3d);
  return (mixed(h) + 0.5) / 4294967296;
}

function mixed(value: number): number {
  let h = value;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}
