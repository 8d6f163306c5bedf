/** Component lives, columnar: what the statistics are fed and what every count on a page goes back to. */
import type {Words} from "../../shared/columnar.ts";
import type {FailureTable} from "./failureTable.ts";

/**
 * How a life ended, or that it did not:
 * - `failed in run`: it failed in service and ended the run
 * - `found at teardown`: failed or worn past its limit, found at a teardown
 * - `renewed good`: taken out while good (policy, opportunity, upgrade), or swapped, or reworked
 * - `damaged at service`: spoilt by the shop; a suspension for wear-out
 * - `lost in hole`: went with the tool
 * - `still running`: in a tool when the log ends
 * - `cut by window`: suspended at the edge of the date filter
 * - `lost from view`: suspended at its last known age, because the log no longer says how old it is (a run without
 *   hours) or what it is (another serial in the slot without a record)
 */
export const LIFE_ENDINGS = [
  "failed in run",
  "found at teardown",
  "renewed good",
  "damaged at service",
  "lost in hole",
  "still running",
  "cut by window",
  "lost from view",
] as const;
export type LifeEnding = (typeof LIFE_ENDINGS)[number];

/**
 * Exposure of every life, run by run, in run order. The stretches of life i are
 * `offsets[i] .. offsets[i + 1]`. They start at the age the life entered observation (`entry`)
 * and their hours add up to the age at the end minus that age.
 */
export interface Exposure {
  readonly offsets: Int32Array;
  /** exposure of the stretch, in the settings' clock (hours unless settings say pulses or runs) */
  readonly hours: Float64Array;
  /** index into `muds` */
  readonly mud: Int32Array;
  /** index into `regimes` */
  readonly regime: Int32Array;
  /** row in the run table */
  readonly run: Int32Array;
  /** mud codes of the vocabulary; `UNK` where the log does not say */
  readonly muds: readonly string[];
  /** regime codes of the vocabulary; `unknown` where it cannot be computed */
  readonly regimes: readonly string[];
}

/**
 * One row per life of a part in a slot (tool, component, position).
 *
 * Ages are in the settings' exposure clock, from new. A failure of exactly known age has
 * `lower === upper`; a suspension has `upper === Infinity` and `lower` its last age; a failure
 * found later lies in (`lower`, `upper`]. `entry` > 0 is a life first seen at that age.
 */
export interface LifeTable {
  readonly rows: number;
  readonly component: Words;
  readonly tool: Words;
  readonly fleet: Words;
  readonly position: Words;
  readonly partNumber: Words;
  readonly lot: Words;
  readonly partSerial: Words;
  /** the shop that fitted the part */
  readonly shop: Words;
  readonly entry: Float64Array;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  /** age of the part when the life left observation (the teardown, the failure, the end of the log) */
  readonly ageAtEnd: Float64Array;
  /** index into LIFE_ENDINGS */
  readonly ending: Uint8Array;
  /** mode code of the vocabulary that ended the life; missing when no mode did */
  readonly mode: Words;
  /** 1 when the mode is one the shop causes */
  readonly serviceInduced: Uint8Array;
  /** when the part went in, or entered observation; ms since 1970 UTC */
  readonly began: Float64Array;
  /** when the life ended; ms since 1970 UTC */
  readonly ended: Float64Array;
  /** row of the rebuild table that began the life, -1 when the log began with the part fitted */
  readonly beganRow: Int32Array;
  /** row of the rebuild table that ended the life, -1 when none did */
  readonly endedRow: Int32Array;
  /** row of the run table in which the life ended or that it last saw, -1 when it saw none */
  readonly lastRun: Int32Array;
  /** mud code with at least 80 % of the life's hours, else `mixed` */
  readonly mud: Words;
  /** regime code with at least 80 % of the life's hours together with `mud`, else `mixed` */
  readonly regime: Words;
  readonly exposure: Exposure;
  /** every failure of the same logs and filters, those of parts without a usable life too */
  readonly failures?: FailureTable;
}

/** The index of an ending in LIFE_ENDINGS, as it stands in the column `ending`. */
export function endingCode(ending: LifeEnding): number {
  return LIFE_ENDINGS.indexOf(ending);
}
