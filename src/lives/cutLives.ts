/**
 * Lives as a page's filters leave them.
 *
 * The date window is a log that begins and ends with it. A life that was running when it opens enters late, at the age it
 * had (delayed entry); one still running when it closes is suspended there ("cut by window"). Only exposure and failures
 * inside count. A failure found at a teardown is one of the window in which the teardown lies: if the part was last seen
 * good before the window, it is taken to have entered the window good, as it is for a part already fitted when the log
 * itself begins; if the teardown lies behind the window, the part is suspended at its age at the close, as it would have
 * been that day.
 *
 * Mud and regime keep the lives whose own condition they are. Mixed lives are left out then; what they and all others saw
 * in a condition is counted by exposureBy.
 */
import type {Words} from "../../shared/columnar.ts";
import type {RunTable} from "../logs/logTable.ts";
import type {FailureTable} from "./failureTable.ts";
import {endingCode, type Exposure, type LifeTable} from "./lifeTable.ts";
import {isEverything, wanted, windowOf, type LivesWhere, type Window} from "./livesWhere.ts";
import {ownConditions} from "./ownCondition.ts";
import {taken} from "./taken.ts";
import {tidy} from "./toolRuns.ts";

/**
 * @param lives as buildLives made them; cutting a cut table cuts it further
 * @param runs the run table that the lives were built from
 */
export function cutLives(lives: LifeTable, runs: Pick<RunTable, "columns">, where: LivesWhere): LifeTable {
  if (isEverything(where)) return lives;
  const window = windowOf(where);
  const open = window.from === -Infinity && window.to === Infinity;
  let rows = rowsOf(lives, where, window);
  let table: LifeTable;
  if (open) {
    rows = taken(rows, ownRows(lives, rows, where));
    table = takeLives(lives, rows);
  } else {
    // a window may change what a life's own condition is, so conditions are asked after it
    const windowed = inWindow(lives, runs, rows, window);
    const own = ownRows(windowed, null, where);
    table = own.length === windowed.rows ? windowed : takeLives(windowed, own);
    rows = taken(rows, own);
  }
  if (lives.failures === undefined) return table;
  const rowOf = new Int32Array(lives.rows).fill(-1);
  for (let i = 0; i < rows.length; i++) rowOf[rows[i]!] = i;
  return {...table, failures: cutFailures(lives.failures, where, window, rowOf)};
}

/** Lives of the chosen fleets and components that were in the tool at some time of the window. */
function rowsOf(lives: LifeTable, where: LivesWhere, window: Window): Int32Array {
  const fleets = wanted(where.fleet, lives.fleet.words);
  const components = wanted(where.component, lives.component.words);
  const rows = new Int32Array(lives.rows);
  let count = 0;
  for (let row = 0; row < lives.rows; row++) {
    if (fleets !== null && fleets[lives.fleet.codes[row]!] !== 1) continue;
    if (components !== null && components[lives.component.codes[row]!] !== 1) continue;
    if (lives.began[row]! <= window.to && lives.ended[row]! >= window.from) rows[count++] = row;
  }
  return rows.subarray(0, count);
}

/** Places in `rows` (null: every row) of the lives whose own mud and regime are asked for. */
function ownRows(lives: LifeTable, rows: Int32Array | null, where: LivesWhere): Int32Array {
  const muds = wanted(where.mud, lives.mud.words);
  const regimes = wanted(where.regime, lives.regime.words);
  const length = rows === null ? lives.rows : rows.length;
  const places = new Int32Array(length);
  let count = 0;
  for (let i = 0; i < length; i++) {
    const row = rows === null ? i : rows[i]!;
    if (muds !== null && muds[lives.mud.codes[row]!] !== 1) continue;
    if (regimes !== null && regimes[lives.regime.codes[row]!] !== 1) continue;
    places[count++] = i;
  }
  return places.subarray(0, count);
}

function inWindow(
  lives: LifeTable,
  {columns: {end}}: Pick<RunTable, "columns">,
  rows: Int32Array,
  window: Window,
): LifeTable {
  const table = takeLives(lives, rows);
  const {hours, run} = lives.exposure;
  const first = new Int32Array(rows.length);
  const last = new Int32Array(rows.length);
  rows.forEach((row, i) => {
    const to = lives.exposure.offsets[row + 1]!;
    let at = lives.exposure.offsets[row]!;
    let age = lives.entry[row]!;
    while (at < to && end[run[at]!]! < window.from) age += hours[at++]!;
    first[i] = at;
    const entry = tidy(age);
    while (at < to && end[run[at]!]! <= window.to) age += hours[at++]!;
    last[i] = at;
    table.entry[i] = entry;
    table.lastRun[i] = at > first[i]! ? run[at - 1]! : -1;
    if (lives.ended[row]! > window.to) suspendAt(table, i, Math.max(entry, tidy(age)), window.to);
    else {
      table.lower[i] = Math.max(table.lower[i]!, entry);
      table.upper[i] = Math.max(table.upper[i]!, table.lower[i]!);
    }
  });
  const exposure = takeStretches(lives.exposure, first, last);
  const own = ownConditions(rows.length, exposure);
  return {
    ...table,
    exposure,
    mud: {codes: own.mud, words: lives.mud.words},
    regime: {codes: own.regime, words: lives.regime.words},
  };
}

