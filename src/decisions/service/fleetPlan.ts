/** The service plan of one fleet: its runs, rebuilds, costs and the faults of its rebuilds, put to the simulation. */
import type {Settings} from "../../../shared/settings.ts";
import type {RunConditions} from "../../hydraulics/runConditions.ts";
import {serviceStretches, type FailureTable, type LifeTable} from "../../lives/index.ts";
import type {RebuildTable, RunTable} from "../../logs/logTable.ts";
import type {ComponentModels} from "../componentModels.ts";
import {fleetGaps} from "../fleetGaps.ts";
import {freeGaps, type WeightedGaps} from "../freeGaps.ts";
import {BAND_EDGES, rebuildRisk, type RebuildRisk} from "../rebuildRisk.ts";
import {typicalRun} from "../typicalRun.ts";
import {fleetAssembly, type Assembly} from "./assembly.ts";
import {fleetDuty} from "./duty.ts";
import {servicePlan, type Level, type PlanEffects, type ServicePlan} from "./servicePlan.ts";
import type {Shop} from "./simulateAssembly.ts";

export interface FleetPlanInputs {
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
  readonly conditions: RunConditions;
  readonly failures: FailureTable;
  readonly settings: Settings;
  readonly lives: LifeTable;
  readonly models: ComponentModels;
  readonly fleet: string;
  /** ages of the interval sheet by component: null runs to failure; `today` where it has nothing to say */
  readonly sheet: ReadonlyMap<string, number | null | "today">;
  /** simulated tools a parameter draw */
  readonly effort: number;
}

export interface FleetPlanMade {
  readonly made: true;
  readonly fleet: string;
  readonly plan: ServicePlan;
  /** exposure between openings that no failure forced: mean, and the longest seen */
  readonly gap: number;
  readonly longestGap: number;
  readonly parts: readonly {
    readonly component: string;
    readonly level: Level;
    readonly lives: number;
    readonly failures: number;
  }[];
  /** behind the life models, all fleets in view together */
  readonly lives: number;
  readonly failures: number;
  /** run-ending failures that rebuilds of the fleet caused */
  readonly faults: number;
  readonly openingCost: number;
  readonly majorCost: number;
  readonly unpriced: readonly string[];
  readonly unmodelled: readonly string[];
}

export type FleetPlan =
  | FleetPlanMade
  | {readonly made: false; readonly fleet: string; readonly reason: "no runs" | "no rebuilds" | "no costs"};

const SEED = 20_260_101;
/** Openings tried, as multiples of the mean gap of today, and how many. */
const SHORTEST = 0.4;
const LONGEST = 3;
const TRIED = 13;

export function fleetPlan(inputs: FleetPlanInputs, effects?: PlanEffects): FleetPlan {
  const {settings, fleet, models} = inputs;
  const duty = fleetDuty({runs: inputs.runs, conditions: inputs.conditions, clock: settings.exposure}, fleet);
  if (duty === null) return {made: false, fleet, reason: "no runs"};
  const seen = fleetGaps(inputs).get(fleet);
  const gaps = freeGaps(
    seen?.hours ?? [],
    (seen?.forcedBy ?? []).map((by) => (by === null ? 0 : 1)),
  );
  if (gaps.hours.length === 0) return {made: false, fleet, reason: "no rebuilds"};
  const assembly = fleetAssembly(inputs, fleet, duty);
  if (assembly.parts.length === 0) return {made: false, fleet, reason: "no costs"};

  const risk = rebuildRisk(serviceStretches(inputs), inputs.failures, fleet === "" ? null : fleet);
  const {opening_cost: openingCost, major_cost: majorCost, minor} = settings.service;
  const shop: Shop = {
    duty,
    assembly,
    openingCost,
    majorCost,
    nextRun: settings.next_run_h ?? typicalRun(inputs.runs, settings.exposure),
    meanRun: duty.hours.reduce((sum, hours) => sum + hours, 0) / duty.hours.length,
    gaps,
    faults: {edges: BAND_EDGES, rates: faultRates(risk, assembly)},
    faultCost: assembly.parts.reduce((sum, {costs}) => sum + costs.failure, 0) / assembly.parts.length,
  };
  const levels = assembly.parts.map(({component, always}): Level =>
    always || minor.includes(component) ? "every service" : "major service",
  );
  const gap = meanOf(gaps);
  const plan = servicePlan(
    shop,
    {
      levels,
      sheetAges: assembly.parts.map(({component, current}) => {
        const age = inputs.sheet.get(component);
        return age === undefined || age === "today" ? current : age;
      }),
      every: openingsTried(gap, settings.service_unit_h),
      level: settings.level,
      effort: inputs.effort,
      seed: SEED,
    },
    effects,
  );
  const components = [...new Set(assembly.parts.map(({component}) => component))];
  const countOf = (component: string) => {
    const use = models.uses.get(component)!;
    return {lives: use.lives, failures: use.failures.wear + use.failures.chance};
  };
  const parts = components.map((component) => ({
    component,
    level: levels[assembly.parts.findIndex((part) => part.component === component)]!,
    ...countOf(component),
  }));
  return {
    made: true,
    fleet,
    plan,
    gap,
    longestGap: gaps.hours[gaps.hours.length - 1]!,
    parts,
    lives: parts.reduce((sum, {lives}) => sum + lives, 0),
    failures: parts.reduce((sum, {failures}) => sum + failures, 0),
    faults: risk.failures.reduce((sum, count) => sum + count, 0),
    openingCost,
    majorCost,
    unpriced: assembly.unpriced,
    unmodelled: assembly.unmodelled,
  };
}

/** Even in log exposure, in whole service units; at least one unit apart. */
function openingsTried(gap: number, unit: number): number[] {
  const hours = Array.from({length: TRIED}, (_, i) => gap * SHORTEST * (LONGEST / SHORTEST) ** (i / (TRIED - 1)));
  return [...new Set(hours.map((value) => Math.max(unit, Math.round(value / unit) * unit)))];
}

/** Rates of the faults an opening builds in, row-major [draw × band]. */
function faultRates(risk: RebuildRisk, {draws}: Assembly): Float64Array {
  const bands = BAND_EDGES.length - 1;
  const rates = new Float64Array(draws * bands);
  for (let b = 0; b < bands; b++) {
    const from = BAND_EDGES[b]!;
    const width = Math.min(BAND_EDGES[b + 1]! - from, 1);
    const hazard = risk.ahead(from, width);
    for (let d = 0; d < draws; d++) rates[d * bands + b] = hazard[d]! / width;
  }
  return rates;
}

const meanOf = ({hours, weights}: WeightedGaps): number => hours.reduce((sum, h, i) => sum + h * weights[i]!, 0);
