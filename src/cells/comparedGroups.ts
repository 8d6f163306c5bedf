/**
 * Groups of runs ready to be compared: hours in every condition and failures by kind, kept tool by tool so that limits can
 * resample tools. Counted are runs ended by a failure (F1 and F2); parts blamed for one run share it.
 */
import {wordAt} from "../../shared/columnar.ts";
import {modeGroup} from "../decisions/index.ts";
import {exposureOf} from "../lives/index.ts";
import {FAILURE_CLASSES} from "../lives/failureTable.ts";
import type {CellEffects, CellInputs} from "./contract.ts";
import {failuresInView, runsInView} from "./inView.ts";
import {mixModel, type MixModel} from "./mixModel.ts";
import {partsBlamed} from "./money.ts";
import {runGroups, type RunGroup} from "./runGroups.ts";

/** Hours and failures of one tool within a group, or of the whole group. */
export interface Tally {
  exposure: number;
  /** exposure in each condition of the model */
  readonly hours: Float64Array;
  /** failed runs by condition of the run */
  readonly failedIn: Float64Array;
  /** failed runs by kind, see `kindsOf` */
  readonly failures: Float64Array;
}

export interface ComparedGroup {
  readonly name: string;
  readonly tools: readonly Tally[];
  readonly whole: Tally;
  readonly runs: number;
  /** its failures that ended a run */
  readonly failed: readonly FailedRun[];
}

/** A failure that ended a run. */
export interface FailedRun {
  /** row of the failure table */
  readonly row: number;
  /** place of its kind in `Tally.failures` */
  readonly kind: number;
}

export interface ComparedGroups {
  readonly model: MixModel;
  /** the highest rate first; groups without exposure left out */
  readonly groups: readonly ComparedGroup[];
  readonly kinds: Kinds;
  /** failed runs of no named group, or of one without exposure */
  readonly outside: number;
  readonly unknownRuns: number;
  /** failed runs for which no rebuild before is logged, so that early or late is not known; counted as later */
  readonly untimed: number;
  /** failed runs in view for which no part was blamed */
  readonly unblamed: number;
  readonly from: number;
  readonly to: number;
}

/**
 * Places of the kinds in `Tally.failures`: caused at service, other (chance, or no part blamed), and wear of each modelled
 * component; each early after a rebuild, then later.
 */
export interface Kinds {
  readonly count: number;
  readonly parts: readonly string[];
  readonly shop: readonly [early: number, later: number];
  readonly other: readonly [early: number, later: number];
  wear(part: number): readonly [early: number, later: number];
}

export interface Comparison {
  readonly by: RunGroup;
  readonly component: readonly string[] | null;
  /** a failure within this much exposure after a rebuild is early */
  readonly early: number;
  /** day that parts the two periods of `by: period`; null for the middle of the runs in view */
  readonly on?: string | null;
}

/** Made once for the cells of a page that compare the same. */
export function comparedGroups(inputs: CellInputs, comparison: Comparison, effects: CellEffects): ComparedGroups {
  const make = () => tallyUp(inputs, comparison, effects);
  const {exposure} = inputs.settings;
  return effects.memo
    ? effects.memo(`compared groups ${JSON.stringify([comparison, inputs.where, exposure])}`, make)
    : make();
}

