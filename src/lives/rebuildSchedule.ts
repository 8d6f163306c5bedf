/**
 * The rebuild rows in the order in which they happened, each with its slot, its place among the runs of its tool, and
 * the visit it belongs to.
 *
 * A *slot* is (tool, component, position). A *visit* is everything done to a tool between two of its runs, on however
 * many days and under however many rebuild numbers: all its rows look back on the same last run.
 */
import {wordAt, type Words} from "../../shared/columnar.ts";
import type {RebuildTable, RunTable} from "../logs/logTable.ts";
import type {FindingList, Rule} from "./FindingList.ts";
import {positionAt, type ToolRuns} from "./toolRuns.ts";
import {ACTION_AS, FOUND_AS, isBad, type Verdicts} from "./verdict.ts";

const DAY = 86_400_000;

export interface Slots {
  readonly count: number;
  readonly tool: Int32Array;
  /** code in the rebuild table's component column */
  readonly component: Int32Array;
  /** code in the rebuild table's position column, -1 for none */
  readonly position: Int32Array;
}

/** What is known of a visit; index = position + tool, as in ToolRuns.before. */
export interface Visits {
  /** rows of the visit */
  readonly rows: Int32Array;
  /** parts blamed for ending the last run, the one taken to be to blame included */
  readonly claims: Int32Array;
  /** the one failed part of a failed run for which nothing says whether it ended the run; -1 for none */
  readonly presumed: Int32Array;
  /** position of the visit before; -1 for none */
  readonly previous: Int32Array;
}

export interface RebuildSchedule {
  readonly slots: Slots;
  /** usable rows by date, then table order */
  readonly order: Int32Array;
  /** slot of each row, -1 for a row set aside */
  readonly slot: Int32Array;
  /** position among the runs (ToolRuns) of each row */
  readonly position: Int32Array;
  /** next row of the same slot, -1 for none */
  readonly next: Int32Array;
  readonly visits: Visits;
}

export function rebuildSchedule(
  {runs, rebuilds}: {readonly runs: RunTable; readonly rebuilds: RebuildTable},
  index: ToolRuns,
  {found, action}: Verdicts,
  findings: FindingList,
): RebuildSchedule {
  const {date} = rebuilds.columns;
  const {slots, slot} = slotsOf(rebuilds, index, action, findings);
  const order = byDate(date, slot);
  const position = new Int32Array(rebuilds.rows).fill(-1);
  const next = new Int32Array(rebuilds.rows).fill(-1);
  const lastOfSlot = new Int32Array(slots.count).fill(-1);
  const reached = index.offsets.slice();
  const lastVisit = new Int32Array(index.tools.length).fill(-1);
  const lastDate = new Float64Array(index.tools.length).fill(NaN);
  const places = index.order.length + index.tools.length;
  const visits = {
    rows: new Int32Array(places),
    claims: new Int32Array(places),
    presumed: new Int32Array(places).fill(-1),
    previous: new Int32Array(places).fill(-1),
  };
  const candidates = new Int32Array(places);
  const {ended_run} = rebuilds.columns;
  for (const row of order) {
    const s = slot[row]!;
    const tool = slots.tool[s]!;
    const p = positionAt(index, runs, tool, date[row]!, reached[tool]!);
    reached[tool] = p;
    position[row] = p;
    const before = lastOfSlot[s]!;
    if (before >= 0) next[before] = row;
    lastOfSlot[s] = row;
    const visit = p + tool;
    if (visits.rows[visit]!++ === 0) {
      visits.previous[visit] = lastVisit[tool]!;
      lastVisit[tool] = p;
    }
    if (date[row] !== lastDate[tool]) {
      lastDate[tool] = date[row]!;
      if (inMidRun(index, runs, tool, p, date[row]!)) findings.add(DURING_RUN, rebuilds, row, {column: "date"});
    }
    const bad = isBad(found[row]!) || found[row] === FOUND_AS.damaged;
    if (!bad) continue;
    if (ended_run[row] === 1) visits.claims[visit]!++;
    else if (ended_run[row] === -1 && found[row] === FOUND_AS.failed) {
      candidates[visit]!++;
      visits.presumed[visit] = row;
    }
  }
  settlePresumed(index, runs, visits, candidates);
  return {slots, order, slot, position, next, visits};
}

/** A failed run whose visit blames nothing, with one failed part and no word on whether it ended the run: it did. */
function settlePresumed(index: ToolRuns, runs: RunTable, visits: Visits, candidates: Int32Array): void {
  const {outcome} = runs.columns;
  const failed = outcome.words.indexOf("failed downhole");
  for (let tool = 0; tool < index.tools.length; tool++) {
    for (let p = index.offsets[tool]!; p <= index.offsets[tool + 1]!; p++) {
      const visit = p + tool;
      if (visits.presumed[visit] === -1) continue;
      const lastRunFailed = p > index.offsets[tool]! && failed >= 0 && outcome.codes[index.order[p - 1]!] === failed;
      if (lastRunFailed && visits.claims[visit] === 0 && candidates[visit] === 1) visits.claims[visit] = 1;
      else visits.presumed[visit] = -1;
    }
  }
}

function inMidRun(index: ToolRuns, {columns: {start}}: RunTable, tool: number, p: number, date: number): boolean {
  if (p >= index.offsets[tool + 1]!) return false;
  return Math.floor(start[index.order[p]!]! / DAY) < Math.floor(date / DAY);
}

