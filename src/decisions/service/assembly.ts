/** The parts of one fleet's assembly as the simulation needs them: paces, shapes, chance, costs and today's policy. */
import type {Settings} from "../../../shared/settings.ts";
import {COMPONENTS} from "../../../shared/vocabulary/index.ts";
import type {LifeTable} from "../../lives/index.ts";
import type {ComponentModel} from "../componentModel.ts";
import type {ComponentModels} from "../componentModels.ts";
import type {RenewalCosts} from "../costs.ts";
import {chanceEndsRun, endsRunCurves, type EndsRun} from "../endsRun.ts";
import {fleetPolicy} from "../fleetCosts.ts";
import type {Duty} from "./duty.ts";

export interface AssemblyPart {
  readonly component: string;
  readonly costs: RenewalCosts;
  /** today's renewal age; null: run to failure */
  readonly current: number | null;
  /** renewed whenever the tool is open, by practice */
  readonly always: boolean;
  /** Weibull shape of wear, one a draw */
  readonly shape: Float64Array;
  /** 1 / scale in each condition, row-major [draw × condition]; 0 where no wear life could be fitted */
  readonly pace: Float64Array;
  /** chance failures per unit of exposure, one a draw */
  readonly chance: Float64Array;
  readonly wearEnds: EndsRun;
  readonly chanceEnds: number;
}

export interface Assembly {
  /** a component with several positions is there several times */
  readonly parts: readonly AssemblyPart[];
  readonly draws: number;
  /** components without costs in the settings, and components no life of which could be fitted */
  readonly unpriced: readonly string[];
  readonly unmodelled: readonly string[];
}

/** Components that the fleet's lives hold, in the vocabulary's order. */
export function fleetAssembly(
  {lives, models, settings}: {readonly lives: LifeTable; readonly models: ComponentModels; readonly settings: Settings},
  fleet: string,
  duty: Duty,
): Assembly {
  const curves = endsRunCurves(new Map([...models.uses].map(([code, {seen}]) => [code, seen.wear])));
  const all = [...models.uses.values()].flatMap(({seen}) => [seen.wear, seen.chance]);
  const order = Object.keys(COMPONENTS);
  const unpriced: string[] = [];
  const unmodelled: string[] = [];
  const parts: AssemblyPart[] = [];
  let draws = 0;
  for (const [component, positions] of [...positionsIn(lives, fleet)].sort(
    ([a], [b]) => order.indexOf(a) - order.indexOf(b),
  )) {
    const model = models.of(component);
    const use = models.uses.get(component);
    if (model === null || use === undefined || !(use.exposure > 0)) continue;
    const {costs, current} = fleetPolicy(settings, fleet, component);
    if (costs === null) {
      unpriced.push(component);
      continue;
    }
    if (model.posterior === null) unmodelled.push(component);
    const part: AssemblyPart = {
      component,
      costs,
      current,
      always: COMPONENTS[component]?.disposition === "always renewed",
      shape: model.posterior?.shape ?? new Float64Array(model.chanceDraws.length).fill(1),
      pace: pacesOf(model, duty),
      chance: model.chanceDraws,
      wearEnds: curves.get(component)!,
      chanceEnds: chanceEndsRun(use.seen.chance, all),
    };
    draws = part.chance.length;
    for (let i = 0; i < positions; i++) parts.push(part);
  }
  return {parts, draws, unpriced, unmodelled};
}

/** Per draw and condition; a condition that the model has not seen ages as the component's others do on average. */
function pacesOf({posterior, cellOf, chanceDraws}: ComponentModel, {conditions}: Duty): Float64Array {
  const K = conditions.length;
  const paces = new Float64Array(chanceDraws.length * K);
  if (posterior === null) return paces;
  const {cells, scale} = posterior;
  for (let d = 0; d < posterior.count; d++) {
    let mean = 0;
    for (let c = 0; c < cells; c++) mean += 1 / scale[d * cells + c]! / cells;
    conditions.forEach((condition, k) => {
      const cell = cellOf.get(condition);
      paces[d * K + k] = cell === undefined ? mean : 1 / scale[d * cells + cell]!;
    });
  }
  return paces;
}

/** How many of each component a tool of the fleet holds: the usual number of positions. */
function positionsIn(lives: LifeTable, fleet: string): Map<string, number> {
  const seen = new Map<string, Map<number, Set<number>>>();
  for (let i = 0; i < lives.rows; i++) {
    if ((lives.fleet.words[lives.fleet.codes[i]!] ?? "") !== fleet) continue;
    const component = lives.component.words[lives.component.codes[i]!];
    if (component === undefined) continue;
    let tools = seen.get(component);
    if (tools === undefined) seen.set(component, (tools = new Map()));
    const tool = lives.tool.codes[i]!;
    tools.set(tool, (tools.get(tool) ?? new Set()).add(lives.position.codes[i]!));
  }
  return new Map(
    [...seen].map(([component, tools]) => {
      const counts = [...tools.values()].map(({size}) => size).sort((a, b) => a - b);
      return [component, counts[counts.length >> 1]!];
    }),
  );
}
