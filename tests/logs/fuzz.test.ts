/** A few of the damaged files of `npm run fuzz`, always the same: some of each way. */
import {describe, expect, it} from "vitest";
import {seededRandom} from "../../src/statistics/index.ts";
import {damaged, WAY_NAMES} from "../fuzz/damage.ts";
import {tried} from "../fuzz/tried.ts";

const OF_EACH = 5;
/** A line of a million cells takes a second. */
const OF_WIDE = 2;

describe("whatever is damaged", () => {
  it.each(WAY_NAMES)("%s: no crash, no hang, every row accounted for, no hole", async (way) => {
    const wrong: string[] = [];
    for (let seed = 1; seed <= (/wide/.test(way) ? OF_WIDE : OF_EACH); ++seed) {
      const {wrong: sentence} = await tried(damaged(seededRandom(seed), way));
      if (sentence !== null) wrong.push(`seed ${seed}: ${sentence}`);
    }
    expect(wrong).toEqual([]);
  });
});
