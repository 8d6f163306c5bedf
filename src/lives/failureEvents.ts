/** The failures that belong to a life table, and how many of them ended a run. */
import {FAILURE_CLASSES, type FailureTable} from "./failureTable.ts";
import type {LifeTable} from "./lifeTable.ts";

const NONE: FailureTable = {
  rows: 0,
  date: new Float64Array(0),
  tool: {codes: new Int32Array(0), words: []},
  fleet: {codes: new Int32Array(0), words: []},
  component: {codes: new Int32Array(0), words: []},
  position: {codes: new Int32Array(0), words: []},
  mode: {codes: new Int32Array(0), words: []},
  mechanism: {codes: new Int32Array(0), words: []},
  serviceInduced: new Uint8Array(0),
  failureClass: new Uint8Array(0),
  lostHours: new Float64Array(0),
  mud: {codes: new Int32Array(0), words: []},
  regime: {codes: new Int32Array(0), words: []},
  sinceRebuild: new Float64Array(0),
  run: new Int32Array(0),
  rebuild: new Int32Array(0),
  life: new Int32Array(0),
};

/** Every failure of the logs and filters of this table, one a row; a table without logs behind it has none. */
export function failureEvents({failures}: Pick<LifeTable, "failures">): FailureTable {
  return failures ?? NONE;
}

export interface EndsRunShare {
  /** failures in service or found at a teardown */
  readonly failures: number;
  /** those among them that ended a run */
  readonly endedRun: number;
  /** chance that a failure ends the run; null without failures */
  readonly share: number | null;
}

/**
 * How often a failure of a component ends the run rather than being found at a teardown (F1 and F2 among F1, F2 and F5).
 * Failures that the shop caused are left out unless asked for: the chance goes with the wear-out model.
 */
export function endsRunShare(
  {failures}: Pick<LifeTable, "failures">,
  component: string,
  {fleet, serviceInduced = false}: {readonly fleet?: string; readonly serviceInduced?: boolean} = {},
): EndsRunShare {
  const events = failures ?? NONE;
  const code = events.component.words.indexOf(component);
  const fleetCode = fleet === undefined ? null : events.fleet.words.indexOf(fleet);
  let all = 0;
  let endedRun = 0;
  for (let i = 0; i < events.rows; i++) {
    if (events.component.codes[i] !== code || code < 0) continue;
    if (fleetCode !== null && events.fleet.codes[i] !== fleetCode) continue;
    if (!serviceInduced && events.serviceInduced[i] === 1) continue;
    const kind = FAILURE_CLASSES[events.failureClass[i]!];
    if (kind === "F1" || kind === "F2") endedRun++;
    else if (kind !== "F5") continue;
    all++;
  }
  return {failures: all, endedRun, share: all === 0 ? null : endedRun / all};
}
