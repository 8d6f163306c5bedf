/**
 * What was foretold against what came: models are fitted to the log as it stood on a day, and every part in service that
 * day is followed to its tool's next teardown, or to the next such day.
 *
 * Counting failures against survivors would be wrong twice: a part that fails ends its own exposure, and a failure may stay
 * hidden until the tool is opened. So failures are counted against the number foretold for the exposure that really came.
 * With H the cumulative hazard of that exposure and q the share of failures that end the run, a part that nobody has opened
 * is known not to have failed openly, and has not failed hidden with chance exp(−(1 − q)·H). Open failures foretold are then
 * q / (1 − q) · (1 − exp(−(1 − q)·H)), and where the stretch ended in a teardown without an open failure of the part itself,
 * hidden ones 1 − exp(−(1 − q)·H): the compensator of the counting process, so other parts' failures and the end of the log
 * need no assumption (Andersen, Borgan, Gill & Keiding, Statistical Models Based on Counting Processes, II.4; from memory).
 */
import {wordAt, type Words} from "../../shared/columnar.ts";
import type {Settings} from "../../shared/settings.ts";
import {cutLives, endsRunShare, type LifeTable} from "../lives/index.ts";
import {endingCode} from "../lives/lifeTable.ts";
import type {RebuildTable, RunTable} from "../logs/logTable.ts";
import {componentModels} from "./componentModels.ts";
import {hazardAhead, hazardOver, type PartHistory, type RunAhead} from "./hazardAhead.ts";
import type {SpentIn} from "./fittedParts.ts";
import {modeGroup} from "./modeGroups.ts";
import {partModels} from "./partModels.ts";
import {plannedRun} from "./plannedRun.ts";
import {survivalOf} from "./nextRun.ts";

export interface ForetoldInputs {
  readonly lives: LifeTable;
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
  readonly conditions: {readonly mud: Words; readonly regime: Words};
  readonly settings: Settings;
}

/** One row a part that was followed. */
export interface Foretold {
  readonly component: string[];
  /** row of the life table */
  readonly life: number[];
  /** chance foretold to come through the next run planned that day */
  readonly survival: number[];
  /** own failures foretold for the exposure that came, and seen in it: 0 or 1 */
  readonly expected: number[];
  readonly seen: number[];
}

export interface Followed extends Foretold {
  /** the days on which models were fitted, ms since 1970 UTC, that had something to fit */
  readonly days: readonly number[];
}

const FAILED_IN_RUN = endingCode("failed in run");
const FOUND = endingCode("found at teardown");
const LOST = [endingCode("lost in hole"), endingCode("lost from view")];

/** Shares of the log's span at which models are fitted. */
export const ORIGINS: readonly number[] = [0.5, 0.625, 0.75, 0.875];

export function foretold(
  inputs: ForetoldInputs,
  shares: readonly number[] = ORIGINS,
  progress: (done: number, of: number) => void = () => undefined,
): Followed {
  const {end} = inputs.runs.columns;
  let first = Infinity;
  let last = -Infinity;
  for (const time of end) {
    if (time < first) first = time;
    if (time > last) last = time;
  }
  const days = first < last ? shares.map((share) => dayOf(first + share * (last - first))) : [];
  const found: Followed = {component: [], life: [], survival: [], expected: [], seen: [], days: []};
  days.forEach((day, i) => {
    progress(i, days.length);
    const until = days[i + 1] ?? Infinity;
    if (follow(inputs, day, until, found)) (found.days as number[]).push(day);
  });
  return found;
}

/** Midnight before a moment. */
const dayOf = (time: number): number => Math.floor(time / 86_400_000) * 86_400_000;

