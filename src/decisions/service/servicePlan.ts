/**
 * Minor and major services for a whole assembly: the intervals that cost least, beside today's plan.
 *
 * Every plan is tried on the same tools (simulateAssembly.ts), one tool or more for each parameter draw, so that what
 * differs between two plans is the plan, and what the lives leave uncertain is in the limits. The cheapest of many plans
 * looks better on the tools it was found on than it is; it is told by tools it has never seen.
 */
import type {Limits} from "../../statistics/types.ts";
import {drawMean} from "../spread.ts";
import {pairedDifference, type Difference} from "./pairedDifference.ts";
import {simulateAssembly, type Ledger, type PartRule, type Plan, type Shop} from "./simulateAssembly.ts";

/** What one plan costs, per unit of exposure over all tools tried. */
export interface PlanCost {
  readonly money: number;
  readonly limits: Limits;
  readonly failures: number;
  readonly openings: number;
  readonly majors: number;
  readonly renewed: number;
}

/** A plan tried in the search. */
export interface Tried {
  readonly every: number;
  readonly major: number;
  /** expected money per unit of exposure, on the tools of the search */
  readonly money: number;
}

export type Level = "every service" | "major service" | "after failure";

/** What moving one component to another service would change, at the chosen intervals. */
export interface Move {
  readonly component: string;
  readonly from: Level;
  readonly to: Level;
  /** money per unit of exposure saved by the move */
  readonly saves: Difference;
}

export interface ServicePlan {
  readonly every: number;
  /** every so many services is a major one; Infinity: no major service pays */
  readonly major: number;
  readonly best: PlanCost;
  readonly today: PlanCost;
  /** the interval sheet's ages, the tool opened as today; null where none were given */
  readonly sheet: PlanCost | null;
  /** saved by the best plan, per unit of exposure */
  readonly againstToday: Difference;
  readonly againstSheet: Difference | null;
  /** saved by the interval sheet's ages against today's */
  readonly sheetAgainstToday: Difference | null;
  readonly tried: readonly Tried[];
  readonly moves: readonly Move[];
  /** the best plan lies at an end of the openings tried */
  readonly atEnd: "shortest" | "longest" | null;
  readonly tools: number;
  /** plans × tools simulated in all */
  readonly simulated: number;
}

export interface PlanOptions {
  /** levels by component, one for each part of the assembly */
  readonly levels: readonly Level[];
  /** ages of the interval sheet, one for each part: null runs to failure; missing: not compared */
  readonly sheetAges?: readonly (number | null)[];
  /** openings tried, ascending */
  readonly every: readonly number[];
  /** two-sided level of limits */
  readonly level: number;
  /** tools a parameter draw, for the last comparison; the search takes as many as it needs of it */
  readonly effort: number;
  readonly seed: number;
}

export interface PlanEffects {
  progress(done: number, of: number): void;
  readonly signal?: AbortSignal;
}

const MAJORS: readonly number[] = [1, 2, 3, 4, 6, 8, Infinity];
/** So many of the first round are looked at again. */
const FINALISTS = 12;

