/** Where the run stands among the runs of its fleet, quantity by quantity. */
import {quantileSorted} from "simple-statistics";
import {wordAt} from "../../../shared/columnar.ts";
import type {Quantity} from "../../../shared/units.ts";
import type {CellInputs} from "../contract.ts";
import {runsInView} from "../inView.ts";
import type {Subject} from "./subject.ts";

export interface Standing {
  readonly name: string;
  /** null for hours, which have no other unit */
  readonly quantity: Quantity | null;
  /** in canonical units; NaN where not logged */
  readonly value: number;
  /** share of the other runs below it, ties counted half; null without a value or without others */
  readonly below: number | null;
  readonly others: number;
  /** of the others, canonical; null without any */
  readonly low: number | null;
  readonly middle: number | null;
  readonly high: number | null;
  /** true where the value lies outside the middle nine tenths of the others */
  readonly unusual: boolean;
}

/** Fewer others than this make no usual range. */
export const LEAST_OTHERS = 10;

const MEASURED = [
  ["velocity past the tool", "velocity", "velocity"],
  ["flow", "flow", "flow_lpm"],
  ["mud density", "density", "density_kgm3"],
  ["plastic viscosity", "viscosity", "pv_mPas"],
  ["yield point", "stress", "yp_Pa"],
  ["sand", "percent", "sand_pct"],
  ["lost-circulation material", "concentration", "lcm_kgm3"],
  ["hottest", "temperature", "temperature_max_C"],
  ["depth", "depth", "depth_m"],
  ["circulating hours", null, "circulating_h"],
  ["below-rotary hours", null, "below_rotary_h"],
] as const;

/**
 * The others are the fleet's runs under the page's filters, the reviewed one left out; of all fleets where the run names none.
 * Percentiles are those of Hyndman & Fan's type 7 (simple-statistics), the share below counts ties half.
 */
export function standings(inputs: CellInputs, {run, fleet}: Pick<Subject, "run" | "fleet">): Standing[] {
  const {runs, conditions} = inputs;
  const among = Array.from(runsInView(inputs)).filter(
    (row) => row !== run && (fleet === null || wordAt(runs.columns.fleet, row) === fleet),
  );
  return MEASURED.map(([name, quantity, column]) => {
    const values = column === "velocity" ? conditions.velocity_mps : runs.columns[column];
    return standing(
      name,
      quantity,
      values[run]!,
      among.map((row) => values[row]!),
    );
  });
}

export function standing(name: string, quantity: Quantity | null, value: number, given: readonly number[]): Standing {
  const others = given.filter(Number.isFinite).sort((a, b) => a - b);
  const known = Number.isFinite(value);
  const enough = others.length >= LEAST_OTHERS;
  const below = known && enough ? shareBelow(others, value) : null;
  const [low, middle, high] = enough ? [0.05, 0.5, 0.95].map((p) => quantileSorted(others, p)) : [];
  return {
    name,
    quantity,
    value,
    below,
    others: others.length,
    low: low ?? null,
    middle: middle ?? null,
    high: high ?? null,
    unusual: known && low !== undefined && high !== undefined && (value < low || value > high),
  };
}

function shareBelow(sorted: readonly number[], value: number): number {
  let lower = 0;
  let same = 0;
  for (const other of sorted) {
    if (other < value) lower++;
    else if (other === value) same++;
    else break;
  }
  return (lower + same / 2) / sorted.length;
}
