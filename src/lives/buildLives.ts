/**
 * Runs × rebuilds → component lives. What each log row says about a part is the table of DEVELOPERS.md and, for the
 * awkward cases, beside the code of LifeBuilder and the sentences of lifeRules; the tests say it case by case.
 */
import type {Words} from "../../shared/columnar.ts";
import type {Finding} from "../../shared/findings.ts";
import type {Settings} from "../../shared/settings.ts";
import {MODES} from "../../shared/vocabulary/index.ts";
import type {RunConditions} from "../hydraulics/index.ts";
import type {RebuildTable, RunTable} from "../logs/logTable.ts";
import type {FailureTable} from "./failureTable.ts";
import {FindingList} from "./FindingList.ts";
import {LifeBuilder} from "./LifeBuilder.ts";
import type {Exposure, LifeTable} from "./lifeTable.ts";
import {MIXED, ownConditions} from "./ownCondition.ts";
import {rebuildSchedule, type RebuildSchedule} from "./rebuildSchedule.ts";
import {taken} from "./taken.ts";
import {tidy, toolRuns, type ToolRuns} from "./toolRuns.ts";
import {verdicts} from "./verdict.ts";

export interface BuiltLives {
  readonly lives: LifeTable;
  /** the same as `lives.failures`: every failure of the logs */
  readonly failures: FailureTable;
  readonly findings: Finding[];
}

interface LogTables {
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
}

/**
 * @param logs checked tables; text is in codes of the vocabulary, units are canonical
 * @param conditions one mud and one regime a run, in the order of the run table
 * @param settings the exposure clock, and whether a part lost in hole counts as failed
 * @returns lives by tool and slot, in the order in which they ended
 */
export function buildLives(
  logs: LogTables,
  conditions: Pick<RunConditions, "mud" | "regime">,
  settings: Pick<Settings, "exposure" | "lost_in_hole">,
): BuiltLives {
  const findings = new FindingList();
  const index = toolRuns(logs.runs, logs.rebuilds.columns.tool, settings.exposure, findings);
  const seen = verdicts(logs.rebuilds);
  const schedule = rebuildSchedule(logs, index, seen, findings);
  const fleetOfTool = toolFleets(logs.runs, index);
  const builder = new LifeBuilder({...logs, settings, index, schedule, verdicts: seen, findings, fleetOfTool});
  builder.build(lastMoment(logs));
  const place: Place = {logs, conditions, index, schedule, fleetOfTool, builder};
  const {table, rowOf} = lifeTableOf(place);
  const failures = failureTableOf(place, table, rowOf);
  return {lives: {...table, failures}, failures, findings: findings.all()};
}

interface Place {
  readonly logs: LogTables;
  readonly conditions: Pick<RunConditions, "mud" | "regime">;
  readonly index: ToolRuns;
  readonly schedule: RebuildSchedule;
  readonly fleetOfTool: Int32Array;
  readonly builder: LifeBuilder;
}

/** The life table, slot by slot, and the row in it of each life as the builder numbered them. */
function lifeTableOf(place: Place): {table: LifeTable; rowOf: Int32Array} {
  const {logs, index, schedule, fleetOfTool, builder} = place;
  const {lives} = builder.ends;
  const {slots} = schedule;
  const {columns} = logs.rebuilds;
  const {order, rowOf} = bySlot(lives.column("slot"), slots.count);
  const take = <T extends Float64Array | Int32Array | Uint8Array>(column: T): T => taken(column, order);
  const slot = take(lives.column("slot"));
  const from = take(lives.column("from"));
  const to = take(lives.column("to"));
  const exposure = exposureOfLives(place, {from, to, cut: take(lives.column("cut"))});
  const lastRun = to.map((p, life) => (p > from[life]! ? index.order[p - 1]! : -1));
  const fleet = lastRun.map((run, life) => {
    const code = run < 0 ? -1 : logs.runs.columns.fleet.codes[run]!;
    return code < 0 ? fleetOfTool[slots.tool[slot[life]!]!]! : code;
  });
  const own = ownConditions(lives.rows, exposure);
  const words = (codes: Int32Array, of: Words): Words => ({codes, words: of.words});
  const table: LifeTable = {
    rows: lives.rows,
    component: words(
      slot.map((s) => slots.component[s]!),
      columns.component,
    ),
    tool: {codes: slot.map((s) => slots.tool[s]!), words: index.tools},
    fleet: words(fleet, logs.runs.columns.fleet),
    position: words(
      slot.map((s) => slots.position[s]!),
      columns.position,
    ),
    partNumber: words(take(lives.column("partNumber")), columns.part_number),
    lot: words(take(lives.column("lot")), columns.lot),
    partSerial: words(take(lives.column("partSerial")), columns.part_serial),
    shop: words(take(lives.column("shop")), columns.shop),
    entry: take(lives.column("entry")),
    lower: take(lives.column("lower")),
    upper: take(lives.column("upper")),
    ageAtEnd: take(lives.column("ageAtEnd")),
    ending: take(lives.column("ending")),
    mode: {codes: take(lives.column("mode")), words: builder.modes},
    serviceInduced: take(lives.column("serviceInduced")),
    began: take(lives.column("began")),
    ended: take(lives.column("ended")),
    beganRow: take(lives.column("beganRow")),
    endedRow: take(lives.column("endedRow")),
    lastRun,
    mud: {codes: own.mud, words: [...exposure.muds, MIXED]},
    regime: {codes: own.regime, words: [...exposure.regimes, MIXED]},
    exposure,
  };
  return {table, rowOf};
}

