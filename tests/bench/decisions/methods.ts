/** Ways to set a renewal age, to be compared: each gives an age, or null for run to failure, or keeps today's policy. */
import {cheapestAge} from "../../../src/decisions/cheapestAge.ts";
import {alwaysEndsRun} from "../../../src/decisions/endsRun.ts";
import {fleetGaps} from "../../../src/decisions/fleetGaps.ts";
import {ageAtHazard} from "../../../src/decisions/life.ts";
import {priceDraws} from "../../../src/decisions/priceDraws.ts";
import {fleetUses, gridFor, servicesOf} from "../../../src/decisions/services.ts";
import {typicalRun} from "../../../src/decisions/typicalRun.ts";
import type {IntervalRow} from "../../../src/decisions/index.ts";
import {lifeDataFor} from "../../../src/lives/index.ts";
import {fitLife} from "../../../src/statistics/index.ts";
import type {SimulatedFleet} from "./fleets.ts";

/** `today`: the method has nothing to say, so the shop goes on as it does. */
export type Choice = number | null | "today";

/** Our recommendation; where data are too few the shop goes on as it does. */
export function recommended(row: IntervalRow): Choice {
  return row.advice === "not enough data" ? "today" : row.interval_h;
}

/** The cost rule alone, before the risk rule and before rounding. */
export function byCost(row: IntervalRow): Choice {
  if (row.advice !== "renew at") return recommended(row);
  return row.costInterval_h;
}

/** Rows of the life table that spent 80 % of their hours in the condition of the row. */
function ownRows({lives}: SimulatedFleet, {component, mud, regime}: IntervalRow): Int32Array {
  const rows: number[] = [];
  for (let i = 0; i < lives.rows; i++) {
    const own =
      lives.component.words[lives.component.codes[i]!] === component &&
      lives.mud.words[lives.mud.codes[i]!] === mud &&
      lives.regime.words[lives.regime.codes[i]!] === regime;
    if (own) rows.push(i);
  }
  return Int32Array.from(rows);
}

/** Mean age of the parts that failed in the condition; of all that failed where none did there. */
export function meanHoursAtFailure(fleet: SimulatedFleet, row: IntervalRow): Choice {
  const own = lifeDataFor(fleet.lives, {rows: ownRows(fleet, row), component: row.component}).data;
  const all = lifeDataFor(fleet.lives, {component: row.component}).data;
  for (const {lower, upper} of [own, all]) {
    let sum = 0;
    let failed = 0;
    for (let i = 0; i < lower.length; i++) {
      if (upper[i] === Infinity) continue;
      sum += upper[i]!;
      failed += 1;
    }
    if (failed > 0) return sum / failed;
  }
  return "today";
}

/** A Weibull fitted to the condition's own lives alone, priced as the policy is, at the point estimate. */
export function separateFits(fleet: SimulatedFleet, row: IntervalRow): Choice {
  const {data} = lifeDataFor(fleet.lives, {rows: ownRows(fleet, row), component: row.component});
  const fit = fitLife(data);
  if (!fit.fitted || fit.shape === null || fit.scale === null) return "today";
  const {settings, logs} = fleet;
  const nextRun = typicalRun(logs.runs, settings.exposure);
  const use = {
    mud: row.mud,
    regime: row.regime,
    exposure: row.exposure_h,
    byFleet: new Map(row.fleets.map(({fleet: name, exposure_h}) => [name, exposure_h])),
    lives: row.lives,
    failures: row.failures,
  };
  const {fleets} = fleetUses(use, row.component, {gaps: fleetGaps({...logs, settings}), settings, nextRun});
  const point = {shape: fit.shape, scale: fit.scale};
  const grid = gridFor(Math.max(ageAtHazard([point], 3), 1), settings.service_unit_h, fleets);
  const services = servicesOf(fleets, grid);
  if (services === null) return "today";
  const draws = {shape: Float64Array.of(point.shape), scale: Float64Array.of(point.scale), chance: Float64Array.of(0)};
  return cheapestAge(
    priceDraws(draws, services, {nextRun, endsRun: {wear: alwaysEndsRun(row.endsRun), chance: row.endsRun}}),
    settings.level,
  ).age;
}
