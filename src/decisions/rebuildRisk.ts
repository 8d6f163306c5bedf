/**
 * What opening a tool adds: faults built in at a rebuild show in the first hours after it.
 *
 * The rate of run-ending failures that the shop caused, by hours since the rebuild, constant within bands (piecewise
 * exponential: events over exposure in each band, competing failures ending the exposure; Holford, Biometrics 36 (1980)
 * 299–305, from memory). A fleet's own rate is drawn toward the shop-wide one, which counts for one failure.
 */
import {wordAt} from "../../shared/columnar.ts";
import {FAILURE_CLASSES, type FailureTable} from "../lives/failureTable.ts";
import type {ServiceStretches} from "../lives/serviceStretches.ts";
import {DRAWS} from "./componentModel.ts";
import {gammaDraws} from "./gammaDraws.ts";
import {modeGroup} from "./modeGroups.ts";

/** Hours since the rebuild at which the rate may change: the trade looks at the first 50 to 100 h (common practice). */
export const BAND_EDGES: readonly number[] = [0, 50, 100, 200, Infinity];

export interface RebuildRisk {
  /** run-ending failures caused by the shop, with a known time since the rebuild, and exposure, band by band */
  readonly failures: readonly number[];
  readonly exposure: readonly number[];
  /** failures that ended a run and that no part explains, and the exposure they came in */
  readonly unexplained: number;
  readonly service: number;
  /** hazard that a run of `hours` adds, one a draw, when it begins `since` hours after the rebuild */
  ahead(since: number, hours: number): Float64Array;
  /** hazard of a failure that no part is blamed for */
  aheadUnexplained(hours: number): Float64Array;
}

const BANDS = BAND_EDGES.length - 1;

/**
 * @param stretches of the same log as the failures, up to the same moment
 * @param fleet null: all fleets together
 * @param until failures after it are not looked at
 */
export function rebuildRisk(
  stretches: ServiceStretches,
  failures: FailureTable,
  fleet: string | null,
  until = Infinity,
): RebuildRisk {
  const all = counts(stretches, failures, {fleet: null, until});
  const own = fleet === null ? all : counts(stretches, failures, {fleet, until});
  const rates = own.failures.map((count, b) => {
    const exposure = own.exposure[b]!;
    if (fleet === null || !(all.exposure[b]! > 0))
      return gammaDraws(count + 0.5, DRAWS, 101 + b).map((g) => (exposure > 0 ? g / exposure : 0));
    const pooled = (all.failures[b]! + 0.5) / all.exposure[b]!;
    return gammaDraws(count + 1, DRAWS, 101 + b).map((g) => g / (exposure + 1 / pooled));
  });
  const unexplained = gammaDraws(own.unexplained + 0.5, DRAWS, 211).map((g) => (own.service > 0 ? g / own.service : 0));
  return {
    failures: own.failures,
    exposure: own.exposure,
    unexplained: own.unexplained,
    service: own.service,
    ahead: (since, hours) => {
      const hazard = new Float64Array(DRAWS);
      rates.forEach((draws, b) => {
        const spent = overlap(since, since + hours, BAND_EDGES[b]!, BAND_EDGES[b + 1]!);
        if (spent > 0) draws.forEach((rate, d) => (hazard[d]! += rate * spent));
      });
      return hazard;
    },
    aheadUnexplained: (hours) => unexplained.map((rate) => rate * hours),
  };
}

function overlap(from: number, to: number, low: number, high: number): number {
  return Math.max(0, Math.min(to, high) - Math.max(from, low));
}

interface Counts {
  readonly failures: number[];
  readonly exposure: number[];
  readonly unexplained: number;
  readonly service: number;
}

function counts(
  stretches: ServiceStretches,
  failures: FailureTable,
  {fleet, until}: {readonly fleet: string | null; readonly until: number},
): Counts {
  const seen = new Array<number>(BANDS).fill(0);
  const exposure = new Array<number>(BANDS).fill(0);
  let unexplained = 0;
  let service = 0;
  for (let s = 0; s < stretches.rows; s++) {
    if (fleet !== null && wordAt(stretches.fleet, s) !== fleet) continue;
    service += stretches.hours[s]!;
    for (let b = 0; b < BANDS; b++) exposure[b]! += overlap(0, stretches.hours[s]!, BAND_EDGES[b]!, BAND_EDGES[b + 1]!);
  }
  for (let i = 0; i < failures.rows; i++) {
    if (failures.date[i]! > until || (fleet !== null && wordAt(failures.fleet, i) !== fleet)) continue;
    const kind = FAILURE_CLASSES[failures.failureClass[i]!];
    if (kind !== "F1" && kind !== "F2") continue;
    const since = failures.sinceRebuild[i]!;
    if (failures.serviceInduced[i] === 1) {
      const band = BAND_EDGES.findIndex((edge, b) => since >= edge && since < (BAND_EDGES[b + 1] ?? -Infinity));
      if (band >= 0) seen[band]! += 1;
      continue;
    }
    const mode = wordAt(failures.mode, i);
    if (wordAt(failures.component, i) === null || (mode !== null && modeGroup(mode) === "nothing found"))
      unexplained += 1;
  }
  return {failures: seen, exposure, unexplained, service};
}
