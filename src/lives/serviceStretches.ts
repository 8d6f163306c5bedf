/** What each tool ran since it was opened: the clock on which faults that the shop built in come to light. */
import type {Words} from "../../shared/columnar.ts";
import type {Settings} from "../../shared/settings.ts";
import type {RebuildTable, RunTable} from "../logs/logTable.ts";
import {FindingList} from "./FindingList.ts";
import {positionAt, tidy, toolRuns} from "./toolRuns.ts";

/** One row a stretch of a tool's service, from one rebuild to the next or to the end of the log. */
export interface ServiceStretches {
  readonly rows: number;
  readonly tool: Words;
  /** of the stretch's last run; missing where it has none */
  readonly fleet: Words;
  /** exposure, in the settings' clock; runs of unknown exposure count 0 */
  readonly hours: Float64Array;
  /** date of the rebuild that began it; ms since 1970 UTC */
  readonly began: Float64Array;
  /** date of the rebuild that ended it; Infinity where the log does */
  readonly ended: Float64Array;
}

/**
 * Stretches in the order of tools, then dates. What a tool ran before its first logged rebuild is left out: nobody knows
 * when it was opened. Rebuilds on one day are one.
 *
 * @param until the log is read up to this moment only
 */
export function serviceStretches(
  logs: {readonly runs: RunTable; readonly rebuilds: RebuildTable; readonly settings: Pick<Settings, "exposure">},
  until = Infinity,
): ServiceStretches {
  const {runs, rebuilds, settings} = logs;
  const index = toolRuns(runs, rebuilds.columns.tool, settings.exposure, new FindingList());
  const dates = index.tools.map(() => new Set<number>());
  for (let row = 0; row < rebuilds.rows; row++) {
    const code = rebuilds.columns.tool.codes[row]!;
    const date = rebuilds.columns.date[row]!;
    if (code >= 0 && date <= until) dates[index.toolOfRebuildCode[code]!]!.add(date);
  }
  const tool: number[] = [];
  const fleet: number[] = [];
  const hours: number[] = [];
  const began: number[] = [];
  const ended: number[] = [];
  dates.forEach((set, t) => {
    const visits = Float64Array.from(set).sort();
    const last = lastPosition(runs, index.order, index.offsets[t]!, index.offsets[t + 1]!, until);
    const places = Array.from(visits, (date) => Math.min(positionAt(index, runs, t, date), last));
    visits.forEach((date, v) => {
      const from = places[v]!;
      const to = places[v + 1] ?? last;
      tool.push(t);
      fleet.push(to > from ? runs.columns.fleet.codes[index.order[to - 1]!]! : -1);
      hours.push(tidy(index.before[to + t]! - index.before[from + t]!));
      began.push(date);
      ended.push(visits[v + 1] ?? Infinity);
    });
  });
  return {
    rows: tool.length,
    tool: {codes: Int32Array.from(tool), words: index.tools},
    fleet: {codes: Int32Array.from(fleet), words: runs.columns.fleet.words},
    hours: Float64Array.from(hours),
    began: Float64Array.from(began),
    ended: Float64Array.from(ended),
  };
}

/** Position after the last run of a tool that ended by `until`. */
function lastPosition({columns: {end}}: RunTable, order: Int32Array, from: number, to: number, until: number): number {
  let last = to;
  while (last > from && end[order[last - 1]!]! > until) last -= 1;
  return last;
}
