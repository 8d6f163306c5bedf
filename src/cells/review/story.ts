/** What the logs say happened in the reviewed run: how it ended, what ended it, and what the teardown found. */
import {wordAt} from "../../../shared/columnar.ts";
import {modeGroup, type ComponentModels, type ModeGroup} from "../../decisions/index.ts";
import {FAILURE_CLASSES, type FailureClass, type LifeTable} from "../../lives/index.ts";
import type {CellInputs} from "../contract.ts";
import {partsInRun, type PartInRun} from "./partsInRun.ts";
import {placePart, type NoPlacement, type Placement} from "./placement.ts";
import type {Subject} from "./subject.ts";
import {toolLog, type ToolLog} from "./toolLog.ts";

/** Why a failed part failed, as far as an age limit is concerned; `unknown` where the log names no mode. */
export type Reason = Exclude<ModeGroup, "nothing found"> | "unknown";

export interface FailedPart {
  /** row of the failure table */
  readonly failure: number;
  readonly component: string;
  readonly position: string | null;
  readonly mode: string | null;
  readonly reason: Reason;
  readonly what: FailureClass;
  /** row of the life table, -1 where its age is not known */
  readonly life: number;
  /** exposure of the tool since its last rebuild, NaN where none is logged */
  readonly sinceRebuild: number;
  /** fitted new at that rebuild */
  readonly fittedThere: boolean;
  readonly part: PartInRun | null;
  /** lowest age at which it may have failed; null where its age is known */
  readonly lowerAge: number | null;
  /** its age when the tool last left the bench before the run; NaN where that is not known */
  readonly ageAtVisit: number;
  readonly placement: Placement | NoPlacement;
}

export interface Story {
  readonly log: ToolLog;
  readonly outcome: string | null;
  /** exposure of the run and hour of the failure in it, circulating h; NaN where not logged */
  readonly hours: number;
  readonly failedAt: number;
  readonly lost: number;
  /** recovered on wireline rather than by a trip, where the run failed */
  readonly wireline: boolean;
  readonly mud: string;
  readonly regime: string;
  /** parts said to have ended the run */
  readonly ended: readonly FailedPart[];
  /** the run failed and no part is blamed */
  readonly unblamed: boolean;
  /** failures found at the teardown after the run that did not end it */
  readonly found: readonly FailedPart[];
  readonly parts: readonly PartInRun[];
}

export function storyOf(inputs: CellInputs, {run}: Subject, models: ComponentModels): Story {
  const {runs, failures, conditions, all} = inputs;
  const {columns} = runs;
  const log = toolLog(inputs, run);
  const parts = partsInRun(all, log.tool, run);
  const ended: FailedPart[] = [];
  const found: FailedPart[] = [];
  let unblamed = false;
  let wireline = false;
  for (let row = 0; row < failures.rows; row++) {
    if (failures.run[row] !== run) continue;
    const what = FAILURE_CLASSES[failures.failureClass[row]!]!;
    const endedRun = what === "F1" || what === "F2";
    if (what === "F2") wireline = true;
    const component = wordAt(failures.component, row);
    if (component === null) {
      unblamed ||= endedRun;
      continue;
    }
    (endedRun ? ended : found).push(failedPart(inputs, {row, what, component}, {parts, log, models}));
  }
  const circulating = columns.circulating_h[run]!;
  return {
    log,
    outcome: wordAt(columns.outcome, run),
    hours: circulating,
    failedAt: columns.failed_at_h[run]!,
    lost: columns.lost_time_h[run]!,
    wireline,
    mud: wordAt(conditions.mud, run) ?? "UNK",
    regime: wordAt(conditions.regime, run) ?? "unknown",
    ended,
    unblamed,
    found,
    parts,
  };
}

function failedPart(
  {failures, all, settings}: CellInputs,
  {row, what, component}: {readonly row: number; readonly what: FailureClass; readonly component: string},
  {parts, log, models}: {readonly parts: readonly PartInRun[]; readonly log: ToolLog; readonly models: ComponentModels},
): FailedPart {
  const life = failures.life[row]!;
  const mode = wordAt(failures.mode, row);
  const position = wordAt(failures.position, row);
  const part = parts.find((one) => one.life === life) ?? null;
  const lower = part === null ? null : lowerAge(all, life);
  return {
    failure: row,
    component,
    position,
    mode,
    reason: reasonOf(mode, failures.serviceInduced[row] === 1 || what === "shop"),
    what,
    life,
    sinceRebuild: failures.sinceRebuild[row]!,
    fittedThere: life >= 0 && log.before !== null && log.before.rows.includes(all.beganRow[life]!),
    part,
    lowerAge: lower,
    ageAtVisit: part === null ? NaN : ageAtVisit(all, part, log),
    placement:
      part === null
        ? {sentence: "its age is not known"}
        : placePart(models.of(component), all, {...part, lower}, settings.level),
  };
}

export function reasonOf(mode: string | null, serviceInduced: boolean): Reason {
  if (serviceInduced) return "shop";
  if (mode === null || mode.endsWith("-UNK")) return "unknown";
  const group = modeGroup(mode);
  return group === "nothing found" ? "unknown" : group;
}

/** The lowest age at which a failed part may have failed; null where its age is exact. */
function lowerAge({lower, upper}: LifeTable, life: number): number | null {
  return upper[life]! < Infinity && lower[life]! < upper[life]! ? lower[life]! : null;
}

function ageAtVisit(
  {entry, exposure: {offsets, hours, run}}: LifeTable,
  {life, stretch}: PartInRun,
  log: ToolLog,
): number {
  if (log.before === null) return NaN;
  const earlier = new Set(log.runs.slice(0, log.before.after));
  let age = entry[life]!;
  for (let s = offsets[life]!; s < stretch; s++) if (earlier.has(run[s]!)) age += hours[s]!;
  return age;
}
