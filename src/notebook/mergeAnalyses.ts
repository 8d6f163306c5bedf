/**
 * Two changed texts of one page → one page: what only one of them changed is taken from it, cell by cell and paragraph by
 * paragraph. Only where both changed the same one differently somebody must choose.
 */
import type {Analysis, Block} from "./analysis.ts";
import {compose} from "./editAnalysis.ts";
import {followBlocks} from "./followBlocks.ts";
import {mergeHeads} from "./mergeHeads.ts";
import {readAnalysis} from "./readAnalysis.ts";
import {splitProse} from "./splitProse.ts";

export interface Clash {
  /** tells it from the others for as long as the text that both began from is the same */
  readonly key: string;
  readonly what: "title and filters" | "cell" | "words";
  /** null: taken out */
  readonly mine: string | null;
  readonly theirs: string | null;
}

/** `both`: the other one's below mine; of titles and filters that is mine. */
export type Choice = "mine" | "theirs" | "both";

export interface Merged {
  /** with mine where nobody has chosen */
  readonly text: string;
  /** those chosen already too */
  readonly clashes: readonly Clash[];
}

/** A cell or a paragraph, with the text it stands in and its place there. */
interface Unit extends Pick<Block, "type" | "text"> {
  readonly of: Analysis;
  readonly at: number;
}

/**
 * @param base the text that both began from
 * @param choices by the key of the clash
 */
export function mergeAnalyses(
  base: string,
  mine: string,
  theirs: string,
  choices: ReadonlyMap<string, Choice> = new Map(),
): Merged {
  if (mine === base || mine === theirs) return {text: theirs, clashes: []};
  if (theirs === base) return {text: mine, clashes: []};
  const [old, here, there] = [base, mine, theirs].map((text) => readAnalysis(text, "")) as [
    Analysis,
    Analysis,
    Analysis,
  ];
  const heads = mergeHeads(old, here, there, choices.get(HEAD) ?? "mine");
  const {units, clashes} = mergeUnits(unitsOf(old), unitsOf(here), unitsOf(there), choices);
  // what the answers stood on is no one's writing: it is noted anew for the page as it now is
  const tail = here.tail === old.tail ? there.tail : here.tail;
  const {head, clash} = heads;
  const text = compose({...here, head, tail}, units);
  return {text, clashes: clash === null ? clashes : [{key: HEAD, what: "title and filters", ...clash}, ...clashes]};
}

const HEAD = "head";

/** Blank lines belong to what they stand behind. */
function unitsOf(of: Analysis): Unit[] {
  const units: {type: Block["type"]; text: string}[] = [];
  for (const {type, text} of of.blocks)
    for (const piece of type === "cell" ? [text] : splitProse(text)) {
      const [blank = ""] = /^(?:[ \t\r]*\n)*/.exec(piece) ?? [];
      const last = units.at(-1);
      if (last !== undefined) last.text += blank;
      if (piece.length > blank.length) units.push({type, text: last === undefined ? piece : piece.slice(blank.length)});
    }
  return units.map((unit, at) => ({...unit, of, at}));
}

/** Units of one text with the names that those of the base have; those the base has not get a name of their own. */
interface Followed {
  readonly ids: readonly string[];
  readonly byId: ReadonlyMap<string, Unit>;
}

function followed(base: readonly Unit[], baseIds: readonly string[], units: readonly Unit[], own: string): Followed {
  let made = 0;
  const ids = followBlocks(base, baseIds, units, () => `${own}${(made += 1)}`);
  return {ids, byId: new Map(ids.map((id, at) => [id, units[at]!]))};
}

function mergeUnits(
  base: readonly Unit[],
  mine: readonly Unit[],
  theirs: readonly Unit[],
  choices: ReadonlyMap<string, Choice>,
): {readonly units: readonly Unit[]; readonly clashes: readonly Clash[]} {
  const baseIds = base.map((_, at) => `${at}`);
  const before = new Map(baseIds.map((id, at) => [id, base[at]!]));
  const here = followed(base, baseIds, mine, "m");
  const there = followed(base, baseIds, theirs, "t");
  // whoever moved things says the order; where both did, this one
  const moved = !sameOrder(here.ids, there.ids, baseIds);
  const [first, second] = moved ? [here, there] : [there, here];
  const clashes: Clash[] = [];
  const kept = new Map<string, readonly Unit[]>();
  for (const id of baseIds) {
    const [old, one, other] = [before.get(id)!, here.byId.get(id), there.byId.get(id)];
    if (sameUnit(one, other)) keep(id, first.byId.get(id));
    else if (sameUnit(old, other)) keep(id, one);
    else if (sameUnit(old, one)) keep(id, other);
    else {
      const what = old.type === "cell" ? "cell" : "words";
      clashes.push({key: id, what, mine: one?.text ?? null, theirs: other?.text ?? null});
      const choice = choices.get(id) ?? "mine";
      keep(id, ...(choice === "theirs" ? [other] : choice === "both" ? [one, other] : [one]));
    }
  }
  for (const {ids, byId} of [here, there]) for (const id of ids) if (!before.has(id)) keep(id, byId.get(id));
  const units = inOrder(first.ids, second.ids, kept).flatMap((id) => kept.get(id) ?? []);
  return {units: units.map((unit, at) => spaced(unit, units[at + 1])), clashes};

  function keep(id: string, ...units: readonly (Unit | undefined)[]): void {
    const there = units.filter((unit) => unit !== undefined);
    if (there.length > 0) kept.set(id, there);
  }
}

/** One blank line between two that have come to stand beside each other, none behind the last. */
function spaced(unit: Unit, after: Unit | undefined): Unit {
  if (after?.of === unit.of && after.at === unit.at + 1) return unit;
  if (after === undefined && unit.of.blocks.at(-1)!.text.trimEnd().endsWith(unit.text.trim())) return unit;
  return {...unit, text: `${unit.text.trimEnd()}\n${after === undefined ? "" : "\n"}`};
}

/** Blank lines around a unit come and go with its neighbours. */
const sameUnit = (a: Unit | undefined, b: Unit | undefined): boolean => a?.text.trim() === b?.text.trim();

/** Whether the first holds what all three share in the order of the base. */
function sameOrder(ids: readonly string[], others: readonly string[], base: readonly string[]): boolean {
  const shared = new Set(base.filter((id) => ids.includes(id) && others.includes(id)));
  const [a, b] = [ids, base].map((list) => list.filter((id) => shared.has(id)));
  return a!.every((id, at) => id === b![at]);
}

/** The first order, with what only the second has put behind what it stands behind there. */
function inOrder(
  first: readonly string[],
  second: readonly string[],
  kept: ReadonlyMap<string, readonly Unit[]>,
): string[] {
  const order = first.filter((id) => kept.has(id));
  const inFirst = new Set(order);
  let last = -1;
  for (const id of second) {
    if (!kept.has(id)) continue;
    if (inFirst.has(id)) {
      last = order.indexOf(id);
      continue;
    }
    let at = last + 1;
    // both put something in the same place: the same once, else one behind the other
    let twin = false;
    for (; at < order.length && isNew(order[at]!) && inFirst.has(order[at]!); at++)
      twin ||= isNew(id) && sameUnit(kept.get(order[at]!)?.[0], kept.get(id)?.[0]);
    if (twin) continue;
    order.splice(at, 0, id);
    last = at;
  }
  return order;
}

const isNew = (id: string): boolean => /^[mt]/.test(id);
