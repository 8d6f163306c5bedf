/** Which block of a changed page is which of the page before, so that what a reader has open or pinned stays with it. */
import type {Block} from "./analysis.ts";

/**
 * Blocks of the same text are the same, in order; of those left over, one of the same place among its neighbours and of
 * the same type is taken for the changed one; the others are new.
 *
 * @param ids one for each block of `before`
 * @param fresh makes an id never given before
 */
export function followBlocks(
  before: readonly Pick<Block, "type" | "text">[],
  ids: readonly string[],
  after: readonly Pick<Block, "type" | "text">[],
  fresh: () => string,
): string[] {
  const free = new Set(before.keys());
  const taken: (number | undefined)[] = after.map(() => undefined);
  const byText = new Map<string, number[]>();
  before.forEach(({text}, at) => byText.set(bare(text), [...(byText.get(bare(text)) ?? []), at]));
  after.forEach(({text}, at) => {
    const found = byText.get(bare(text))?.shift();
    if (found === undefined) return;
    taken[at] = found;
    free.delete(found);
  });
  after.forEach((block, at) => {
    if (taken[at] !== undefined) return;
    // it stood after the block that is still before it, or before the one that is still after it
    const behind = at === 0 ? -1 : taken[at - 1];
    const ahead = at === after.length - 1 ? before.length : taken[at + 1];
    const places = [behind === undefined ? -1 : behind + 1, ahead === undefined ? -1 : ahead - 1];
    const place = places.find((each) => free.has(each) && before[each]!.type === block.type);
    if (place === undefined) return;
    taken[at] = place;
    free.delete(place);
  });
  return taken.map((place) => (place === undefined ? fresh() : ids[place]!));
}

/** Blank lines around a block come and go when its neighbours move. */
const bare = (text: string): string => text.trim();
