import {describe, expect, it} from "vitest";
import {poissonLimits} from "../../src/statistics/poissonLimits.ts";
import {seededRandom} from "../../src/statistics/random.ts";
import {standardisedRate, weightedCountLimits} from "../../src/statistics/weightedCounts.ts";

/**
 * Births with Down syndrome by age of the mother and order of birth, Michigan 1950-64: Fleiss, Statistical Methods for Rates
 * and Proportions (2nd ed. 1981, p. 249), standardised by Fay & Feuer (1997, table 1) to the mean population of the five
 * orders. Data and the printed adjusted rate of order 1 (92.3 per 100,000, crude 56.3, lower limit 80.4) from memory; the
 * published column totals, also from memory, add up, which guards the data. Limits: SciPy 1.17.1 chi2.ppf, all digits.
 */
const ages = {
  cases: [
    [107, 141, 60, 40, 39, 25],
    [25, 150, 110, 84, 82, 39],
    [3, 71, 114, 103, 108, 75],
    [1, 26, 64, 89, 137, 96],
    [0, 8, 63, 112, 262, 295],
  ],
  births: [
    [230061, 329449, 114920, 39487, 14208, 3052],
    [72202, 326701, 208667, 83228, 28466, 5375],
    [15050, 175702, 207081, 117300, 45026, 8660],
    [2293, 68800, 132424, 98301, 46075, 9834],
    [327, 30666, 123419, 149919, 104088, 34392],
  ],
  totals: {cases: [136, 396, 411, 428, 628, 530], births: [319933, 931318, 786511, 488235, 237863, 61313]},
};
const strata = (order: number) =>
  ages.totals.births.map((standard, age) => ({
    count: ages.cases[order]![age]!,
    exposure: ages.births[order]![age]!,
    standard,
  }));

describe("standardisedRate(strata, level)", () => {
  it("agrees with the birth order example of Fay & Feuer", () => {
    for (const what of ["cases", "births"] as const)
      ages.totals[what].forEach((total, age) =>
        expect(ages[what].reduce((sum, order) => sum + order[age]!, 0)).toBe(total),
      );
    const first = standardisedRate(strata(0), 0.95);
    expect(first.rate! * 1e5).toBeCloseTo(92.3, 1);
    expect(first.limits![0] * 1e5).toBeCloseTo(80.4, 1);
    expect(first.limits![0]).toBeCloseTo(0.0008044174985070426, 12);
    expect(first.limits![1]).toBeCloseTo(0.001057633457492612, 12);
    const fifth = standardisedRate(strata(4), 0.95);
    expect(fifth.limits![0]).toBeCloseTo(0.0006770212041764664, 12);
    expect(fifth.limits![1]).toBeCloseTo(0.0018830017272777589, 12);
    expect(fifth.covered).toBe(1);
  });

  it("is the plain rate when the standard is the group's own mix", () => {
    const own = strata(1).map((stratum) => ({...stratum, standard: stratum.exposure}));
    const {rate} = standardisedRate(own, 0.9);
    expect(rate).toBeCloseTo(490 / own.reduce((sum, {exposure}) => sum + exposure, 0), 12);
  });

  it("speaks only for strata it has exposure in, and says how many", () => {
    const half = standardisedRate(
      [
        {count: 4, exposure: 1000, standard: 30},
        {count: 0, exposure: 0, standard: 70},
      ],
      0.9,
    );
    expect(half).toMatchObject({rate: 0.004, covered: 0.3});
    expect(standardisedRate([{count: 0, exposure: 0, standard: 1}], 0.9)).toEqual({
      rate: null,
      limits: null,
      covered: 0,
    });
    expect(standardisedRate([], 0.9).rate).toBeNull();
  });
});

describe("weightedCountLimits(groups, level)", () => {
  it("are Garwood's with equal weights, none or many events", () => {
    for (const count of [0, 1, 8, 300]) {
      const [lower, upper] = poissonLimits(count, 0.9);
      const found = weightedCountLimits([{count, weight: 2.5}], 0.9);
      expect(found[0]).toBeCloseTo(2.5 * lower, 9);
      expect(found[1]).toBeCloseTo(2.5 * upper, 9);
    }
    expect(weightedCountLimits([], 0.9)).toEqual([0, 0]);
    expect(() => weightedCountLimits([{count: -1, weight: 1}], 0.9)).toThrow("got -1 of 1");
  });

  it("hold the sum at least as often as they promise, over 2,000 draws of four kinds of unequal cost", () => {
    const random = seededRandom(7);
    const means = [6, 3, 2, 0.5];
    const weights = [1, 2, 5, 12];
    const truth = means.reduce((sum, mean, i) => sum + mean * weights[i]!, 0);
    const draw = (mean: number): number => {
      let count = 0;
      for (let at = random.exponential(); at < mean; at += random.exponential()) count++;
      return count;
    };
    let held = 0;
    for (let i = 0; i < 2000; i++) {
      const [lower, upper] = weightedCountLimits(
        means.map((mean, k) => ({count: draw(mean), weight: weights[k]!})),
        0.9,
      );
      if (lower <= truth && truth <= upper) held++;
    }
    expect(held / 2000).toBeGreaterThan(0.88);
    expect(held / 2000).toBeLessThan(0.99);
  });
});
