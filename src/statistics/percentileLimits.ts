/**
 * Percentile limits of bootstrap replicates (Efron & Tibshirani, An Introduction to the Bootstrap, 1993, chapter 13).
 * Replicates that could not be fitted are NaN and are left out, with a caution when they are many; a figure that runs to
 * infinity in some replicates keeps its place in the order and may give a missing limit.
 */
export function percentileLimits(
  values: Float64Array,
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
  const tail = (1 - level) / 2;
  return {limits: [at(tail), at(1 - tail)], caution};
}
