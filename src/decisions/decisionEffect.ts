/**
 * Whether an accepted change worked: failures of the part before and after the day, under the same conditions.
 *
 * A decision is for one mud and flow, so only exposure there counts; each fleet is its own stratum, so that a fleet that
 * runs more after than before does not pass for an effect. Failures that the shop caused are left out: no interval prevents
 * them. The window before goes back to the last change of the same scope, the one after on to the next.
 */
import {wordAt} from "../../shared/columnar.ts";
import {exposureBy, type LifeTable} from "../lives/index.ts";
import type {RunTable} from "../logs/logTable.ts";
import {compareStrata, type RateStratum} from "../statistics/index.ts";
import type {Limits} from "../statistics/types.ts";
import {scopeKey, type Revision} from "./policyInForce.ts";

export interface SideOfDecision {
  readonly failures: number;
  /** exposure of the parts in the condition, in the settings' clock */
  readonly exposure: number;
}

export type EffectVerdict = "fewer" | "more" | "not shown" | "too early" | "nothing to compare";

export interface DecisionEffect {
  readonly before: SideOfDecision;
  readonly after: SideOfDecision;
  /** failures that the rates before would have brought after */
  readonly expected: number;
  /** rate after over rate before */
  readonly ratio: number | null;
  readonly limits: Limits;
  readonly verdict: EffectVerdict;
  /** where it is too early: further exposure after which no failure at all would show a fall; null when it is too long to wait for */
  readonly wait: number | null;
  /** ratio that was foretold; null where the register does not say */
  readonly foretold: number | null;
}

/** Nobody waits for so many times the exposure before. */
const UNLIKELY = 8;
const DAY = 86_400_000;
const PER = 1000;

/** @param others every revision of the register, among them this one */
export function decisionEffect(
  decision: Revision,
  others: readonly Revision[],
  {lives, runs}: {readonly lives: LifeTable; readonly runs: Pick<RunTable, "columns">},
  level: number,
): DecisionEffect {
  const {component, mud, regime, fleet, date} = decision;
  const changes = others.filter((other) => scopeKey(other) === scopeKey(decision) && other.decision !== "declined");
  const earlier = changes.filter((other) => other.revision < decision.revision).at(-1)?.date;
  const later = changes.find((other) => other.revision > decision.revision)?.date;
  const where = {component: [component], mud: [mud], regime: [regime], ...(fleet === null ? {} : {fleet: [fleet]})};
  const before = sides(lives, runs, {...where, ...(earlier === undefined ? {} : {from: earlier}), to: dayBefore(date)});
  const after = sides(lives, runs, {...where, from: date, ...(later === undefined ? {} : {to: dayBefore(later)})});
  const strata = [...new Set([...before.keys(), ...after.keys()])].flatMap((key): RateStratum[] => {
    const [x, y] = [before.get(key), after.get(key)];
    return x === undefined || y === undefined || !(x.exposure > 0 && y.exposure > 0)
      ? []
      : [{before: {count: x.failures, exposure: x.exposure}, after: {count: y.failures, exposure: y.exposure}}];
  });
  const rates = decision.failures_per_1000h;
  const shared = {
    before: total(before),
    after: total(after),
    foretold: rates === null || !(rates.before > 0) ? null : rates.foretold / rates.before,
  };
  if (strata.length === 0)
    return {...shared, expected: 0, ratio: null, limits: [null, null], verdict: "nothing to compare", wait: null};
  const expected = strata.reduce((sum, s) => sum + (s.before.count / s.before.exposure) * s.after.exposure, 0);
  const {ratio, limits} = compareStrata(strata, level);
  const [lower, upper] = limits;
  const shown = upper !== null && upper < 1 ? "fewer" : lower > 1 ? "more" : "not shown";
  const early = shown === "not shown" && !couldShow(strata, level, 1);
  return {
    ...shared,
    expected,
    ratio,
    limits: [lower, upper],
    verdict: early ? "too early" : shown,
    wait: early ? furtherExposure(strata, level) : null,
  };
}

function dayBefore(day: string): string {
  return new Date(Date.parse(day) - DAY).toISOString().slice(0, 10);
}

/** Own failures and exposure by fleet; a side without runs is empty. */
function sides(
  lives: LifeTable,
  runs: Pick<RunTable, "columns">,
  where: Parameters<typeof exposureBy>[2] & {readonly from?: string; readonly to?: string},
): Map<string, SideOfDecision> {
  const table = exposureBy(lives, runs, where, ["component", "fleet"]);
  const found = new Map<string, SideOfDecision>();
  for (let i = 0; i < table.rows; i++) {
    const key = wordAt(table.fleet, i) ?? "";
    found.set(key, {failures: table.failures[i]! - table.serviceInduced[i]!, exposure: table.hours[i]!});
  }
  return found;
}

function total(sides: ReadonlyMap<string, SideOfDecision>): SideOfDecision {
  let failures = 0;
  let exposure = 0;
  for (const side of sides.values()) {
    failures += side.failures;
    exposure += side.exposure;
  }
  return {failures, exposure};
}

/** Whether no failure at all in `more` times the exposure after would show a fall: Π (t / (t + s)) ** x within the tail. */
function couldShow(strata: readonly RateStratum[], level: number, more: number): boolean {
  let log = 0;
  for (const {before, after} of strata)
    log += before.count * Math.log(before.exposure / (before.exposure + more * after.exposure));
  return log <= Math.log((1 - level) / 2);
}

function furtherExposure(strata: readonly RateStratum[], level: number): number | null {
  const spent = strata.reduce((sum, {after}) => sum + after.exposure, 0);
  const before = strata.reduce((sum, one) => sum + one.before.exposure, 0);
  let high = 2;
  while (!couldShow(strata, level, high)) {
    high *= 2;
    if (high * spent > UNLIKELY * before) return null;
  }
  let low = 1;
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (couldShow(strata, level, middle)) high = middle;
    else low = middle;
  }
  return (high - 1) * spent;
}

/** Failures per 1,000 of exposure. */
export const rateOf = ({failures, exposure}: SideOfDecision): number | null =>
  exposure > 0 ? (PER * failures) / exposure : null;
