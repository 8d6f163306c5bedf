/** Where two sentences differ, word by word. */

export interface WordRun {
  readonly text: string;
  readonly changed: boolean;
}

/**
 * The words of `text` in runs: those that `other` has too, in the same order (a longest common subsequence), and those
 * it has not. Runs joined give `text` back.
 */
export function wordChanges(text: string, other: string): WordRun[] {
  const words = text.match(/\s*\S+/g) ?? [];
  const shared = sharedWords(
    words.map((word) => word.trim()),
    other.match(/\S+/g) ?? [],
  );
  const runs: {text: string; changed: boolean}[] = [];
  words.forEach((word, at) => {
    const last = runs.at(-1);
    if (last !== undefined && last.changed !== shared[at]) last.text += word;
    else runs.push({text: word, changed: !shared[at]});
  });
  return runs;
}

/** For each word of `a`, whether it belongs to a longest common subsequence with `b`. */
function sharedWords(a: readonly string[], b: readonly string[]): boolean[] {
  const width = b.length + 1;
  const longest = new Uint16Array((a.length + 1) * width);
  for (let i = a.length - 1; i >= 0; i--) {
    for (let j = b.length - 1; j >= 0; j--) {
      longest[i * width + j] =
        a[i] === b[j]
          ? longest[(i + 1) * width + j + 1]! + 1
          : Math.max(longest[(i + 1) * width + j]!, longest[i * width + j + 1]!);
    }
  }
  const shared = a.map(() => false);
  for (let i = 0, j = 0; i < a.length && j < b.length;) {
    if (a[i] === b[j]) {
      shared[i++] = true;
      j++;
    } else if (longest[(i + 1) * width + j]! >= longest[i * width + j + 1]!) i++;
    else j++;
  }
  return shared;
}
