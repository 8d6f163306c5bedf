/** The run a tool is likeliest to be sent on, where nobody has said: its fleet's usual length, in what it last ran in. */
import {wordAt, type Words} from "../../shared/columnar.ts";
import type {Settings} from "../../shared/settings.ts";
import {exposureOf} from "../lives/index.ts";
import type {RunTable} from "../logs/logTable.ts";
import type {RunAhead} from "./hazardAhead.ts";

export interface RunLogs {
  readonly runs: RunTable;
  readonly conditions: {readonly mud: Words; readonly regime: Words};
  readonly settings: Pick<Settings, "exposure" | "next_run_h">;
}

export interface PlannedRun extends RunAhead {
  /** where the length comes from */
  readonly hoursFrom: "settings" | "fleet" | "no run";
  /** the last run of the tool ended in a failure */
  readonly lastFailed: boolean;
  /** longest run of the log */
  readonly longest: number;
}

/** @param until runs that ended later are not looked at */
export function plannedRun(
  {runs, conditions, settings}: RunLogs,
  tool: string,
  fleet: string | null,
  until = Infinity,
): PlannedRun {
  const exposure = exposureOf(runs, settings.exposure);
  const {end} = runs.columns;
  const ownFleet: number[] = [];
  let longest = 0;
  let last = -1;
  let lastKnown = -1;
  for (let row = 0; row < runs.rows; row++) {
    if (!(end[row]! <= until)) continue;
    if (exposure[row]! > 0) {
      longest = Math.max(longest, exposure[row]!);
      if (wordAt(runs.columns.fleet, row) === fleet) ownFleet.push(exposure[row]!);
    }
    if (wordAt(runs.columns.tool, row) !== tool) continue;
    if (last < 0 || end[row]! >= end[last]!) last = row;
    const placed = known(conditions.mud, row) && known(conditions.regime, row);
    if (placed && (lastKnown < 0 || end[row]! >= end[lastKnown]!)) lastKnown = row;
  }
  const usual = median(ownFleet);
  return {
    hours: settings.next_run_h ?? usual ?? 1,
    hoursFrom: settings.next_run_h !== null ? "settings" : usual === null ? "no run" : "fleet",
    mud: lastKnown < 0 ? "UNK" : wordAt(conditions.mud, lastKnown)!,
    regime: lastKnown < 0 ? "unknown" : wordAt(conditions.regime, lastKnown)!,
    lastFailed: last >= 0 && wordAt(runs.columns.outcome, last) === "failed downhole",
    longest,
  };
}

const known = (column: Words, row: number): boolean => !["UNK", "unknown", null].includes(wordAt(column, row));

function median(values: number[]): number | null {
  if (values.length === 0) return null;
  const sorted = Float64Array.from(values).sort();
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