function tallyUp(
  inputs: CellInputs,
  {by, component, early, on = null}: Comparison,
  effects: CellEffects,
): ComparedGroups {
  const {runs, failures, settings} = inputs;
  const model = mixModel(inputs, effects);
  const kinds = kindsOf([...model.parts.keys()]);
  const group = runGroups(inputs, by, effects, on);
  const exposures = exposureOf(runs, settings.exposure);
  const {tool, end} = runs.columns;
  const byGroup = new Map<number, {tools: Map<number, Tally>; runs: number; failed: FailedRun[]}>();
  let unknownRuns = 0;
  let from = Infinity;
  let to = -Infinity;
  for (const run of runsInView(inputs)) {
    const hours = exposures[run]!;
    if (Number.isFinite(end[run]!)) {
      from = Math.min(from, end[run]!);
      to = Math.max(to, end[run]!);
    }
    if (!(hours >= 0)) {
      unknownRuns++;
      continue;
    }
    const code = group.codes[run]!;
    if (code < 0) continue;
    const held = byGroup.get(code) ?? {tools: new Map<number, Tally>(), runs: 0, failed: []};
    byGroup.set(code, held);
    held.runs++;
    const tally = held.tools.get(tool.codes[run]!) ?? emptyTally(model.cells.length, kinds.count);
    held.tools.set(tool.codes[run]!, tally);
    tally.exposure += hours;
    tally.hours[model.cellOf[run]!]! += hours;
  }
  const blamed = partsBlamed(failures);
  let outside = 0;
  let untimed = 0;
  let unblamed = 0;
  for (const row of failuresInView(inputs)) {
    const what = FAILURE_CLASSES[failures.failureClass[row]!];
    if (what !== "F1" && what !== "F2") continue;
    const part = wordAt(failures.component, row);
    if (component !== null && (part === null || !component.includes(part))) continue;
    const share = 1 / blamed(row);
    if (part === null) unblamed += share;
    const run = failures.run[row]!;
    const held = byGroup.get(group.codes[run] ?? -1);
    const tally = held?.tools.get(tool.codes[run] ?? -1);
    if (held === undefined || tally === undefined) {
      outside += share;
      continue;
    }
    const since = failures.sinceRebuild[row]!;
    if (Number.isNaN(since)) untimed += share;
    const kind = kindOf(inputs, row, part, kinds)[since <= early ? 0 : 1];
    held.failed.push({row, kind});
    tally.failures[kind]! += share;
    tally.failedIn[model.cellOf[run]!]! += share;
  }
  const groups = [...byGroup]
    .map(([code, {tools, runs: count, failed}]): ComparedGroup => {
      const list = [...tools.values()];
      return {
        name: group.words[code]!,
        tools: list,
        whole: sumOf(list, model.cells.length, kinds.count),
        runs: count,
        failed,
      };
    })
    .filter(({whole}) => whole.exposure > 0)
    .sort((a, b) => rateOf(b.whole) - rateOf(a.whole) || (a.name < b.name ? -1 : 1));
  return {model, groups, kinds, outside, unknownRuns, untimed, unblamed, from, to};
}

function kindOf(
  {failures}: CellInputs,
  row: number,
  part: string | null,
  {parts, shop, other, wear}: Kinds,
): readonly [number, number] {
  if (failures.serviceInduced[row] === 1) return shop;
  const place = part === null ? -1 : parts.indexOf(part);
  const mode = wordAt(failures.mode, row);
  return place >= 0 && (mode === null || modeGroup(mode) === "wear") ? wear(place) : other;
}

function kindsOf(parts: readonly string[]): Kinds {
  return {
    count: 4 + 2 * parts.length,
    parts,
    shop: [0, 1],
    other: [2, 3],
    wear: (part) => [4 + 2 * part, 5 + 2 * part],
  };
}

export function emptyTally(cells: number, kinds: number): Tally {
  return {
    exposure: 0,
    hours: new Float64Array(cells),
    failedIn: new Float64Array(cells),
    failures: new Float64Array(kinds),
  };
}

export function addTally(into: Tally, {exposure, hours, failedIn, failures}: Tally): void {
  into.exposure += exposure;
  for (let k = 0; k < hours.length; k++) {
    into.hours[k]! += hours[k]!;
    into.failedIn[k]! += failedIn[k]!;
  }
  for (let j = 0; j < failures.length; j++) into.failures[j]! += failures[j]!;
}

function sumOf(tallies: readonly Tally[], cells: number, kinds: number): Tally {
  const sum = emptyTally(cells, kinds);
  for (const tally of tallies) addTally(sum, tally);
  return sum;
}

/** Failed runs of a tally; whole unless parts of one run lie in and out of view. */
export const failuresOf = ({failures}: Tally): number => failures.reduce((sum, count) => sum + count, 0);

export const rateOf = (tally: Tally): number => failuresOf(tally) / tally.exposure;

/** Mean risk of a mix of conditions: Σ hours · risk / Σ hours, from `at` on in the risks (a draw of them). */
export function meanRisk(hours: Float64Array, risk: Float64Array, at = 0): number {
  let sum = 0;
  let whole = 0;
  for (let k = 0; k < hours.length; k++) {
    sum += hours[k]! * risk[at + k]!;
    whole += hours[k]!;
  }
  // a risk may be as good as nothing in a mild condition; ratios need it above 0
  return Math.max(sum / whole, 1e-12);
}
