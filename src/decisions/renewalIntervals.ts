/**
 * The interval sheet: a row for every component, mud and flow regime with exposure.
 */
import type {Settings} from "../../shared/settings.ts";
import {COMPONENTS} from "../../shared/vocabulary/index.ts";
import type {LifeTable} from "../lives/index.ts";
import type {RebuildTable, RunTable} from "../logs/logTable.ts";
import {componentModel} from "./componentModel.ts";
import {componentUses, type ComponentUse} from "./componentExposure.ts";
import {chanceEndsRun, endsRunCurves} from "./endsRun.ts";
import {fleetGaps} from "./fleetGaps.ts";
import type {IntervalRow} from "./intervalRow.ts";
import {intervalRow} from "./makeRow.ts";
import {typicalRun} from "./typicalRun.ts";

export interface IntervalInputs {
  readonly lives: LifeTable;
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
  readonly settings: Settings;
  /** rows of these components only; what components share is still taken from all lives */
  readonly components?: readonly string[];
}

export interface IntervalEffects {
  progress(done: number, of: number): void;
  readonly signal?: AbortSignal;
}

/**
 * Rows in the order of the vocabulary's components, then by mud and regime as the log brings them; the same inputs give
 * the same rows.
 */
export function renewalIntervals(inputs: IntervalInputs, effects?: IntervalEffects): IntervalRow[] {
  const {lives, settings} = inputs;
  const uses = componentUses(lives);
  const curves = endsRunCurves(new Map([...uses].map(([code, {seen}]) => [code, seen.wear])));
  const allSeen = [...uses.values()].flatMap(({seen}) => [seen.wear, seen.chance]);
  const gaps = fleetGaps(inputs);
  const nextRun = settings.next_run_h ?? typicalRun(inputs.runs, settings.exposure);
  const components = [...uses.values()]
    .filter(({component, exposure}) => exposure > 0 && (inputs.components?.includes(component) ?? true))
    .sort(byVocabulary);
  const rows: IntervalRow[] = [];
  components.forEach((use, done) => {
    effects?.signal?.throwIfAborted();
    effects?.progress(done, components.length);
    const model = componentModel(lives, use, settings.level);
    for (const condition of use.conditions.values()) {
      if (!(condition.exposure > 0)) continue;
      rows.push(
        intervalRow({
          use,
          condition,
          model,
          gaps,
          settings,
          nextRun,
          endsRun: {wear: curves.get(use.component)!, chance: chanceEndsRun(use.seen.chance, allSeen)},
        }),
      );
    }
  });
  effects?.progress(components.length, components.length);
  return rows;
}

const ORDER = Object.keys(COMPONENTS);

function byVocabulary(a: ComponentUse, b: ComponentUse): number {
  const place = ({component}: ComponentUse): number => {
    const at = ORDER.indexOf(component);
    return at < 0 ? ORDER.length : at;
  };
  return place(a) - place(b);
}
