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
    const changed = !shared[at];
    if (last !== undefined && last.changed === changed) last.text += word;
    else if (last !== undefined && changed) {
      // the space before a changed word is not what changed
      last.text += /^\s*/.exec(word)![0];
      runs.push({text: word.trimStart(), changed});
    } else runs.push({text: word, changed});
  });
  return runs;
}

/** Texts of more words than this between their equal ends are not compared word by word. */
const MOST_WORDS = 2000;

/** For each word of `a`, whether it belongs to a longest common subsequence with `b`. */
function sharedWords(a: readonly string[], b: readonly string[]): boolean[] {
  const shorter = Math.min(a.length, b.length);
  let head = 0;
  while (head < shorter && a[head] === b[head]) head++;
  let tail = 0;
  while (tail < shorter - head && a[a.length - 1 - tail] === b[b.length - 1 - tail]) tail++;
  const inner = sharedInside(a.slice(head, a.length - tail), b.slice(head, b.length - tail));
  return a.map((_, at) => at < head || at >= a.length - tail || inner[at - head] === true);
}

function sharedInside(a: readonly string[], b: readonly string[]): boolean[] {
  if (a.length > MOST_WORDS || b.length > MOST_WORDS) return a.map(() => false);
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
