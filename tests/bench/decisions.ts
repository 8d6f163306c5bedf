/**
 * `npm run bench:decisions`: how much more than the least possible the recommended intervals cost.
 *
 * Simulated fleets of known truth (seeds/), two years each; for every component and condition the true cost of the
 * recommended age against that of the best age, weighted by exposure; beside today's policy, the mean hours at failure,
 * and separate Weibull fits. O-rings are left out: they are renewed at every rebuild by practice.
 *
 * Every method is asked of the same cells. First of all cells with exposure: where a method has nothing to say (too few
 * data, no failure, no fit) the shop goes on as it does today, and that is what is counted. Then of the cells alone in
 * which an interval or run to failure is advised, where the others still fall back on today's policy if they are silent.
 *
 * Arguments: number of fleets (40), then sizes (10 30 60). DETAIL=1 in the environment adds a line per fleet and component.
 */
import {FLEET_NAMES, type Component, type Mud, type Regime} from "../../seeds/scenario.ts";
import {renewalIntervals, type IntervalRow} from "../../src/decisions/index.ts";
import {typicalRun} from "../../src/decisions/typicalRun.ts";
import {currentCost, simulatedFleet, Truth, WORLDS, type SimulatedFleet, type World} from "./decisions/fleets.ts";
import {byCost, meanHoursAtFailure, recommended, separateFits, type Choice} from "./decisions/methods.ts";
import {trueCostAt} from "./decisions/trueCost.ts";

const SEED = 5000;
const TODAY = "(a) today's policy";

const METHODS: Readonly<Record<string, (fleet: SimulatedFleet, row: IntervalRow) => Choice>> = {
  recommended: (_, row) => recommended(row),
  [TODAY]: () => "today",
  "(b) mean hours at failure": meanHoursAtFailure,
  "(c) separate fits": separateFits,
  "recommended, by cost alone": (_, row) => byCost(row),
};

/** The cells over which all methods are compared, and which rows belong to them. */
const CELLS: Readonly<Record<string, (row: IntervalRow) => boolean>> = {
  "all cells": () => true,
  "cells with advice": (row) => row.advice !== "not enough data",
};

/** Sums of extra cost and of weight, by method. */
class Tally {
  readonly #sums = new Map<string, {extra: number; weight: number}>();

  add(key: string, extra: number, weight: number): void {
    const sum = this.#sums.get(key) ?? {extra: 0, weight: 0};
    sum.extra += extra * weight;
    sum.weight += weight;
    this.#sums.set(key, sum);
  }

  mean(key: string): number {
    const sum = this.#sums.get(key);
    return sum === undefined ? NaN : sum.extra / sum.weight;
  }

  keys(): string[] {
    return [...this.#sums.keys()];
  }
}

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`.padStart(8);

async function benchWorld(world: World, fleets: number, sizes: readonly number[]): Promise<void> {
  const truth = new Truth(world);
  console.log(`\n${world.name}: ${fleets} fleets a size, mean extra cost over the best age, weighted by exposure`);
  for (const tools of sizes) {
    const perFleet = new Tally();
    const detail = new Tally();
    const silent = new Tally();
    const advice = new Map<string, number>();
    for (let i = 0; i < fleets; i++) {
      const name = FLEET_NAMES[i % FLEET_NAMES.length]!;
      await truth.prepare(name);
      const fleet = await simulatedFleet(name, tools, SEED + i, world);
      const nextRun = typicalRun(fleet.logs.runs, fleet.settings.exposure);
      const here = new Tally();
      for (const row of renewalIntervals({...fleet.logs, lives: fleet.lives, settings: fleet.settings})) {
        if (row.component === "ORNG" || row.mud === "UNK" || row.regime === "unknown") continue;
        const component = row.component as Component;
        const cell = truth.of(name, component, row.mud as Mud, row.regime as Regime);
        advice.set(row.advice, (advice.get(row.advice) ?? 0) + row.exposure_h);
        for (const [method, choose] of Object.entries(METHODS)) {
          const choice = choose(fleet, row);
          const cost =
            choice === "today" ? currentCost(cell.truth, name, component) : trueCostAt(cell.truth, choice, nextRun);
          const extra = cost / cell.least - 1;
          if (choice === "today" && method !== TODAY) silent.add(method, 1, row.exposure_h);
          else silent.add(method, 0, row.exposure_h);
          for (const [cells, belongs] of Object.entries(CELLS)) {
            if (!belongs(row)) continue;
            here.add(`${cells}|${method}`, extra, row.exposure_h);
            detail.add(`${cells}|${method}|${name} ${component}`, extra, row.exposure_h);
          }
        }
      }
      for (const key of here.keys()) perFleet.add(key, here.mean(key), 1);
    }
    console.log(
      `\n${`${tools} tools`.padEnd(30)}${Object.keys(CELLS)
        .map((cells) => cells.padStart(20))
        .join("")}${"today's instead".padStart(20)}`,
    );
    for (const method of Object.keys(METHODS)) {
      const means = Object.keys(CELLS).map((cells) => percent(perFleet.mean(`${cells}|${method}`)).padStart(20));
      console.log(
        `  ${method.padEnd(28)}${means.join("")}${method === TODAY ? "" : percent(silent.mean(method)).padStart(20)}`,
      );
    }
    const total = [...advice.values()].reduce((sum, h) => sum + h, 0);
    console.log(`  advice by exposure: ${[...advice].map(([a, h]) => `${a} ${percent(h / total).trim()}`).join(", ")}`);
    if (process.env["DETAIL"] !== undefined) {
      const kinds = [...new Set(detail.keys().map((key) => key.split("|")[2]!))].sort();
      for (const kind of kinds) {
        const means = Object.keys(METHODS).map((method) => percent(detail.mean(`all cells|${method}|${kind}`)));
        console.log(`    ${kind.padEnd(14)}${means.join("")}`);
      }
    }
  }
}

const [count = 40, ...sizes] = process.argv.slice(2).map(Number);
for (const world of WORLDS) await benchWorld(world, count, sizes.length > 0 ? sizes : [10, 30, 60]);
