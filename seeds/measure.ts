/**
 * What a gauge would read on a worn part. The reading moves in proportion to the damage of one wearing mode and
 * reaches the shop's limit at the same share of the draw at which wear can be found at teardown, so a part past the
 * limit still had some life in it.
 */
import {rounded, type Random} from "./Random.ts";
import type {Part} from "./parts.ts";
import {FOUND_WORN, type Component, type FleetName} from "./scenario.ts";

export interface Measurement {
  readonly measure: string;
  /** mm, to 0.01 */
  readonly measured: number;
  readonly limit: number;
}

interface Gauge {
  readonly measure: string;
  readonly mode: string;
  /** new dimension and limit, mm, invented, by fleet */
  readonly from: Readonly<Record<FleetName, number>>;
  readonly allowance: number;
}

const GAUGES: Readonly<Partial<Record<Component, Gauge>>> = {
  SEAL: {measure: "interference", mode: "SEAL-ABR", from: {Alder: 0.6, Basalt: 0.7, Cobalt: 0.75}, allowance: -0.4},
  LINR: {measure: "bore", mode: "LINR-ERO", from: {Alder: 33.0, Basalt: 40.0, Cobalt: 44.0}, allowance: 0.7},
  BAND: {
    measure: "outside diameter",
    mode: "BAND-WEA",
    from: {Alder: 47.5, Basalt: 47.6, Cobalt: 47.6},
    allowance: -0.9,
  },
  TIPP: {measure: "tip diameter", mode: "TIPP-ERO", from: {Alder: 25.4, Basalt: 28.6, Cobalt: 31.8}, allowance: -0.6},
  ORIF: {measure: "inside diameter", mode: "ORIF-ERO", from: {Alder: 38.1, Basalt: 41.3, Cobalt: 44.5}, allowance: 0.6},
};

/** Readings scatter by this share of the allowance. */
const SCATTER = 0.025;

/**
 * @param beyond true: seen past the limit; false: seen within it; the gauge reads accordingly
 * @returns null for a part without a gauge, or with a reading that would contradict what was seen
 */
export function measure(part: Part, fleet: FleetName, beyond: boolean, random: Random): Measurement | null {
  const gauge = GAUGES[part.component];
  const law = gauge ? part.laws.findIndex(({mode}) => mode === gauge.mode) : -1;
  if (!gauge || law < 0) return null;
  const noise = SCATTER * random.noise();
  const wear = part.damage[law]! / part.draws[law]! / FOUND_WORN.from;
  if (!beyond && wear >= 1) return null;
  const reading = beyond && wear >= 1 ? Math.max(wear + noise, 1.02) : Math.min(Math.max(wear + noise, 0), 0.97);
  const from = gauge.from[fleet];
  return {
    measure: gauge.measure,
    measured: rounded(from + gauge.allowance * reading, 2),
    limit: rounded(from + gauge.allowance, 2),
  };
}