/** Adds the parts in service at the end of `day`, followed to the next teardown of their tool or to `until`. */
function follow(inputs: ForetoldInputs, day: number, until: number, into: Foretold): boolean {
  const {lives, runs, settings} = inputs;
  const to = new Date(day).toISOString().slice(0, 10);
  const close = day + 86_400_000 - 1;
  const known = cutLives(lives, runs, {to});
  const models = partModels(componentModels(known, settings.level));
  if (models.size === 0) return false;
  const openedAt = nextOpening(inputs, close);
  const shares = new Map([...models.keys()].map((code) => [code, endsRunShare(known, code).share ?? 1]));
  const planned = new Map<string, RunAhead>();
  for (let row = 0; row < lives.rows; row++) {
    if (!(lives.began[row]! <= close && lives.ended[row]! > close)) continue;
    const component = wordAt(lives.component, row);
    const tool = wordAt(lives.tool, row);
    const model = component === null ? undefined : models.get(component);
    if (component === null || tool === null || model === undefined) continue;
    const {before, after} = split(lives, runs, row, close);
    const opening = openedAt.get(tool) ?? Infinity;
    const stop = Math.min(opening, until);
    const spent = after.filter(({end}) => end <= stop);
    if (spent.length === 0) continue;
    const outcome = outcomeOf(lives, row, {stop, opened: opening <= until});
    if (outcome === null) continue;
    let run = planned.get(tool);
    if (run === undefined) planned.set(tool, (run = plannedRun(inputs, tool, wordAt(lives.fleet, row), close)));
    const hazard = hazardAhead(model, before, run);
    if (hazard === null) continue;
    const came = hazardOver(model, before, spent);
    const q = shares.get(component)!;
    into.component.push(component);
    into.life.push(row);
    into.survival.push(survivalOf(hazard, settings.level).mean);
    into.expected.push(meanExpected(came, q, outcome.inspected));
    into.seen.push(outcome.failed ? 1 : 0);
  }
  return true;
}

/** Own failures foretold for a hazard, one a draw, on average. */
export function meanExpected(hazard: Float64Array, endsRun: number, inspected: boolean): number {
  let sum = 0;
  for (const h of hazard) sum += expectedFailures(h, endsRun, inspected);
  return sum / hazard.length;
}

/**
 * @param h cumulative hazard of the exposure that came
 * @param endsRun share of failures that end the run, in [0, 1]
 * @param inspected the stretch ended in a teardown, and not by an open failure of the part itself
 */
export function expectedFailures(h: number, endsRun: number, inspected: boolean): number {
  const hiddenShare = 1 - endsRun;
  const hidden = -Math.expm1(-hiddenShare * h);
  const open = hiddenShare > 0 ? (endsRun / hiddenShare) * hidden : h;
  return open + (inspected ? hidden : 0);
}

/** When each tool is next opened after a moment. */
function nextOpening({rebuilds}: ForetoldInputs, after: number): Map<string, number> {
  const {tool, date} = rebuilds.columns;
  const next = new Map<string, number>();
  for (let row = 0; row < rebuilds.rows; row++) {
    const name = wordAt(tool, row);
    const at = date[row]!;
    if (name !== null && at > after && at < (next.get(name) ?? Infinity)) next.set(name, at);
  }
  return next;
}

interface Stretch extends SpentIn {
  /** when its run ended */
  readonly end: number;
}

/** A life's hours up to a moment, and its stretches after it. */
function split(
  lives: LifeTable,
  {columns}: RunTable,
  row: number,
  close: number,
): {readonly before: PartHistory; readonly after: Stretch[]} {
  const {offsets, hours, mud, regime, run, muds, regimes} = lives.exposure;
  const spent: SpentIn[] = [];
  const after: Stretch[] = [];
  for (let s = offsets[row]!; s < offsets[row + 1]!; s++) {
    if (!(hours[s]! > 0)) continue;
    const stretch = {
      mud: muds[mud[s]!] ?? "UNK",
      regime: regimes[regime[s]!] ?? "unknown",
      hours: hours[s]!,
      end: columns.end[run[s]!] ?? Infinity,
    };
    if (stretch.end <= close) spent.push(stretch);
    else after.push(stretch);
  }
  return {before: {spent, unplaced: lives.entry[row]!}, after};
}

/** What became of a part by the time its tool was opened; null where the log no longer tells. */
function outcomeOf(
  lives: LifeTable,
  row: number,
  {stop, opened}: {readonly stop: number; readonly opened: boolean},
): {readonly failed: boolean; readonly inspected: boolean} | null {
  const ending = lives.ending[row]!;
  // it went on beyond: kept at the teardown, or not looked at yet
  if (lives.ended[row]! > stop) return {failed: false, inspected: opened};
  const code = lives.mode.codes[row]!;
  const group = code < 0 ? "wear" : modeGroup(lives.mode.words[code]!);
  const own = lives.serviceInduced[row] === 0 && (group === "wear" || group === "chance");
  if (ending === FAILED_IN_RUN) return {failed: own, inspected: false};
  if (ending === FOUND) return {failed: own, inspected: true};
  return {failed: false, inspected: opened && !LOST.includes(ending)};
}
