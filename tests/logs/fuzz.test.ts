/** A few of the damaged files of `npm run fuzz`, always the same. */
import {describe, expect, it} from "vitest";
import {seededRandom} from "../../src/statistics/index.ts";
import {damaged} from "../fuzz/damage.ts";
import {tried} from "../fuzz/tried.ts";

describe("importLogs(files) on damaged files", () => {
  it("never crashes, never hangs and accounts for every row", async () => {
    const wrong: string[] = [];
    for (let seed = 1; seed <= 40; ++seed) {
      const {way, files} = damaged(seededRandom(seed));
      const {wrong: sentence} = await tried(files);
      if (sentence !== null) wrong.push(`seed ${seed} (${way}): ${sentence}`);
    }
    expect(wrong).toEqual([]);
  });
});