/** Stretches of every life: the runs between its positions, the last one cut where the part failed in it. */
function exposureOfLives(
  {conditions: {mud, regime}, index}: Place,
  {from, to, cut}: {readonly from: Int32Array; readonly to: Int32Array; readonly cut: Float64Array},
): Exposure {
  const offsets = new Int32Array(from.length + 1);
  for (let life = 0; life < from.length; life++) offsets[life + 1] = offsets[life]! + to[life]! - from[life]!;
  const stretches = offsets[from.length]!;
  const hours = new Float64Array(stretches);
  const run = new Int32Array(stretches);
  const mudOf = new Int32Array(stretches);
  const regimeOf = new Int32Array(stretches);
  for (let life = 0; life < from.length; life++) {
    let i = offsets[life]!;
    for (let p = from[life]!; p < to[life]!; p++, i++) {
      const row = index.order[p]!;
      hours[i] = index.exposure[p]!;
      run[i] = row;
      mudOf[i] = mud.codes[row]!;
      regimeOf[i] = regime.codes[row]!;
    }
    if (cut[life]! >= 0) hours[i - 1] = cut[life]!;
  }
  return {offsets, hours, mud: mudOf, regime: regimeOf, run, muds: mud.words, regimes: regime.words};
}

function failureTableOf(
  {logs, conditions, index, schedule, fleetOfTool, builder}: Place,
  lives: LifeTable,
  rowOf: Int32Array,
): FailureTable {
  const {failures, blamed} = builder.ends;
  const {slots} = schedule;
  const {columns} = logs.rebuilds;
  const rows = failures.rows;
  const slot = failures.column("slot");
  const tool = failures.column("tool").slice();
  const at = failures.column("at");
  const inRun = failures.column("inRun");
  const run = at.map((p, i) => (p > index.offsets[tool[i]!]! ? index.order[p - 1]! : -1));
  const {mud, regime} = conditions;
  const mudOf = new Int32Array(rows).fill(-1);
  const regimeOf = new Int32Array(rows).fill(-1);
  const lostHours = new Float64Array(rows);
  const {lost_time_h} = logs.runs.columns;
  const since = failures.column("since");
  for (let i = 0; i < rows; i++) {
    if (run[i]! < 0) continue;
    const worst = mainRun(index, conditions, since[i]!, at[i]!, tool[i]!);
    mudOf[i] = mud.codes[worst]!;
    regimeOf[i] = regime.codes[worst]!;
    const lost = lost_time_h[run[i]!]!;
    if (inRun[i] === 1 && lost > 0) lostHours[i] = tidy(lost / blamed[at[i]! + tool[i]!]!);
  }
  const mode = failures.column("mode").slice();
  const rebuild = failures.column("rebuild").slice();
  const life = failures.column("life").map((number) => (number < 0 ? -1 : rowOf[number]!));
  const codeOf = (codes: Int32Array): Int32Array => slot.map((s) => (s < 0 ? -1 : codes[s]!));
  return {
    rows,
    date: failures.column("date").slice(),
    tool: {codes: tool, words: index.tools},
    fleet: {
      codes: tool.map((t, i) => {
        const code = run[i]! < 0 ? -1 : logs.runs.columns.fleet.codes[run[i]!]!;
        return code < 0 ? fleetOfTool[t]! : code;
      }),
      words: lives.fleet.words,
    },
    component: {codes: codeOf(slots.component), words: columns.component.words},
    position: {codes: codeOf(slots.position), words: columns.position.words},
    mode: {codes: mode, words: builder.modes},
    mechanism: mechanisms(columns.mechanism, rebuild, mode, builder.modes),
    serviceInduced: failures.column("serviceInduced").slice(),
    failureClass: failures.column("failureClass").slice(),
    lostHours,
    mud: {codes: mudOf, words: mud.words},
    regime: {codes: regimeOf, words: regime.words},
    sinceRebuild: failures.column("sinceRebuild").slice(),
    run,
    rebuild,
    life,
  };
}

