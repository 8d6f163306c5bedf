/**
 * The gaps between rebuilds that a part meets while it lives.
 *
 * A gap that the part's own failure cut short says only that the gap would have been longer. Such a gap hands its weight
 * on to the longer ones, in equal parts (redistribution to the right: Efron, Proc. 5th Berkeley Symposium 4, 1967,
 * 831–853, from memory), which is the Kaplan–Meier estimate of the gap. Where no longer gap is left it counts as it is.
 */

export interface WeightedGaps {
  readonly hours: Float64Array;
  readonly weights: Float64Array;
}

/**
 * @param hours exposure of each gap; gaps of 0 or of no number are left out
 * @param cut 1 where the part's own failure ended the gap
 */
export function freeGaps(hours: ArrayLike<number>, cut: ArrayLike<number>): WeightedGaps {
  const usable: number[] = [];
  for (let i = 0; i < hours.length; i++) if (hours[i]! > 0 && hours[i]! < Infinity) usable.push(i);
  // at equal length a gap that ran its course goes before one that was cut
  usable.sort((a, b) => hours[a]! - hours[b]! || cut[a]! - cut[b]!);
  const count = usable.length;
  const weights = new Float64Array(count);
  let each = 1 / count;
  for (let i = 0; i < count; i++) {
    const left = count - i - 1;
    if (cut[usable[i]!] === 1 && left > 0) {
      each += each / left;
      continue;
    }
    weights[i] = each;
  }
  return {hours: Float64Array.from(usable, (i) => hours[i]!), weights};
}
