/** Two changed front matters of one page → one: entry by entry. */
import type {Analysis} from "./analysis.ts";
import {canonical} from "./contentKey.ts";
import {setFront} from "./editAnalysis.ts";
import {entriesIn, type EntryValue} from "./yamlText.ts";

export interface HeadsMerged {
  readonly head: string;
  /** both changed one entry differently, or one of them is no YAML */
  readonly clash: {readonly mine: string; readonly theirs: string} | null;
}

/** @param choice whose entries stand where both changed the same */
export function mergeHeads(
  base: Analysis,
  mine: Analysis,
  theirs: Analysis,
  choice: "mine" | "theirs" | "both",
): HeadsMerged {
  if (mine.head === base.head || mine.head === theirs.head) return {head: theirs.head, clash: null};
  if (theirs.head === base.head) return {head: mine.head, clash: null};
  const clash = {mine: mine.head, theirs: theirs.head};
  const whole = {head: choice === "theirs" ? theirs.head : mine.head, clash};
  const all = [base, mine, theirs].map(({head}) => leavesOf(head)).filter((leaves) => leaves !== null);
  const [old, here, there] = all;
  if (old === undefined || here === undefined || there === undefined) return whole;
  let merged: Analysis = mine;
  let clashes = false;
  for (const name of new Set([...old.keys(), ...there.keys()])) {
    const [before, one, other] = [old, here, there].map((leaves) => canonical(leaves.get(name)?.value ?? null));
    if (other === before || other === one) continue;
    if (one !== before) clashes = true;
    if (one !== before && choice !== "theirs") continue;
    const {path, value} = there.get(name) ?? old.get(name)!;
    const changed = isEntry(value) ? setFront(merged, path, there.has(name) ? value : null) : null;
    if (changed === null) return whole;
    merged = changed;
  }
  return {head: merged.head, clash: clashes ? clash : null};
}

interface Leaf {
  readonly path: readonly string[];
  readonly value: unknown;
}

/** Entries by name; filters one by one. Null for a head that is no YAML map. */
function leavesOf(head: string): ReadonlyMap<string, Leaf> | null {
  const entries = entriesIn(head.replace(/^\uFEFF?---[^\n]*\n/, "").replace(/---[ \t\r\n]*$/, ""));
  if (entries === null) return null;
  const leaves = Object.entries(entries).flatMap(([name, value]): Leaf[] =>
    name === "where" && typeof value === "object" && value !== null && !Array.isArray(value)
      ? Object.entries(value).map(([filter, words]) => ({path: [name, filter], value: words}))
      : [{path: [name], value}],
  );
  return new Map(leaves.map((leaf) => [leaf.path.join("\n"), leaf]));
}

const isPlain = (value: unknown): value is string | number => typeof value === "string" || typeof value === "number";

const isEntry = (value: unknown): value is EntryValue =>
  value === null || typeof value === "boolean" || isPlain(value) || (Array.isArray(value) && value.every(isPlain));