export function servicePlan(shop: Shop, options: PlanOptions, effects?: PlanEffects): ServicePlan {
  const {levels, every, level, effort, seed} = options;
  const blocks = (hours: number, major: number, of: readonly Level[] = levels): Plan => ({
    every: hours,
    major,
    parts: of.map((renew): PartRule => ({renew})),
  });
  const hasMajor = levels.includes("major service");
  const majors = hasMajor ? MAJORS : [Infinity];
  const candidates = every.flatMap((hours) => majors.map((major) => ({every: hours, major})));
  const components = [...new Set(shop.assembly.parts.map(({component}) => component))];
  const ahead = components.length * 2;
  const search = Math.max(1, Math.round(effort / 2));
  const steps = candidates.length + Math.min(FINALISTS, candidates.length) * search + (3 + ahead) * effort;
  let done = 0;
  let simulated = 0;
  /** money per unit of exposure of every tool, row-major [draw × tool]; the same seeds for every plan of a round */
  const round = (plan: Plan, tools: number, from: number): {costs: Float64Array; sum: Ledger} => {
    const sum = ledger();
    const {draws} = shop.assembly;
    const costs = new Float64Array(draws * tools);
    for (let t = 0; t < tools; t++) {
      effects?.signal?.throwIfAborted();
      effects?.progress(Math.min(done++, steps), steps);
      for (let d = 0; d < draws; d++) {
        const one = ledger();
        simulateAssembly(shop, plan, d, from + t * draws + d, one);
        costs[d * tools + t] = one.money / one.hours;
        add(sum, one);
        simulated += 1;
      }
    }
    return {costs, sum};
  };

  const first: Tried[] = candidates.map((one) => ({
    ...one,
    money: drawMean(round(blocks(one.every, one.major), 1, seed).costs),
  }));
  const ranked = [...first].sort((a, b) => a.money - b.money).slice(0, FINALISTS);
  const again = ranked.map((one) => ({
    ...one,
    money: drawMean(round(blocks(one.every, one.major), search, seed).costs),
  }));
  const chosen = again.reduce((least, one) => (one.money < least.money ? one : least));
  const tried = first.map(
    (one) => again.find(({every: hours, major}) => hours === one.every && major === one.major) ?? one,
  );

  // tools that no plan has been chosen on
  const fresh = seed + 7_919_003;
  const best = round(blocks(chosen.every, chosen.major), effort, fresh);
  const today = round(
    {every: null, major: Infinity, parts: byAge(shop.assembly.parts.map((p) => p.current))},
    effort,
    fresh,
  );
  const sheet =
    options.sheetAges === undefined
      ? null
      : round({every: null, major: Infinity, parts: byAge(options.sheetAges)}, effort, fresh);
  const moves = components.flatMap((component): Move[] => {
    const own = shop.assembly.parts.findIndex((part) => part.component === component);
    const from = levels[own]!;
    if (shop.assembly.parts[own]!.always) return [];
    return (["every service", "major service", "after failure"] as const)
      .filter((to) => to !== from && !(to === "major service" && !Number.isFinite(chosen.major)))
      .map((to) => {
        const moved = levels.map((was, i) => (shop.assembly.parts[i]!.component === component ? to : was));
        const other = round(blocks(chosen.every, chosen.major, moved), effort, fresh);
        return {component, from, to, saves: pairedDifference(best.costs, other.costs, effort, level)};
      });
  });
  effects?.progress(steps, steps);
  return {
    every: chosen.every,
    major: chosen.major,
    best: costOf(best, effort, level),
    today: costOf(today, effort, level),
    sheet: sheet === null ? null : costOf(sheet, effort, level),
    againstToday: pairedDifference(today.costs, best.costs, effort, level),
    againstSheet: sheet === null ? null : pairedDifference(sheet.costs, best.costs, effort, level),
    sheetAgainstToday: sheet === null ? null : pairedDifference(today.costs, sheet.costs, effort, level),
    tried,
    moves,
    atEnd: chosen.every === every[0] ? "shortest" : chosen.every === every[every.length - 1] ? "longest" : null,
    tools: shop.assembly.draws * effort,
    simulated,
  };
}

/** Ages by which parts are renewed when the tool is open; null runs to failure. */
const byAge = (ages: readonly (number | null)[]): PartRule[] =>
  ages.map((age) => (age === null ? {renew: "after failure"} : {renew: "by age", age}));

const ledger = (): Ledger => ({money: 0, hours: 0, failures: 0, openings: 0, majors: 0, renewed: 0});

function add(sum: Ledger, one: Ledger): void {
  sum.money += one.money;
  sum.hours += one.hours;
  sum.failures += one.failures;
  sum.openings += one.openings;
  sum.majors += one.majors;
  sum.renewed += one.renewed;
}

function costOf({costs, sum}: {costs: Float64Array; sum: Ledger}, tools: number, level: number): PlanCost {
  const {mean, limits} = pairedDifference(costs, new Float64Array(costs.length), tools, level);
  return {
    money: mean,
    limits,
    failures: sum.failures / sum.hours,
    openings: sum.openings / sum.hours,
    majors: sum.majors / sum.hours,
    renewed: sum.renewed / sum.hours,
  };
}
