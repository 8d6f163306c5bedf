/** The planned length of the next run where settings name none: the median run of the log. */
import type {ExposureClock} from "../../shared/settings.ts";
import type {RunTable} from "../logs/logTable.ts";

/** In the exposure clock; 1 for a log without a usable run. */
export function typicalRun(runs: Pick<RunTable, "columns">, clock: ExposureClock): number {
  const [middle] = runQuantiles(runs, clock, [0.5]);
  return middle ?? 1;
}

/** Quantiles of the run lengths, halfway between neighbours where they fall between two; empty for a log without a usable run. */
export function runQuantiles(
  {columns}: Pick<RunTable, "columns">,
  clock: ExposureClock,
  shares: readonly number[],
): number[] {
  const lengths = {
    "circulating hours": columns.circulating_h,
    "below-rotary hours": columns.below_rotary_h,
    pulses: columns.pulses,
    runs: null,
  }[clock];
  if (lengths === null) return shares.map(() => 1);
  const sorted = lengths.filter((length) => length > 0 && length < Infinity).sort();
  if (sorted.length === 0) return [];
  return shares.map((share) => {
    const place = share * (sorted.length - 1);
    const [below, above] = [sorted[Math.floor(place)]!, sorted[Math.ceil(place)]!];
    return below === above ? below : below + (place - Math.floor(place)) * (above - below);
  });
}
