/** Where two sentences differ, word by word. */
import {sharedInOrder} from "./sharedInOrder.ts";

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
  const places = sharedInOrder(
    words.map((word) => word.trim()),
    other.match(/\S+/g) ?? [],
  );
  const runs: {text: string; changed: boolean}[] = [];
  words.forEach((word, at) => {
    const last = runs.at(-1);
    const changed = places[at]! < 0;
    if (last !== undefined && last.changed === changed) last.text += word;
    else if (last !== undefined && changed) {
      // the space before a changed word is not what changed
      last.text += /^\s*/.exec(word)![0];
      runs.push({text: word.trimStart(), changed});
    } else runs.push({text: word, changed});
  });
  return runs;
}
