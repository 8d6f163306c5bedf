/** The simulated fleets of the bench: grown by seeds/, read back as any log would be. */
import {growScenario, type GrowOptions} from "../../../seeds/grow.ts";
import {
  COMPONENTS,
  FLEETS,
  FOUND_WORN,
  MODE_LAWS,
  POLICY_MARGIN_H,
  type Component,
  type FleetName,
  type Mud,
  type Regime,
} from "../../../seeds/scenario.ts";
import {failureCost, plannedCost} from "../../../seeds/settingsFile.ts";
import {truthFor} from "../../../seeds/truth.ts";
import {writeLogs} from "../../../seeds/writeLogs.ts";
import {DEFAULT_SETTINGS, type ComponentSettings, type Settings} from "../../../shared/settings.ts";
import {fleetGaps} from "../../../src/decisions/fleetGaps.ts";
import {freeGaps} from "../../../src/decisions/freeGaps.ts";
import {runConditions} from "../../../src/hydraulics/index.ts";
import {buildLives, type LifeTable} from "../../../src/lives/index.ts";
import {importLogs, type Logs} from "../../../src/logs/index.ts";
import {leastCost, trueCostAt, trueCosts, type TrueCosts} from "./trueCost.ts";

/** Two worlds: the scenario as it is, and one in which nothing is seen coming, so that a life has one law. */
export interface World {
  readonly name: string;
  readonly foundWorn: {readonly from: number; readonly caught: number};
  readonly quietShare: number;
}

export const WORLDS: readonly World[] = [
  {name: "wear seen at teardown (the scenario)", foundWorn: FOUND_WORN, quietShare: 0},
  {name: "three failures in ten quiet, wear not seen", foundWorn: {from: 0.88, caught: 0}, quietShare: 0.3},
];

export interface SimulatedFleet {
  readonly fleet: FleetName;
  readonly logs: Logs;
  readonly lives: LifeTable;
  readonly settings: Settings;
}

export async function simulatedFleet(
  fleet: FleetName,
  tools: number,
  seed: number,
  world: World,
): Promise<SimulatedFleet> {
  const options: GrowOptions = {
    seed,
    fleets: {[fleet]: {tools}},
    foundWorn: world.foundWorn,
    quietShare: world.quietShare,
  };
  const encoder = new TextEncoder();
  const files = writeLogs(growScenario(options)).map(({name, text}) => ({name, bytes: encoder.encode(text)}));
  const logs = await importLogs(files);
  const settings = settingsOf(fleet);
  const {lives} = buildLives(logs, runConditions(logs.runs, settings), settings);
  return {fleet, logs, lives, settings};
}

export function settingsOf(fleet: FleetName): Settings {
  const components = Object.fromEntries(
    COMPONENTS.map((component): [string, ComponentSettings] => [
      component,
      {
        planned_cost: plannedCost(component),
        failure_cost: failureCost(FLEETS[fleet]),
        teardown_failure_cost: 0,
        current_interval_h: FLEETS[fleet].policy[component] ?? null,
      },
    ]),
  );
  return {...DEFAULT_SETTINGS, components};
}

/** What the shop of the scenario really does: renews when the age is within its margin of the limit. */
export function currentCost(truth: TrueCosts, fleet: FleetName, component: Component): number {
  return trueCostAt(truth, FLEETS[fleet].policy[component] ?? null, POLICY_MARGIN_H);
}

const STEPS = 70;

/** True costs of every renewal age, by fleet, component and condition; each worked out once. */
export class Truth {
  readonly #world: World;
  readonly #gaps = new Map<FleetName, ReturnType<typeof fleetGaps>>();
  readonly #costs = new Map<string, {truth: TrueCosts; least: number}>();

  constructor(world: World) {
    this.#world = world;
  }

  /** Takes the gaps between rebuilds from a large fleet of the kind. */
  async prepare(fleet: FleetName): Promise<void> {
    if (this.#gaps.has(fleet)) return;
    const {logs, settings} = await simulatedFleet(fleet, 60, 990_001, this.#world);
    this.#gaps.set(fleet, fleetGaps({...logs, settings}));
  }

  of(fleet: FleetName, component: Component, mud: Mud, regime: Regime): {truth: TrueCosts; least: number} {
    const key = `${fleet} ${component} ${mud} ${regime}`;
    const known = this.#costs.get(key);
    if (known !== undefined) return known;
    const modes = truthFor(component, mud, regime, {fleet}).modes.map(({mode, shape, scale}) => ({
      shape,
      scale,
      eroding: MODE_LAWS.find((law) => law.mode === mode)?.wear === "ero",
    }));
    const {hours, forcedBy} = this.#gaps.get(fleet)!.get(fleet)!;
    const gaps = freeGaps(
      hours,
      forcedBy.map((by) => (by === component ? 1 : 0)),
    );
    const longest = 2.5 * Math.min(...modes.map(({scale}) => scale));
    const truth = trueCosts(
      {
        modes,
        gaps: evenly(gaps.hours, gaps.weights),
        costs: {planned: plannedCost(component), failure: failureCost(FLEETS[fleet]), found: 0},
        quietShare: this.#world.quietShare,
        foundWorn: this.#world.foundWorn,
      },
      Float64Array.from({length: STEPS}, (_, i) => (i === 0 ? 0 : 10 * (longest / 10) ** ((i - 1) / (STEPS - 2)))),
      key,
    );
    const entry = {truth, least: leastCost(truth)};
    this.#costs.set(key, entry);
    return entry;
  }
}

/** A thousand gaps that hold each gap as often as its weight says. */
function evenly(hours: Float64Array, weights: Float64Array): Float64Array {
  const count = 1000;
  const gaps = new Float64Array(count);
  let passed = 0;
  let next = 0;
  for (let i = 0; i < hours.length; i++) {
    passed += weights[i]! * count;
    while (next < count && next + 0.5 < passed) gaps[next++] = hours[i]!;
  }
  gaps.fill(hours[hours.length - 1]!, next);
  return gaps;
}
