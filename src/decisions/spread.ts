/** Order statistics of parameter draws. */
import type {Limits} from "../statistics/types.ts";

/**
 * Two-sided limits of equally likely draws: the draws below and above which (1 − level) / 2 of them lie. A limit that
 * falls among infinite draws does not exist and is null; NaN draws are left out.
 */
export function drawLimits(draws: ArrayLike<number>, level: number): Limits {
  // NaN sorts behind everything else
  let sorted = Float64Array.from(draws).sort();
  let numbers = sorted.length;
  while (numbers > 0 && Number.isNaN(sorted[numbers - 1]!)) numbers -= 1;
  if (numbers === 0) return [null, null];
  sorted = sorted.subarray(0, numbers);
  const tail = (1 - level) / 2;
  return [finite(at(sorted, tail)), finite(at(sorted, 1 - tail))];
}

/** The draw below which a share `p` of them lies, halfway between neighbours; Infinity where it falls among such. */
export function drawQuantile(draws: ArrayLike<number>, p: number): number {
  return at(Float64Array.from(draws).sort(), p);
}

export function drawMean(draws: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < draws.length; i++) sum += draws[i]!;
  return sum / draws.length;
}

function at(sorted: Float64Array, p: number): number {
  const place = Math.min(Math.max(p * sorted.length - 0.5, 0), sorted.length - 1);
  const below = sorted[Math.floor(place)]!;
  const above = sorted[Math.ceil(place)]!;
  // Infinity − Infinity and 0 · Infinity must not arise
  return below === above ? below : below + (place - Math.floor(place)) * (above - below);
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);