/** Row numbers by date, then table order, of the rows that have a slot. Dates repeat, so ranks and counts do it. */
function byDate(date: Float64Array, slot: Int32Array): Int32Array {
  const dates = new Set<number>();
  for (let row = 0; row < date.length; row++) {
    // the rows of a rebuild stand together, so most dates are the one before
    if (slot[row]! >= 0 && (row === 0 || slot[row - 1]! < 0 || date[row] !== date[row - 1])) dates.add(date[row]!);
  }
  const days = Float64Array.from(dates).sort();
  const distinct = days.length;
  const rank = new Int32Array(date.length);
  const starts = new Int32Array(distinct + 1);
  let r = 0;
  for (let row = 0; row < date.length; row++) {
    if (slot[row]! < 0) continue;
    if (days[r] !== date[row]) r = rankOf(days, date[row]!);
    rank[row] = r;
    starts[r + 1]!++;
  }
  for (let d = 0; d < distinct; d++) starts[d + 1]! += starts[d]!;
  const order = new Int32Array(starts[distinct] ?? 0);
  for (let row = 0; row < date.length; row++) if (slot[row]! >= 0) order[starts[rank[row]!]!++] = row;
  return order;
}

function rankOf(sorted: Float64Array, value: number): number {
  let low = 0;
  let high = sorted.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle]! < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Slots in table order (tool by tool), and the slot of each row. */
function slotsOf(
  rebuilds: RebuildTable,
  index: ToolRuns,
  action: Uint8Array,
  findings: FindingList,
): {slots: Slots; slot: Int32Array} {
  const {tool, component, position, date} = rebuilds.columns;
  const only = namedPositions(rebuilds);
  const components = component.words.length;
  const positions = position.words.length + 1;
  const numbers = new Map<number, number>();
  const tools: number[] = [];
  const parts: number[] = [];
  const places: number[] = [];
  const slot = new Int32Array(rebuilds.rows).fill(-1);
  for (let row = 0; row < rebuilds.rows; row++) {
    const toolCode = tool.codes[row]!;
    const part = component.codes[row]!;
    if (toolCode < 0 || part < 0 || !Number.isFinite(date[row]!) || action[row] === ACTION_AS.missing) {
      findings.add(ROW_WITHOUT_KEY, rebuilds, row, {column: missingColumn(rebuilds, row)});
      continue;
    }
    let place = position.codes[row]!;
    if (place < 0) {
      const named = only.get(toolCode * components + part);
      if (named === SEVERAL) {
        findings.add(POSITION_UNKNOWN, rebuilds, row, {column: "position"});
        continue;
      }
      if (named !== undefined) {
        place = named;
        findings.add(POSITION_TAKEN, rebuilds, row, {column: "position", taken: position.words[named]!});
      }
    }
    const t = index.toolOfRebuildCode[toolCode]!;
    const key = (t * components + part) * positions + place + 1;
    let s = numbers.get(key);
    if (s === undefined) {
      s = tools.length;
      numbers.set(key, s);
      tools.push(t);
      parts.push(part);
      places.push(place);
    }
    slot[row] = s;
  }
  return {
    slots: {
      count: tools.length,
      tool: Int32Array.from(tools),
      component: Int32Array.from(parts),
      position: Int32Array.from(places),
    },
    slot,
  };
}

const SEVERAL = -2;

/** The one position named for each (tool, component) that has any; SEVERAL where there are more. */
function namedPositions({rows, columns: {tool, component, position}}: RebuildTable): Map<number, number> {
  const components = component.words.length;
  const named = new Map<number, number>();
  if (position.words.length === 0) return named;
  for (let row = 0; row < rows; row++) {
    const place = position.codes[row]!;
    if (place < 0) continue;
    const key = tool.codes[row]! * components + component.codes[row]!;
    const other = named.get(key);
    if (other === undefined) named.set(key, place);
    else if (other !== place) named.set(key, SEVERAL);
  }
  return named;
}

function missingColumn({columns}: RebuildTable, row: number): string {
  const empty = (column: Words): boolean => wordAt(column, row) === null;
  if (empty(columns.tool)) return "tool";
  if (empty(columns.component)) return "component";
  return Number.isFinite(columns.date[row]!) ? "action" : "date";
}

const ROW_WITHOUT_KEY: Rule = {
  rule: "rebuild-without-key",
  kind: "set aside",
  message: "a rebuild row without a tool, a component, a date or an action says nothing about a part's life",
  remedy: "fill in the named column",
};
const POSITION_UNKNOWN: Rule = {
  rule: "position-missing",
  kind: "asked",
  message: "this tool holds several of this component and the row does not say which one it is about",
  remedy: "fill in position",
};
const POSITION_TAKEN: Rule = {
  rule: "position-supplied",
  kind: "repaired",
  message: "the row names no position; the only one ever named for this component of this tool is taken",
  remedy: "fill in position if it is another one",
};
const DURING_RUN: Rule = {
  rule: "rebuild-during-run",
  kind: "doubted",
  message: "the tool was in the hole on the date of this rebuild; the run it was in is counted after the rebuild",
  remedy: "check the date and the tool of the rebuild, and the dates of the run",
};
