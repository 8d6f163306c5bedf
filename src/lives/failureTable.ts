/** Failures, one a row: what the Pareto, the rates and the recurrence count. */
import type {Words} from "../../shared/columnar.ts";

/**
 * What a failure did, in the classes of the trade:
 * - `F1`: service lost, string tripped (a part ended the run)
 * - `F2`: service lost, retrieved on wireline (the same, and the run's comment says wireline or slickline)
 * - `F4`: failed before it had seen a run since it was fitted
 * - `F5`: found at a teardown, no service lost
 * - `shop`: spoilt at the bench (found "damaged at service"), no service lost
 */
export const FAILURE_CLASSES = ["F1", "F2", "F4", "F5", "shop"] as const;
export type FailureClass = (typeof FAILURE_CLASSES)[number];

/**
 * Every failure that the logs tell of. A failed run for which no component was blamed stands here with its component
 * missing, so that counts and lost hours add up to those of the run log.
 */
export interface FailureTable {
  readonly rows: number;
  /** end of the run for F1 and F2, else the teardown; ms since 1970 UTC */
  readonly date: Float64Array;
  readonly tool: Words;
  readonly fleet: Words;
  /** missing where no component was blamed for a failed run */
  readonly component: Words;
  readonly position: Words;
  /** mode code; `…-UNK` or `…-GEN` where the log names none; missing where the component is */
  readonly mode: Words;
  readonly mechanism: Words;
  /** 1 when the shop caused it, by its mode or because it was found damaged at service */
  readonly serviceInduced: Uint8Array;
  /** index into FAILURE_CLASSES */
  readonly failureClass: Uint8Array;
  /** rig hours lost; shared equally where several parts are blamed for one run; 0 where the log says none */
  readonly lostHours: Float64Array;
  /**
   * Condition of the run in which it happened. For a failure found at a teardown: the condition with the most exposure
   * since the part was last known good, the later one of two equals.
   */
  readonly mud: Words;
  readonly regime: Words;
  /** exposure of the tool from its last rebuild to the failure; NaN where no rebuild before it is logged */
  readonly sinceRebuild: Float64Array;
  /** row of the run table: the run it ended, or the last one before the teardown; -1 for none */
  readonly run: Int32Array;
  /** row of the rebuild table that tells of it; -1 where none does */
  readonly rebuild: Int32Array;
  /** row of the life table that it ended; -1 where the part's life could not be used */
  readonly life: Int32Array;
}
