/** Where a block goes when it moves by one: past the next block that has something in it. */
import type {Block} from "../../notebook/analysis.ts";

/** True for the blank lines between two cells, which are a block that no reader sees. */
export const isBlank = ({type, text}: Block): boolean => type === "prose" && text.trim() === "";

/** The place for `moveBlock`; null when nothing stands above. */
export function placeAbove(blocks: readonly Block[], at: number): number | null {
  for (let place = at - 1; place >= 0; place--) if (!isBlank(blocks[place]!)) return place;
  return null;
}

export function placeBelow(blocks: readonly Block[], at: number): number | null {
  for (let place = at + 1; place < blocks.length; place++) if (!isBlank(blocks[place]!)) return place;
  return null;
}
