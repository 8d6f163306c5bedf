import {normalCdf, normalQuantile} from "./normal.ts";

/**
 * Bias-corrected percentile limits of bootstrap replicates (Efron & Tibshirani, An Introduction to the Bootstrap, 1993,
 * section 14.3, without acceleration): percentiles are shifted by how unevenly the replicates lie about the estimate.
 * Replicates that could not be fitted are NaN and are left out, with a caution when they are many; a figure that runs to
 * infinity in some replicates keeps its place in the order and may give a missing limit.
 */
export function percentileLimits(
  values: Float64Array,
  estimate: number,
  level: number,
): {limits: readonly [number | null, number | null]; caution: string | null} {
  const usable = values.filter((value) => !Number.isNaN(value)).sort();
  const lost = values.length - usable.length;
  const caution =
    lost > 0.05 * values.length
      ? `${lost} of ${values.length} resampled sets could not be fitted; limits from the rest are too narrow.`
      : null;
  if (usable.length < 40) return {limits: [null, null], caution: caution ?? "Too few resampled sets for limits."};
  const at = (p: number): number | null => {
    const place = p * (usable.length + 1) - 1;
    const below = Math.floor(place);
    if (below < 0 || below + 1 >= usable.length) return null;
    const value = usable[below]! + (place - below) * (usable[below + 1]! - usable[below]!);
    return Number.isFinite(value) ? value : null;
  };
  const below =
    usable.filter((value) => value < estimate).length + usable.filter((value) => value === estimate).length / 2;
  const share = Math.min(usable.length - 0.5, Math.max(0.5, below)) / usable.length;
  const shift = 2 * normalQuantile(share);
  const z = normalQuantile((1 - level) / 2);
  return {limits: [at(normalCdf(shift + z)), at(normalCdf(shift - z))], caution};
}
