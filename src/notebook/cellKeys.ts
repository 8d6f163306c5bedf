/** Names a cell by what it asks, so that it is known again after it was moved, or on another machine. */
import type {CellBlock} from "./analysis.ts";
import {canonical, hash} from "./contentKey.ts";
import {entriesIn} from "./yamlText.ts";

/**
 * What a cell's body asks: its entries in order, without comments and spacing; the text itself where it is no YAML map.
 * Two bodies that are equal here are answered alike.
 */
export function askedBy(body: string): string {
  const entries = entriesIn(body);
  return entries === null ? body : canonical(entries);
}

/** One key a cell, in their order; the second of two equal ones ends in `-2`. */
export function cellKeys(cells: readonly Pick<CellBlock, "kind" | "body">[]): string[] {
  const seen = new Map<string, number>();
  return cells.map(({kind, body}) => {
    const key = hash(`${kind}\n${askedBy(body)}`);
    const before = seen.get(key) ?? 0;
    seen.set(key, before + 1);
    return before === 0 ? key : `${key}-${before + 1}`;
  });
}
