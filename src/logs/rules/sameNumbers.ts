/**
 * Places whose number an earlier place has too, each with the first that has it, in their order. A number that stands alone
 * costs one slot in a typed array and no object: of a million nearly all do.
 *
 * @param numbers hashes, as a rule: whoever asks compares what stands behind them
 * @param counts whether a place is looked at; all are when left out
 */
export function* sameNumbers(
  numbers: Int32Array | Uint32Array,
  counts?: Uint8Array,
): Generator<readonly [first: number, later: number], void> {
  // at most half of the slots are taken, so that a free one is near
  const slots = new Int32Array(2 ** Math.ceil(Math.log2(2 * numbers.length + 2))).fill(-1);
  const mask = slots.length - 1;
  for (let i = 0; i < numbers.length; ++i) {
    if (counts?.[i] === 0) continue;
    const number = numbers[i]!;
    let slot = (number ^ (number >>> 16)) & mask;
    while (slots[slot]! >= 0 && numbers[slots[slot]!] !== number) slot = (slot + 1) & mask;
    if (slots[slot]! < 0) slots[slot] = i;
    else yield [slots[slot]!, i];
  }
}