/** Row of the last run in the condition with the most exposure between two positions. */
function mainRun(
  index: ToolRuns,
  {mud, regime}: Pick<RunConditions, "mud" | "regime">,
  since: number,
  at: number,
  tool: number,
): number {
  const first = Math.max(index.offsets[tool]!, Math.min(since, at - 1));
  let main = index.order[at - 1]!;
  if (first === at - 1) return main;
  const sums = new Map<number, number>();
  let most = -1;
  const regimes = regime.words.length;
  const keyOf = (run: number): number => mud.codes[run]! * regimes + regime.codes[run]!;
  for (let p = first; p < at; p++) {
    const hours = index.exposure[p]!;
    const key = keyOf(index.order[p]!);
    if (hours > 0) sums.set(key, (sums.get(key) ?? 0) + hours);
  }
  for (let p = at - 1; p >= first; p--) {
    const sum = sums.get(keyOf(index.order[p]!)) ?? 0;
    if (sum > most) {
      most = sum;
      main = index.order[p]!;
    }
  }
  return main;
}

/** The mechanism as the row gives it, else the vocabulary's for the mode. */
function mechanisms(given: Words, rebuild: Int32Array, mode: Int32Array, modes: readonly string[]): Words {
  const words = [...given.words];
  const index = new Map(words.map((word, code) => [word, code]));
  const usual = modes.map((code) => {
    const mechanism = MODES[code]?.mechanism;
    if (mechanism === undefined) return -1;
    const known = index.get(mechanism);
    if (known !== undefined) return known;
    index.set(mechanism, words.length);
    return words.push(mechanism) - 1;
  });
  const codes = rebuild.map((row, i) => {
    const own = row < 0 ? -1 : given.codes[row]!;
    return own >= 0 ? own : (usual[mode[i]!] ?? -1);
  });
  return {codes, words};
}

/** Life numbers slot by slot, within a slot as the builder ended them. */
function bySlot(slot: Int32Array, slots: number): {order: Int32Array; rowOf: Int32Array} {
  const next = new Int32Array(slots + 1);
  for (const s of slot) next[s + 1]!++;
  for (let s = 0; s < slots; s++) next[s + 1]! += next[s]!;
  const order = new Int32Array(slot.length);
  const rowOf = new Int32Array(slot.length);
  for (let life = 0; life < slot.length; life++) {
    const row = next[slot[life]!]!++;
    order[row] = life;
    rowOf[life] = row;
  }
  return {order, rowOf};
}

/** Code of the fleet that each tool last ran for, -1 for none. */
function toolFleets({columns: {fleet}}: RunTable, {order, offsets, tools}: ToolRuns): Int32Array {
  return Int32Array.from(tools, (_, tool) => {
    for (let p = offsets[tool + 1]! - 1; p >= offsets[tool]!; p--) {
      const code = fleet.codes[order[p]!]!;
      if (code >= 0) return code;
    }
    return -1;
  });
}

/** The last date of either log; 0 for empty logs. */
function lastMoment({runs, rebuilds}: LogTables): number {
  let last = 0;
  for (const end of runs.columns.end) if (end > last) last = end;
  for (const date of rebuilds.columns.date) if (date > last) last = date;
  return last;
}
