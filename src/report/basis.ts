/** What a report stands on: files, rows used and left out, settings. The app's summary of its logs has all of it. */
import type {RowCount} from "../../shared/findings.ts";
import type {Settings} from "../../shared/settings.ts";
import {endingCode} from "../lives/index.ts";
import type {FileRead, OpenLogs} from "../workspace/openLogs.ts";

export interface ReportBasis {
  readonly invented: boolean;
  readonly files: readonly FileRead[];
  readonly counts: readonly RowCount[];
  readonly settings: Settings;
  readonly runs: number;
  readonly rebuilds: number;
  readonly lives: number;
  /** lives that ended in failure, whatever the filters */
  readonly failures: number;
  /** ISO dates of the first and last end of a run; null when there is no run */
  readonly firstDay: string | null;
  readonly lastDay: string | null;
  /** behind the flow regimes */
  readonly convention: string;
}

export function basisOf(logs: OpenLogs): ReportBasis {
  const {invented, files, counts, settings, runs, rebuilds, lives, conditions} = logs;
  const failed = [endingCode("failed in run"), endingCode("found at teardown")];
  const ends = runs.columns.end.filter(Number.isFinite);
  const day = (time: number) => (Number.isFinite(time) ? new Date(time).toISOString().slice(0, 10) : null);
  return {
    invented,
    files,
    counts,
    settings,
    runs: runs.rows,
    rebuilds: rebuilds.rows,
    lives: lives.rows,
    failures: lives.ending.reduce((count, ending) => count + (failed.includes(ending) ? 1 : 0), 0),
    firstDay: day(ends.reduce((least, time) => Math.min(least, time), Infinity)),
    lastDay: day(ends.reduce((most, time) => Math.max(most, time), -Infinity)),
    convention: conditions.convention,
  };
}
