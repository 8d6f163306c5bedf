import type {Memo} from "../cells/contract.ts";

/** A memory for one set of inputs: make a new one whenever tables, settings or filters change. */
export function createMemo(): Memo {
  const made = new Map<string, unknown>();
  return <T>(key: string, make: () => T): T => {
    if (!made.has(key)) made.set(key, make());
    // a key names one computation, and so one type
    return made.get(key) as T;
  };
}
