/** What the cells of a page offer to choose, each name once: cells that share a name share the choice. */
import type {AskedField, Presentation} from "../../cells/contract.ts";

/** In the order of the cells; the first cell that asks for a name says how it is asked. */
export function sharedAsks(presentations: readonly (Presentation | null)[]): AskedField[] {
  const asks = new Map<string, AskedField>();
  for (const presentation of presentations)
    for (const field of presentation?.asks ?? []) if (!asks.has(field.name)) asks.set(field.name, field);
  return [...asks.values()];
}
