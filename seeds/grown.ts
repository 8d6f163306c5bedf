/** What a grown scenario holds: the records of a perfect clerk, and the truth of every part. */
import type {RunPlan} from "./jobs.ts";
import type {Measurement} from "./measure.ts";
import type {Part} from "./parts.ts";
import type {Component, FleetName, FleetTruth} from "./scenario.ts";

export interface GrownRun extends RunPlan {
  run: string;
  readonly tool: string;
  readonly fleet: FleetName;
  readonly model: string;
  /** ms since 1970 UTC, on the half hour */
  readonly start: number;
  readonly end: number;
  readonly circulating: number;
  readonly belowRotary: number;
  readonly pulses: number;
  readonly bore: number;
  readonly probe: number;
  readonly outcome: "completed" | "failed downhole" | "pulled for other reason" | "lost in hole";
  /** what truly ended it: mode and circulating hours into the run; null when nothing failed */
  readonly failure: {readonly mode: string; readonly at: number; readonly logged: boolean} | null;
  readonly lostTime: number;
  readonly comment: string;
}

export type Found = "good" | "worn" | "failed" | "damaged at service" | "not inspected";
export type Action = "kept" | "renewed" | "swapped for a used part" | "reworked";

/** One component looked at in one rebuild. */
export interface GrownInspection {
  rebuild: string;
  readonly tool: string;
  readonly fleet: FleetName;
  /** ms since 1970 UTC, midnight */
  readonly date: number;
  readonly shop: string;
  readonly technician: string;
  readonly component: Component;
  readonly found: Found;
  readonly mode: string | null;
  readonly endedRun: boolean;
  readonly action: Action;
  /** the part that came out or stays, -1 at an installation; and the part in the slot afterwards */
  readonly partBefore: number;
  readonly partAfter: number;
  readonly hoursOnPart: number | null;
  readonly installedWith: number | null;
  readonly measurement: Measurement | null;
  readonly waitDays: number;
  readonly labour: number;
  readonly comment: string;
}

export interface Grown {
  readonly seed: number;
  /** first day and last moment of the logs, ms since 1970 UTC */
  readonly from: number;
  readonly to: number;
  readonly fleets: readonly FleetTruth[];
  /** sorted by fleet, then start */
  readonly runs: readonly GrownRun[];
  /** sorted by fleet, then date, then tool; the components of a rebuild together */
  readonly inspections: readonly GrownInspection[];
  /** the truth of every part, by fleet and `id` */
  readonly parts: Readonly<Record<FleetName, readonly Part[]>>;
}
