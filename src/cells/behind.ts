/**
 * What stands behind a mark of a figure, from rows of the tables a cell looks at: how many lives, failures, runs or rebuild
 * rows, the first few in words, and the lines of the log files that tell of them.
 */
import {wordAt} from "../../shared/columnar.ts";
import {modeLabel} from "../../shared/vocabulary/index.ts";
import type {Behind, FileLines, Rested} from "../charts/behind.ts";
import type {FailureTable} from "../lives/failureTable.ts";
import {LIFE_ENDINGS, type LifeEnding, type LifeTable} from "../lives/lifeTable.ts";
import type {RowOrigin} from "../logs/logTable.ts";
import type {CellInputs} from "./contract.ts";
import {partOf, sayCount} from "./say.ts";
import {tellLife} from "./tellLife.ts";

/** Named at the mark itself; the others stand in the rows. */
const NAMED = 3;
/** Of so few lives every run is a row behind them; of more, the rows that ended them. */
const WHOLE_LIVES = 3;
/** Rows that one mark carries at most. */
const MOST_ROWS = 2000;

export type Logs = Pick<CellInputs, "runs" | "rebuilds">;

export interface Told {
  readonly mark: string;
  /** what is counted; default: life, failure, run, rebuild row */
  readonly one?: string;
  readonly many?: string;
}

/** Nothing stands behind a mark of no lives. */
export function livesBehind(
  {runs, rebuilds}: Logs,
  lives: LifeTable,
  rows: readonly number[] | Int32Array,
  {mark, one = "life", many = "lives"}: Told,
): Behind | undefined {
  const collected = new Places();
  for (const row of rows) {
    collected.add(rebuilds, lives.endedRow[row]!);
    // a life that goes on is told of by the row that began it
    if (rows.length <= WHOLE_LIVES || lives.endedRow[row]! < 0) collected.add(rebuilds, lives.beganRow[row]!);
    if (rows.length <= WHOLE_LIVES) {
      const {offsets, run} = lives.exposure;
      for (let s = offsets[row]!; s < offsets[row + 1]!; s++) collected.add(runs, run[s]!);
    }
    collected.add(runs, lives.lastRun[row]!);
  }
  return told(collected, rows, {mark, one, many}, (row) => tellLife({lives}, row));
}

/** @param failures the table the rows are of: that of the logs, or that of lives cut to the filters */
export function failuresBehind(
  {runs, rebuilds}: Logs,
  failures: FailureTable,
  rows: readonly number[] | Int32Array,
  {mark, one = "failure", many = "failures"}: Told,
): Behind | undefined {
  const collected = new Places();
  for (const row of rows) {
    collected.add(rebuilds, failures.rebuild[row]!);
    collected.add(runs, failures.run[row]!);
  }
  return told(collected, rows, {mark, one, many}, (row) => tellFailure(failures, row));
}

export function runsBehind(
  {runs}: Logs,
  rows: readonly number[] | Int32Array,
  {mark, one = "run", many = "runs"}: Told,
): Behind | undefined {
  const collected = new Places();
  for (const row of rows) collected.add(runs, row);
  return told(collected, rows, {mark, one, many}, (row) => {
    const {run, tool, end} = runs.columns;
    return `run ${wordAt(run, row) ?? "without a number"} of tool ${wordAt(tool, row) ?? "unknown"}${on(end[row]!)}`;
  });
}

export function rebuildsBehind(
  {rebuilds}: Logs,
  rows: readonly number[] | Int32Array,
  {mark, one = "look at a part", many = "looks at parts"}: Told,
): Behind | undefined {
  const collected = new Places();
  for (const row of rows) collected.add(rebuilds, row);
  return told(collected, rows, {mark, one, many}, (row) => {
    const {tool, component, date} = rebuilds.columns;
    return `${partOf(wordAt(component, row) ?? "part")} of tool ${wordAt(tool, row) ?? "unknown"}, looked at${on(date[row]!)}`;
  });
}

/** Steps of a curve, each with the events that make it: those after the step before, up to its own age. */
export function stepsBehind<P extends {readonly age: number} | {readonly ageTo: number}>(
  curve: readonly P[],
  events: readonly {readonly age: number; readonly row: number}[],
  make: (rows: readonly number[], age: number) => Behind | undefined,
): (P & Rested)[] {
  const sorted = [...events].sort((a, b) => a.age - b.age);
  let next = 0;
  return curve.map((point) => {
    const age = "age" in point ? point.age : point.ageTo;
    const rows: number[] = [];
    // ages on either side come by different sums
    while (next < sorted.length && sorted[next]!.age <= age * (1 + 1e-9)) rows.push(sorted[next++]!.row);
    return rows.length === 0 ? point : {...point, behind: make(rows, age)};
  });
}

/** Finds the life of a part that is in a tool when the log, or its window, ends. */
export function partsInTools(lives: LifeTable): (tool: string, component: string, position: string | null) => number[] {
  const rows = new Map<string, number[]>();
  for (let row = 0; row < lives.rows; row++) {
    if (!IN_TOOL.includes(LIFE_ENDINGS[lives.ending[row]!]!)) continue;
    const key = JSON.stringify([wordAt(lives.tool, row), wordAt(lives.component, row), wordAt(lives.position, row)]);
    const known = rows.get(key);
    if (known) known.push(row);
    else rows.set(key, [row]);
  }
  return (tool, component, position) => rows.get(JSON.stringify([tool, component, position])) ?? [];
}

const IN_TOOL: readonly LifeEnding[] = ["still running", "cut by window"];

function told(
  places: Places,
  rows: readonly number[] | Int32Array,
  {mark, one, many}: Required<Told>,
  say: (row: number) => string,
): Behind | undefined {
  if (rows.length === 0) return undefined;
  return {
    mark,
    counted: sayCount(rows.length, one, many),
    first: Array.from(rows.slice(0, NAMED), say),
    more: Math.max(0, rows.length - NAMED),
    ...places.found(),
  };
}

/** `SEAL-ABR … of tool K1-142 on 2025-03-01` */
function tellFailure({component, mode, tool, date}: FailureTable, row: number): string {
  const code = wordAt(mode, row);
  const part = wordAt(component, row);
  const what =
    part === null ? "a run with no part blamed" : `${partOf(part)}${code === null ? "" : `, ${modeLabel(code)},`}`;
  return `${what} of tool ${wordAt(tool, row) ?? "unknown"}${on(date[row]!)}`;
}

const on = (time: number): string => (Number.isFinite(time) ? ` on ${new Date(time).toISOString().slice(0, 10)}` : "");

/** Lines of files, each once; kept up to so many, counted beyond. */
class Places {
  readonly #seen = new Map<string, Set<number>>();
  readonly #kept = new Map<string, number[]>();
  #rows = 0;

  /** @param row of the table; below 0: there is none */
  add({file, line}: RowOrigin, row: number): void {
    const name = row < 0 ? null : wordAt(file, row);
    if (name === null) return;
    let seen = this.#seen.get(name);
    if (seen === undefined) this.#seen.set(name, (seen = new Set()));
    const at = line[row]!;
    if (seen.has(at)) return;
    seen.add(at);
    if (++this.#rows > MOST_ROWS) return;
    const kept = this.#kept.get(name);
    if (kept) kept.push(at);
    else this.#kept.set(name, [at]);
  }

  found(): {readonly places: readonly FileLines[]; readonly left: number} {
    return {
      places: [...this.#kept].map(([file, lines]) => ({file, lines: lines.sort((a, b) => a - b)})),
      left: Math.max(0, this.#rows - MOST_ROWS),
    };
  }
}
