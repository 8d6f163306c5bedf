/**
 * The interval sheet: a row for every component, mud and flow regime with exposure.
 */
import type {Register} from "../../shared/register.ts";
import type {Settings} from "../../shared/settings.ts";
import {COMPONENTS} from "../../shared/vocabulary/index.ts";
import type {LifeTable} from "../lives/index.ts";
import type {RebuildTable, RunTable} from "../logs/logTable.ts";
import type {ComponentUse, ConditionUse} from "./componentExposure.ts";
import {componentModels, type ComponentModels} from "./componentModels.ts";
import {chanceEndsRun, endsRunCurves} from "./endsRun.ts";
import {fleetGaps} from "./fleetGaps.ts";
import {POOLED, type IntervalRow} from "./intervalRow.ts";
import {intervalRow, type RowInputs} from "./makeRow.ts";
import {Scratch} from "./Scratch.ts";
import {typicalRun} from "./typicalRun.ts";

export interface IntervalInputs {
  readonly lives: LifeTable;
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
  readonly settings: Settings;
  /** decisions that go before today's intervals of the settings; none when left out */
  readonly register?: Register;
  /** rows of these components only; what components share is still taken from all lives */
  readonly components?: readonly string[];
  /**
   * rows as this fleet alone would keep them: its conditions, costs, rebuilds and policy; the life models rest on all lives
   * all the same
   */
  readonly fleet?: string;
  /**
   * one row more a component, before its others: for a part that spends its hours in the muds and flows as the component's
   * hours were spent
   */
  readonly pooled?: boolean;
  /** the models of these lives at the settings' level, where somebody has made them already */
  readonly models?: ComponentModels;
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
  const rows: IntervalRow[] = [];
  const {components, rowsOf} = sheetRows(inputs);
  components.forEach((component, done) => {
    effects?.signal?.throwIfAborted();
    effects?.progress(done, components.length);
    for (const row of rowsOf(component)) rows.push(intervalRow(row));
  });
  effects?.progress(components.length, components.length);
  return rows;
}

/** What each row of the sheet is made from: the components with exposure in order, and the rows of each. */
export function sheetRows(inputs: IntervalInputs): {
  readonly components: readonly string[];
  rowsOf(component: string): RowInputs[];
} {
  const {lives, settings} = inputs;
  const models = inputs.models ?? componentModels(lives, settings.level);
  const {uses} = models;
  const curves = endsRunCurves(new Map([...uses].map(([code, {seen}]) => [code, seen.wear])));
  const allSeen = [...uses.values()].flatMap(({seen}) => [seen.wear, seen.chance]);
  const gaps = fleetGaps(inputs);
  const nextRun = settings.next_run_h ?? typicalRun(inputs.runs, settings.exposure);
  const scratch = new Scratch();
  const components = [...uses.values()]
    .filter(({component, exposure}) => exposure > 0 && (inputs.components?.includes(component) ?? true))
    .sort(byVocabulary)
    .map(({component}) => component);
  const rowsOf = (component: string): RowInputs[] => {
    const use = uses.get(component);
    const conditions = use === undefined ? [] : conditionsOf(use, inputs.fleet);
    if (use === undefined || conditions.length === 0) return [];
    const model = models.of(component)!;
    const asked = inputs.pooled === true ? [allTogether(use, conditions), ...conditions] : conditions;
    return asked.map((condition) => ({
      use,
      condition,
      mix: (condition.mud === POOLED ? conditions : [condition]).map(({mud, regime, exposure}) => ({
        condition: `${mud} ${regime}`,
        share: exposure / condition.exposure,
      })),
      model,
      gaps,
      settings,
      register: inputs.register,
      nextRun,
      endsRun: {wear: curves.get(component)!, chance: chanceEndsRun(use.seen.chance, allSeen)},
      scratch,
    }));
  };
  return {components, rowsOf};
}

/** Conditions with exposure, of all fleets or of one. */
function conditionsOf({conditions}: ComponentUse, fleet: string | undefined): ConditionUse[] {
  const used = [...conditions.values()].filter(({exposure}) => exposure > 0);
  if (fleet === undefined) return used;
  return used.flatMap((condition) => {
    const exposure = condition.byFleet.get(fleet) ?? 0;
    return exposure > 0 ? [{...condition, exposure, byFleet: new Map([[fleet, exposure]])}] : [];
  });
}

function allTogether(use: ComponentUse, conditions: readonly ConditionUse[]): ConditionUse {
  const byFleet = new Map<string, number>();
  let exposure = 0;
  for (const condition of conditions) {
    exposure += condition.exposure;
    for (const [fleet, spent] of condition.byFleet) byFleet.set(fleet, (byFleet.get(fleet) ?? 0) + spent);
  }
  const failures = use.failures.wear + use.failures.chance;
  return {mud: POOLED, regime: POOLED, exposure, byFleet, lives: use.lives, failures};
}

const ORDER = Object.keys(COMPONENTS);

function byVocabulary(a: ComponentUse, b: ComponentUse): number {
  const place = ({component}: ComponentUse): number => {
    const at = ORDER.indexOf(component);
    return at < 0 ? ORDER.length : at;
  };
  return place(a) - place(b);
}
