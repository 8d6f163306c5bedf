/** Order statistics of parameter draws. */
import type {Limits} from "../statistics/types.ts";

/**
 * Two-sided limits of equally likely draws: the draws below and above which (1 − level) / 2 of them lie. A limit that
 * falls among infinite draws does not exist and is null; NaN draws are left out.
 */
export function drawLimits(draws: ArrayLike<number>, level: number): Limits {
  const tail = (1 - level) / 2;
  const ends = outermost(draws, tail * draws.length - 0.5);
  if (ends !== null) return ends;
  // NaN sorts behind everything else
  let sorted = sortedCopy(draws);
  let numbers = sorted.length;
  while (numbers > 0 && Number.isNaN(sorted[numbers - 1]!)) numbers -= 1;
  if (numbers === 0) return [null, null];
  sorted = sorted.subarray(0, numbers);
  return [finite(at(sorted, tail)), finite(at(sorted, 1 - tail))];
}

/** The draw below which a share `p` of them lies, halfway between neighbours; Infinity where it falls among such. */
export function drawQuantile(draws: ArrayLike<number>, p: number): number {
  return at(sortedCopy(draws), p);
}

export function drawMean(draws: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < draws.length; i++) sum += draws[i]!;
  return sum / draws.length;
}

/** A limit this many draws from the end is sought without sorting them all. */
const FAR_OUT = 16;

/** The draws at `place` from either end, between neighbours; null where they lie too far in, or a draw is no number. */
function outermost(draws: ArrayLike<number>, place: number): Limits | null {
  const n = draws.length;
  const last = Math.ceil(place);
  if (!(place >= 0 && last < FAR_OUT && 2 * last + 2 < n)) return null;
  const low = new Float64Array(last + 1).fill(Infinity);
  const high = new Float64Array(last + 1).fill(-Infinity);
  for (let i = 0; i < n; i++) {
    const value = draws[i]!;
    if (Number.isNaN(value)) return null;
    if (value < low[last]!) {
      let k = last;
      for (; k > 0 && low[k - 1]! > value; k--) low[k] = low[k - 1]!;
      low[k] = value;
    }
    if (value > high[last]!) {
      let k = last;
      for (; k > 0 && high[k - 1]! < value; k--) high[k] = high[k - 1]!;
      high[k] = value;
    }
  }
  return [finite(between(low, place)), finite(between(high, place))];
}

/** A typed array is copied whole; from() would ask it element by element. */
function sortedCopy(draws: ArrayLike<number>): Float64Array {
  return (draws instanceof Float64Array ? draws.slice() : Float64Array.from(draws)).sort();
}

function at(sorted: Float64Array, p: number): number {
  return between(sorted, Math.min(Math.max(p * sorted.length - 0.5, 0), sorted.length - 1));
}

function between(sorted: Float64Array, place: number): number {
  const below = sorted[Math.floor(place)]!;
  const above = sorted[Math.ceil(place)]!;
  // Infinity − Infinity and 0 · Infinity must not arise
  return below === above ? below : below + (place - Math.floor(place)) * (above - below);
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);
