/** The planned length of the next run where settings name none: the median run of the log. */
import type {ExposureClock} from "../../shared/settings.ts";
import type {RunTable} from "../logs/logTable.ts";

/** In the exposure clock; 1 for a log without a usable run. */
export function typicalRun({columns}: Pick<RunTable, "columns">, clock: ExposureClock): number {
  const lengths = {
    "circulating hours": columns.circulating_h,
    "below-rotary hours": columns.below_rotary_h,
    pulses: columns.pulses,
    runs: null,
  }[clock];
  if (lengths === null) return 1;
  const sorted = lengths.filter((length) => length > 0 && length < Infinity).sort();
  if (sorted.length === 0) return 1;
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