function suspendAt(table: LifeTable, i: number, age: number, date: number): void {
  table.lower[i] = age;
  table.upper[i] = Infinity;
  table.ageAtEnd[i] = age;
  table.ending[i] = endingCode("cut by window");
  table.mode.codes[i] = -1;
  table.serviceInduced[i] = 0;
  table.ended[i] = date;
  table.endedRow[i] = -1;
}

/** The named rows of a life table, in that order, with columns of their own. */
export function takeLives(lives: LifeTable, rows: Int32Array): LifeTable {
  const numbers = (column: Float64Array): Float64Array => taken(column, rows);
  const codes = (column: Int32Array): Int32Array => taken(column, rows);
  const small = (column: Uint8Array): Uint8Array => taken(column, rows);
  const words = (column: Words): Words => ({codes: taken(column.codes, rows), words: column.words});
  const {offsets} = lives.exposure;
  return {
    rows: rows.length,
    component: words(lives.component),
    tool: words(lives.tool),
    fleet: words(lives.fleet),
    position: words(lives.position),
    partNumber: words(lives.partNumber),
    lot: words(lives.lot),
    partSerial: words(lives.partSerial),
    shop: words(lives.shop),
    entry: numbers(lives.entry),
    lower: numbers(lives.lower),
    upper: numbers(lives.upper),
    ageAtEnd: numbers(lives.ageAtEnd),
    ending: small(lives.ending),
    mode: words(lives.mode),
    serviceInduced: small(lives.serviceInduced),
    began: numbers(lives.began),
    ended: numbers(lives.ended),
    beganRow: codes(lives.beganRow),
    endedRow: codes(lives.endedRow),
    lastRun: codes(lives.lastRun),
    mud: words(lives.mud),
    regime: words(lives.regime),
    exposure: takeStretches(
      lives.exposure,
      codes(offsets),
      Int32Array.from(rows, (row) => offsets[row + 1]!),
    ),
  };
}

/** The stretches `first[i] .. last[i]` of each life. */
function takeStretches(exposure: Exposure, first: Int32Array, last: Int32Array): Exposure {
  const offsets = new Int32Array(first.length + 1);
  for (let i = 0; i < first.length; i++) offsets[i + 1] = offsets[i]! + last[i]! - first[i]!;
  const total = offsets[first.length]!;
  const hours = new Float64Array(total);
  const mud = new Int32Array(total);
  const regime = new Int32Array(total);
  const run = new Int32Array(total);
  for (let i = 0; i < first.length; i++) {
    for (let from = first[i]!, to = offsets[i]!; from < last[i]!; from++, to++) {
      hours[to] = exposure.hours[from]!;
      mud[to] = exposure.mud[from]!;
      regime[to] = exposure.regime[from]!;
      run[to] = exposure.run[from]!;
    }
  }
  return {offsets, hours, mud, regime, run, muds: exposure.muds, regimes: exposure.regimes};
}

/** Failures of the window and the filters; each has a condition of its own. `rowOf` is where each life went. */
function cutFailures(failures: FailureTable, where: LivesWhere, window: Window, rowOf: Int32Array): FailureTable {
  const lists = [
    [wanted(where.fleet, failures.fleet.words), failures.fleet.codes],
    [wanted(where.component, failures.component.words), failures.component.codes],
    [wanted(where.mud, failures.mud.words), failures.mud.codes],
    [wanted(where.regime, failures.regime.words), failures.regime.codes],
  ] as const;
  const kept: number[] = [];
  for (let row = 0; row < failures.rows; row++) {
    const inside = failures.date[row]! >= window.from && failures.date[row]! <= window.to;
    if (inside && lists.every(([list, codes]) => list === null || list[codes[row]!] === 1)) kept.push(row);
  }
  const table = takeFailures(failures, Int32Array.from(kept));
  return {...table, life: table.life.map((life) => (life < 0 ? -1 : rowOf[life]!))};
}

/** The named rows of a failure table, in that order. */
export function takeFailures(failures: FailureTable, rows: Int32Array): FailureTable {
  const numbers = (column: Float64Array): Float64Array => taken(column, rows);
  const codes = (column: Int32Array): Int32Array => taken(column, rows);
  const small = (column: Uint8Array): Uint8Array => taken(column, rows);
  const words = (column: Words): Words => ({codes: taken(column.codes, rows), words: column.words});
  return {
    rows: rows.length,
    date: numbers(failures.date),
    tool: words(failures.tool),
    fleet: words(failures.fleet),
    component: words(failures.component),
    position: words(failures.position),
    mode: words(failures.mode),
    mechanism: words(failures.mechanism),
    serviceInduced: small(failures.serviceInduced),
    failureClass: small(failures.failureClass),
    lostHours: numbers(failures.lostHours),
    mud: words(failures.mud),
    regime: words(failures.regime),
    sinceRebuild: numbers(failures.sinceRebuild),
    run: codes(failures.run),
    rebuild: codes(failures.rebuild),
    life: codes(failures.life),
  };
}
