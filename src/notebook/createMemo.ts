import type {Memo} from "../cells/contract.ts";

/**
 * A memory for one set of tables and settings. Beyond `most` computations the oldest are forgotten.
 */
export function createMemo(most = Infinity): Memo {
  const made = new Map<string, unknown>();
  return <T>(key: string, make: () => T): T => {
    if (!made.has(key)) made.set(key, make());
    // a key names one computation, and so one type
    const result = made.get(key) as T;
    for (const old of made.keys()) {
      if (made.size <= most) break;
      made.delete(old);
    }
    return result;
  };
}
