/** One rate ratio over strata: against the exact test of one stratum, and by its own defining equations. */
import {describe, expect, it} from "vitest";
import {compareRates, compareStrata} from "../../src/statistics/index.ts";

describe("compareStrata(strata, level)", () => {
  it("with one stratum is compareRates, which is checked against published values", () => {
    for (const [x, y] of [
      [8, 3],
      [12, 0],
      [0, 4],
      [30, 31],
    ] as const) {
      const [before, after] = [
        {count: x, exposure: 5000},
        {count: y, exposure: 4000},
      ];
      const one = compareRates(after, before, {level: 0.9});
      const strata = compareStrata([{before, after}], 0.9);
      if (one.ratio === null) expect(strata.ratio).toBeNull();
      else expect(strata.ratio).toBeCloseTo(one.ratio, 8);
      expect(strata.limits[0]).toBeCloseTo(one.limits[0], 8);
      if (one.limits[1] === null) expect(strata.limits[1]).toBeNull();
      else expect(strata.limits[1]).toBeCloseTo(one.limits[1], 8);
    }
  });

  it("a stratum cut in two is the same stratum", () => {
    const whole = compareStrata([{before: {count: 10, exposure: 6000}, after: {count: 4, exposure: 3000}}], 0.9);
    const halves = compareStrata(
      [
        {before: {count: 6, exposure: 3000}, after: {count: 1, exposure: 1500}},
        {before: {count: 4, exposure: 3000}, after: {count: 3, exposure: 1500}},
      ],
      0.9,
    );
    expect(halves.ratio).toBeCloseTo(whole.ratio!, 8);
    expect(halves.limits[1]).toBeCloseTo(whole.limits[1]!, 8);
  });

  it("does not take a shift of exposure toward the worse fleet for an effect", () => {
    // both fleets fail as before; the poor one runs more
    const {ratio} = compareStrata(
      [
        {before: {count: 2, exposure: 8000}, after: {count: 1, exposure: 4000}},
        {before: {count: 10, exposure: 2000}, after: {count: 40, exposure: 8000}},
      ],
      0.9,
    );
    expect(ratio).toBeCloseTo(1, 6);
  });

  it("without events has nothing to say, and refuses what is no count", () => {
    const none = {count: 0, exposure: 100};
    expect(compareStrata([{before: none, after: none}]).ratio).toBeNull();
    expect(() => compareStrata([{before: {count: 1.5, exposure: 1}, after: none}])).toThrow(/whole counts/);
  });
});
