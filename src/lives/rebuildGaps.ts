/** How much a tool runs between two rebuilds: what a policy that acts only at rebuilds must be priced with. */
import type {Words} from "../../shared/columnar.ts";
import type {Settings} from "../../shared/settings.ts";
import type {RebuildTable, RunTable} from "../logs/logTable.ts";
import {FindingList} from "./FindingList.ts";
import {wanted, windowOf, type LivesWhere} from "./livesWhere.ts";
import {positionAt, tidy, toolRuns} from "./toolRuns.ts";

export interface GapLogs {
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
  readonly settings: Pick<Settings, "exposure">;
}

export interface RebuildGaps {
  readonly rows: number;
  readonly tool: Words;
  readonly fleet: Words;
  /** runs from one rebuild to the next, at least one */
  readonly runs: Int32Array;
  /** their exposure, in the settings' clock */
  readonly hours: Float64Array;
  /** date of the later rebuild, ms since 1970 UTC */
  readonly ended: Float64Array;
  /** component said to have ended the last run and so forced the later rebuild; missing for a planned one */
  readonly forcedBy: Words;
  /** exposure of every run of all gaps, gap by gap */
  readonly runHours: Float64Array;
}

/**
 * Gaps between consecutive rebuilds of each tool. Rebuilds without a run between them are one; a gap with a run of unknown
 * exposure is left out, and so are the runs before a tool's first rebuild and after its last.
 *
 * @param where fleets; components, to count only rebuilds that looked at one of them; and the dates of the later rebuild
 */
export function rebuildGaps({runs, rebuilds, settings}: GapLogs, where: LivesWhere = {}): RebuildGaps {
  const index = toolRuns(runs, rebuilds.columns.tool, settings.exposure, new FindingList());
  const fleets = wanted(where.fleet, runs.columns.fleet.words);
  const window = windowOf(where);
  const blamed = blamedOn(rebuilds, index.toolOfRebuildCode);
  const visits = visitDates(rebuilds, index.toolOfRebuildCode, index.tools.length, where);
  const tool: number[] = [];
  const fleet: number[] = [];
  const counts: number[] = [];
  const hours: number[] = [];
  const ended: number[] = [];
  const forcedBy: number[] = [];
  const runHours: number[] = [];
  visits.forEach((dates, t) => {
    let last = -1;
    let open = -1;
    for (const date of dates.sort()) {
      const at = positionAt(index, runs, t, date, Math.max(last, index.offsets[t]!));
      const culprit = blamed.get(`${t} ${date}`) ?? -1;
      if (at > last) open = -1;
      else if (open >= 0 && forcedBy[open]! < 0) forcedBy[open] = culprit;
      if (last >= 0 && at > last && index.nextUnknown[last + t]! >= at && date >= window.from && date <= window.to) {
        const code = runs.columns.fleet.codes[index.order[at - 1]!]!;
        if (fleets === null || fleets[code] === 1) {
          tool.push(t);
          fleet.push(code);
          counts.push(at - last);
          hours.push(tidy(index.before[at + t]! - index.before[last + t]!));
          ended.push(date);
          open = forcedBy.push(culprit) - 1;
          for (let p = last; p < at; p++) runHours.push(index.exposure[p]!);
        }
      }
      last = at;
    }
  });
  return {
    rows: tool.length,
    tool: {codes: Int32Array.from(tool), words: index.tools},
    fleet: {codes: Int32Array.from(fleet), words: runs.columns.fleet.words},
    runs: Int32Array.from(counts),
    hours: Float64Array.from(hours),
    ended: Float64Array.from(ended),
    forcedBy: {codes: Int32Array.from(forcedBy), words: rebuilds.columns.component.words},
    runHours: Float64Array.from(runHours),
  };
}

/** Distinct dates on which each tool was rebuilt. */
function visitDates(
  {rows, columns}: RebuildTable,
  toolOfCode: Int32Array,
  tools: number,
  where: LivesWhere,
): Float64Array[] {
  const components = wanted(where.component, columns.component.words);
  const dates = Array.from({length: tools}, () => new Set<number>());
  for (let row = 0; row < rows; row++) {
    const code = columns.tool.codes[row]!;
    if (code < 0 || !Number.isFinite(columns.date[row]!)) continue;
    if (components !== null && components[columns.component.codes[row]!] !== 1) continue;
    dates[toolOfCode[code]!]!.add(columns.date[row]!);
  }
  return dates.map((set) => Float64Array.from(set));
}

/** Component that is said to have ended the run before a rebuild, by tool and date; the first of several. */
function blamedOn({rows, columns}: RebuildTable, toolOfCode: Int32Array): Map<string, number> {
  const blamed = new Map<string, number>();
  for (let row = 0; row < rows; row++) {
    const code = columns.tool.codes[row]!;
    if (code < 0 || columns.ended_run[row] !== 1) continue;
    const key = `${toolOfCode[code]!} ${columns.date[row]!}`;
    if (!blamed.has(key)) blamed.set(key, columns.component.codes[row]!);
  }
  return blamed;
}
