/**
 * Number of single-letter insertions, deletions, exchanges and swaps of neighbours that turn one word into another
 * (optimal string alignment; Damerau, Communications of the ACM 7 (1964) 171). Stops counting above `most`.
 */
export function editDistance(a: string, b: string, most = Infinity): number {
  if (Math.abs(a.length - b.length) > most) return most + 1;
  let before: number[] = [];
  let last = Array.from({length: b.length + 1}, (_, j) => j);
  for (let i = 1; i <= a.length; ++i) {
    const row = [i];
    let least = i;
    for (let j = 1; j <= b.length; ++j) {
      const exchange = a[i - 1] === b[j - 1] ? 0 : 1;
      let edits = Math.min(last[j]! + 1, row[j - 1]! + 1, last[j - 1]! + exchange);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) edits = Math.min(edits, before[j - 2]! + 1);
      row.push(edits);
      if (edits < least) least = edits;
    }
    if (least > most) return most + 1;
    before = last;
    last = row;
  }
  return last[b.length]!;
}

/** The candidate nearest to a word, or null where none is near: one edit up to five letters, two beyond. */
export function nearest(word: string, candidates: Iterable<string>): string | null {
  if (word.length < 3) return null;
  let best: string | null = null;
  let fewest = word.length <= 5 ? 1 : 2;
  for (const candidate of candidates) {
    if (candidate.length < 3) continue;
    const edits = editDistance(word, candidate, fewest);
    if (edits < fewest || (edits === fewest && best === null)) {
      best = candidate;
      fewest = edits;
    }
  }
  return best;
}
