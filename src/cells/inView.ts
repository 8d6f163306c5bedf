/** Which runs and failures the page's filters leave. A run belongs to the day it ended, a failure to its own day. */
import {wordAt, type Words} from "../../shared/columnar.ts";
import {cutLives, exposureOf, type LifeTable} from "../lives/index.ts";
import type {CellInputs, Where} from "./contract.ts";
import {clockOf} from "./say.ts";

const DAY = 86_400_000;

/** Rows of the run table in view. A filter by component leaves runs alone: every run uses every component. */
export function runsInView({runs, conditions, where}: Pick<CellInputs, "runs" | "conditions" | "where">): Int32Array {
  const {fleet, end} = runs.columns;
  const keep = [
    inList(fleet, where.fleet),
    inList(conditions.mud, where.mud),
    inList(conditions.regime, where.regime),
    inDays(end, where),
  ];
  return rowsWhere(runs.rows, keep);
}

/** Rows of the failure table in view. */
export function failuresInView({failures, where}: Pick<CellInputs, "failures" | "where">): Int32Array {
  const keep = [
    inList(failures.fleet, where.fleet),
    inList(failures.component, where.component),
    inList(failures.mud, where.mud),
    inList(failures.regime, where.regime),
    inDays(failures.date, where),
  ];
  return rowsWhere(failures.rows, keep);
}

/**
 * Lives under the filters by fleet, date and component, in every condition. A filter by mud or flow leaves only lives of
 * that condition alone; whoever models conditions wants all of them, and shows the rows asked for.
 */
export function livesOfEveryCondition({all, runs, where}: Pick<CellInputs, "all" | "runs" | "where">): LifeTable {
  const {mud: _mud, regime: _regime, ...rest} = where;
  return cutLives(all, runs, rest);
}

/** Lives under the filters by fleet and date, of every component in every condition: what a model of the fleet is made of. */
export function livesOfEveryComponent({all, runs, where}: Pick<CellInputs, "all" | "runs" | "where">): LifeTable {
  const {component: _component, mud: _mud, regime: _regime, ...rest} = where;
  return cutLives(all, runs, rest);
}

/** Said where muds and flows are told apart and the runs in view do not name them. */
export function unknownConditions(inputs: Pick<CellInputs, "runs" | "conditions" | "where">): string[] {
  const runs = runsInView(inputs);
  const {mud, regime} = inputs.conditions;
  const lacks = [
    ...(runs.every((run) => (wordAt(mud, run) ?? "UNK") === "UNK") ? ["its mud"] : []),
    ...(runs.every((run) => (wordAt(regime, run) ?? "unknown") === "unknown") ? ["its flow regime"] : []),
  ];
  if (runs.length === 0 || lacks.length === 0) return [];
  return [
    `No run in view tells ${lacks.join(" or ")}, so nothing is told apart by it: log mud, flow rate, bore and tool diameter, or say on the page “Logs and findings” which columns hold them.`,
  ];
}

/** Sum of the exposure of some runs, unknown ones left out and counted. */
export function exposureSum(
  inputs: CellInputs,
  rows: Int32Array,
): {readonly exposure: number; readonly unknown: number; readonly unit: string} {
  const exposures = exposureOf(inputs.runs, inputs.settings.exposure);
  let exposure = 0;
  let unknown = 0;
  for (const row of rows) {
    const hours = exposures[row]!;
    if (hours >= 0) exposure += hours;
    else unknown++;
  }
  return {exposure, unknown, unit: clockOf(inputs.settings).unit};
}

type Keep = (row: number) => boolean;

function inList({codes, words}: Words, list: readonly string[] | undefined): Keep {
  if (list === undefined || list.length === 0) return () => true;
  const wanted = words.map((word) => list.includes(word));
  return (row) => wanted[codes[row]!] === true;
}

function inDays(times: Float64Array, {from, to}: Where): Keep {
  if (from === undefined && to === undefined) return () => true;
  const first = from === undefined ? -Infinity : Date.parse(from);
  const last = to === undefined ? Infinity : Date.parse(to) + DAY;
  return (row) => times[row]! >= first && times[row]! < last;
}

function rowsWhere(rows: number, keep: readonly Keep[]): Int32Array {
  const kept: number[] = [];
  for (let row = 0; row < rows; row++) if (keep.every((test) => test(row))) kept.push(row);
  return Int32Array.from(kept);
}
