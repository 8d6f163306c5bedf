/** What the planting of defects works on: one fleet's two sheets, and what they were written from. */
import type {Grown, GrownInspection, GrownRun} from "../grown.ts";
import type {Planter} from "../Planter.ts";

export interface Desk {
  readonly runs: Planter<GrownRun>;
  readonly rebuilds: Planter<GrownInspection>;
  readonly records: {readonly runs: readonly GrownRun[]; readonly inspections: readonly GrownInspection[]};
  readonly grown: Grown;
}

/** Rows in which a defect costs little. */
export const uneventful = (run: GrownRun): boolean => run.outcome === "completed";
export const kept = (row: GrownInspection): boolean => row.action === "kept" && row.found === "good";

export const sandy = (run: GrownRun): boolean => uneventful(run) && run.sand > 0.1;
export const sandSlip = (_: string, {sand}: GrownRun): string => String(Math.round(sand * 100));

/** Circulating hours of the whole log, as a totals line would give them. */
export const totalHours = ({records}: Desk): number => records.runs.reduce((sum, run) => sum + run.circulating, 0);
