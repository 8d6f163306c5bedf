/**
 * Which parts to renew so that the whole comes through: the fewest, and of those the cheapest.
 *
 * Hazards add up, so each renewal takes off what the old part would bring and a new one would not. Few parts: every list is
 * tried. Many: parts are taken by what they take off on average, which is the best list of each length for the average
 * hazard (the k largest of a set of numbers have the largest sum), and parts that turn out not to be needed are put back.
 */

export interface Renewable {
  /** hazard of the next run, one a draw: of the part as it is and of a new one in its place */
  readonly now: Float64Array;
  readonly fresh: Float64Array;
  readonly cost: number;
}

export interface RenewList {
  /** indices into the parts, ascending */
  readonly parts: readonly number[];
  readonly cost: number;
  readonly meets: boolean;
}

/** Up to so many parts every list is tried. */
export const EXACT_UP_TO = 12;

/**
 * @param others hazard that no renewal takes off, one a draw
 * @param meets whether a hazard, one a draw, is low enough; a lower hazard must never be worse
 * @returns the list that meets it; where none does, every part that a renewal makes safer
 */
export function renewList(
  parts: readonly Renewable[],
  others: Float64Array,
  meets: (hazard: Float64Array) => boolean,
): RenewList {
  const useful = parts.flatMap((part, i) => (gainOf(part) > 0 ? [i] : []));
  const listOf = (chosen: readonly number[], met: boolean): RenewList => ({
    parts: [...chosen].sort((a, b) => a - b),
    cost: chosen.reduce((sum, i) => sum + parts[i]!.cost, 0),
    meets: met,
  });
  const met = (chosen: readonly number[]): boolean => meets(hazardWith(parts, others, chosen));
  if (!met(useful)) return listOf(useful, false);
  const list = useful.length <= EXACT_UP_TO ? exactList(parts, useful, met) : greedyList(parts, useful, met);
  return listOf(list, true);
}

/** Hazard of the whole with some parts renewed. */
export function hazardWith(parts: readonly Renewable[], others: Float64Array, chosen: readonly number[]): Float64Array {
  const sum = others.slice();
  parts.forEach(({now, fresh}, i) => {
    const hazard = chosen.includes(i) ? fresh : now;
    for (let d = 0; d < sum.length; d++) sum[d]! += hazard[d]!;
  });
  return sum;
}

/** What a renewal takes off the hazard on average. */
export function gainOf({now, fresh}: Renewable): number {
  let sum = 0;
  for (let d = 0; d < now.length; d++) sum += now[d]! - fresh[d]!;
  return sum / now.length;
}

/** Every list, short ones first; among the shortest that meet it, the cheapest. */
function exactList(
  parts: readonly Renewable[],
  useful: readonly number[],
  met: (chosen: readonly number[]) => boolean,
): readonly number[] {
  for (let length = 0; length <= useful.length; length++) {
    let best: readonly number[] | null = null;
    let least = Infinity;
    for (const list of listsOf(useful, length)) {
      const cost = list.reduce((sum, i) => sum + parts[i]!.cost, 0);
      if (cost < least && met(list)) {
        best = list;
        least = cost;
      }
    }
    if (best !== null) return best;
  }
  return useful;
}

function* listsOf(items: readonly number[], length: number, from = 0): Generator<readonly number[]> {
  if (length === 0) yield [];
  for (let i = from; length > 0 && i <= items.length - length; i++) {
    for (const rest of listsOf(items, length - 1, i + 1)) yield [items[i]!, ...rest];
  }
}

function greedyList(
  parts: readonly Renewable[],
  useful: readonly number[],
  met: (chosen: readonly number[]) => boolean,
): readonly number[] {
  const byGain = [...useful].sort((a, b) => gainOf(parts[b]!) - gainOf(parts[a]!));
  let length = 0;
  while (!met(byGain.slice(0, length))) length += 1;
  let list = byGain.slice(0, length);
  // dearest first: what is not needed after all is put back
  for (const i of [...list].sort((a, b) => parts[b]!.cost - parts[a]!.cost)) {
    const without = list.filter((other) => other !== i);
    if (met(without)) list = without;
  }
  return list;
}
