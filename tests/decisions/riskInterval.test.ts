import {describe, expect, it} from "vitest";
import {riskInterval} from "../../src/decisions/riskInterval.ts";
import {longestSafeAge} from "../../src/decisions/riskRule.ts";
import {drawLimits, drawQuantile} from "../../src/decisions/spread.ts";
import {seededRandom} from "../../src/statistics/random.ts";

const draws = (count: number, seed: number, logShape: number) => {
  const random = seededRandom(seed);
  const column = (of: () => number) => Float64Array.from({length: count}, of);
  return {
    shape: column(() => Math.exp(logShape + 0.3 * random.normal())),
    scale: column(() => 900 * Math.exp(0.25 * random.normal())),
    chance: column(() => 5e-5 * random.uniform()),
  };
};

describe("riskInterval(draws, nextRun, target, confidence)", () => {
  // looks at few draws closely, so it is set against looking at all of them
  it.each([
    [160, 1, 0.9],
    [160, 2, 0.05],
    [41, 3, 0.6],
    [13, 4, 1.2],
  ])("is the quantile of all draws' longest safe ages: %i draws, seed %i", (count, seed, logShape) => {
    const some = draws(count, seed, logShape);
    for (const [target, confidence] of [
      [0.95, 0.95],
      [0.9, 0.8],
      [0.99, 0.5],
    ] as const) {
      const ages = Array.from(some.shape, (shape, d) => {
        const modes = [
          {shape, scale: some.scale[d]!},
          {shape: 1, scale: 1 / some.chance[d]!},
        ];
        return longestSafeAge(modes, 60, target, 1e-4) ?? -1;
      });
      const age = drawQuantile(ages, 1 - confidence);
      const found = riskInterval(some, 60, target, confidence);
      if (age === Infinity) expect(found.rule).toBe("never binds");
      else if (age < 0) expect(found.rule).toBe("cannot be met");
      else expect(found).toEqual({rule: "bounds", interval: age + 60});
    }
  });
});

describe("drawLimits(draws, level)", () => {
  // few draws from the end are sought without sorting; the same draws one level further in are sorted
  it("agrees with the quantiles of the sorted draws at every level", () => {
    const {scale} = draws(160, 5, 1);
    for (const level of [0.5, 0.7, 0.8, 0.9, 0.95, 0.99, 0.999]) {
      expect(drawLimits(scale, level)).toEqual([
        expect.closeTo(drawQuantile(scale, (1 - level) / 2), 9),
        expect.closeTo(drawQuantile(scale, 1 - (1 - level) / 2), 9),
      ]);
    }
  });

  it("has no limit where it falls among infinite draws, and leaves out what is no number", () => {
    const tail = Float64Array.of(...Array.from({length: 100}, (_, i) => (i < 80 ? i : Infinity)));
    expect(drawLimits(tail, 0.9)).toEqual([expect.closeTo(4.5, 9), null]);
    expect(drawLimits([NaN, 3, 1, NaN, 2], 0.5)).toEqual([1.25, 2.75]);
    expect(drawLimits([NaN], 0.9)).toEqual([null, null]);
  });
});
