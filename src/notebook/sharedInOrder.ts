/** Which pieces of a text, lines or words, stand in another one too, in the same order. */

/** Beyond so many pairs between equal ends nothing is compared: all of it then counts as changed. */
const MOST_PAIRS = 4_000_000;

/**
 * For each piece of `a` its place in `b`, or -1, so that the places rise and as many as can be are found (a longest common
 * subsequence).
 */
export function sharedInOrder(a: readonly string[], b: readonly string[]): Int32Array {
  const places = new Int32Array(a.length).fill(-1);
  const shorter = Math.min(a.length, b.length);
  let head = 0;
  for (; head < shorter && a[head] === b[head]; ++head) places[head] = head;
  let tail = 0;
  for (; tail < shorter - head && a.at(-1 - tail) === b.at(-1 - tail); ++tail)
    places[a.length - 1 - tail] = b.length - 1 - tail;
  const [rows, columns] = [a.length - head - tail, b.length - head - tail];
  if (rows * columns > MOST_PAIRS) return places;
  const width = columns + 1;
  const longest = new Uint32Array((rows + 1) * width);
  for (let i = rows - 1; i >= 0; --i)
    for (let j = columns - 1; j >= 0; --j)
      longest[i * width + j] =
        a[head + i] === b[head + j]
          ? longest[(i + 1) * width + j + 1]! + 1
          : Math.max(longest[(i + 1) * width + j]!, longest[i * width + j + 1]!);
  for (let i = 0, j = 0; i < rows && j < columns;)
    if (a[head + i] === b[head + j]) places[head + i++] = head + j++;
    else if (longest[(i + 1) * width + j]! >= longest[i * width + j + 1]!) ++i;
    else ++j;
  return places;
}
