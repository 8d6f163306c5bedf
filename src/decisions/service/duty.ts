/** The runs a fleet's tools really did, in their order: what a simulated tool is sent to do next. */
import {wordAt} from "../../../shared/columnar.ts";
import type {ExposureClock} from "../../../shared/settings.ts";
import type {RunConditions} from "../../hydraulics/runConditions.ts";
import {exposureOf} from "../../lives/index.ts";
import type {RunTable} from "../../logs/logTable.ts";

/** Runs by tool, then end; columns of one length. */
export interface Duty {
  readonly hours: Float64Array;
  /** index into `conditions` */
  readonly condition: Int32Array;
  /** the run after it of the same tool; the tool's first after its last */
  readonly next: Int32Array;
  /** `mud regime` */
  readonly conditions: readonly string[];
}

/** Runs without exposure are left out. Null for a fleet without any. */
export function fleetDuty(
  {
    runs,
    conditions: ran,
    clock,
  }: {readonly runs: RunTable; readonly conditions: RunConditions; readonly clock: ExposureClock},
  fleet: string,
): Duty | null {
  const exposure = exposureOf(runs, clock);
  const {tool, end} = runs.columns;
  const rows: number[] = [];
  for (let row = 0; row < runs.rows; row++) {
    const known = exposure[row]! > 0 && exposure[row]! < Infinity;
    if (known && (wordAt(runs.columns.fleet, row) ?? "") === fleet) rows.push(row);
  }
  if (rows.length === 0) return null;
  rows.sort((a, b) => tool.codes[a]! - tool.codes[b]! || end[a]! - end[b]! || a - b);
  const codes = new Map<string, number>();
  const next = new Int32Array(rows.length);
  let first = 0;
  const condition = Int32Array.from(rows, (row, i) => {
    const last = i + 1 === rows.length || tool.codes[rows[i + 1]!] !== tool.codes[row];
    next[i] = last ? first : i + 1;
    if (last) first = i + 1;
    const key = `${wordAt(ran.mud, row) ?? "UNK"} ${wordAt(ran.regime, row) ?? "unknown"}`;
    if (!codes.has(key)) codes.set(key, codes.size);
    return codes.get(key)!;
  });
  return {hours: Float64Array.from(rows, (row) => exposure[row]!), condition, next, conditions: [...codes.keys()]};
}
