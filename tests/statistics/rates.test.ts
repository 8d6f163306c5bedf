import {describe, expect, it} from "vitest";
import {compareRates} from "../../src/statistics/comparePoisson.ts";
import {countAgainst, falseDiscovery, funnelLimits} from "../../src/statistics/funnel.ts";
import {at, entry, expectQuantity, fixtures, number, numbers} from "./reference.ts";

type Reference = Parameters<typeof at>[0];

const pair = (inputs: Reference) =>
  [
    {count: number(inputs, "x1"), exposure: number(inputs, "T1")},
    {count: number(inputs, "x2"), exposure: number(inputs, "T2")},
  ] as const;

describe("compareRates(first, second)", () => {
  it("agrees with two-poisson-rates-gu-1 and -gu-2", () => {
    const one = entry("two-poisson-rates-gu-1");
    const found = compareRates(...pair(one.inputs), {level: 0.95});
    expectQuantity(found.pGreater, at(one.expected, "p_exact_greater"));
    expectQuantity(found.midPGreater, at(one.expected, "p_midp_greater"));
    expectQuantity(
      found.limits.map((end) => end!),
      at(one.expected, "ratio_limits_95_central"),
    );
    expectQuantity(found.pTwoSided, at(one.expected, "p_two_sided_minlike"));
    const two = entry("two-poisson-rates-gu-2");
    const against = compareRates(...pair(two.inputs), {against: number(two.inputs, "null_ratio")});
    expectQuantity(against.pGreater, at(two.expected, "p_exact_greater"));
    expectQuantity(against.midPGreater, at(two.expected, "p_midp_greater"));
  });

  it("agrees with two-poisson-rates-dodder: a count of 0", () => {
    const {inputs, expected} = entry("two-poisson-rates-dodder");
    const found = compareRates(...pair(inputs), {level: 0.95});
    expectQuantity(found.pTwoSided, at(expected, "p_two_sided_minlike"));
    expectQuantity(found.pLess, at(expected, "p_less"));
    expectQuantity(found.limits[1]!, at(expected, "ratio_upper_95"));
    expect(found.limits[0]).toBe(0);
  });

  it("agrees with two-poisson-rates-eba", () => {
    const {inputs, expected} = entry("two-poisson-rates-eba");
    const found = compareRates(...pair(inputs), {level: 0.95});
    expectQuantity(found.pTwoSided, at(expected, "p_two_sided_minlike"));
    expectQuantity(found.ratio!, at(expected, "ratio"));
    expectQuantity(
      found.limits.map((end) => end!),
      at(expected, "limits_95"),
    );
  });

  it("agrees with R poisson.test on further counts (fixtures.json counts)", () => {
    for (const test of at(fixtures(), "counts", "tests") as readonly Reference[]) {
      const [x1, x2] = numbers(test, "x");
      const [t1, t2] = numbers(test, "t");
      const found = compareRates(
        {count: x1!, exposure: t1!},
        {count: x2!, exposure: t2!},
        {against: number(test, "r")},
      );
      expectQuantity(found.pTwoSided, number(test, "two"));
      expectQuantity(found.pLess, number(test, "less"));
      expectQuantity(found.pGreater, number(test, "greater"));
      expectQuantity(found.limits[0], number(test, "conf90", 0));
      const upper = at(test, "conf90", 1);
      if (x2 === 0) expect(found.limits[1]).toBeNull();
      else expectQuantity(found.limits[1]!, upper);
    }
  });

  it("refuses counts and exposures that cannot be", () => {
    const good = {count: 1, exposure: 10};
    expect(() => compareRates({count: 1.5, exposure: 10}, good)).toThrow("whole counts >= 0, got 1.5");
    expect(() => compareRates(good, {count: 1, exposure: 0})).toThrow("exposure > 0, got 0");
    expect(() => compareRates(good, good, {against: 0})).toThrow("ratio > 0, got 0");
    expect(compareRates({count: 0, exposure: 5}, {count: 0, exposure: 5})).toMatchObject({
      ratio: null,
      limits: [0, null],
      pTwoSided: 1,
    });
  });
});

describe("funnelLimits, countAgainst and falseDiscovery", () => {
  it("funnel limits narrow with exposure and hold the chance they promise", () => {
    // P(count <= upper) by summing the Poisson chances, interpolated as the limit is
    const cdf = (mean: number, k: number): number => {
      let term = Math.exp(-mean);
      let sum = term;
      for (let i = 1; i <= k; i++) sum += term *= mean / i;
      return k < 0 ? 0 : sum;
    };
    for (const exposure of [500, 2000, 20000]) {
      const [low, high] = funnelLimits(0.004, exposure, 0.9).map((r) => r * exposure);
      const along = (x: number): number => {
        const k = Math.floor(x);
        return cdf(0.004 * exposure, k) + (x - k) * (cdf(0.004 * exposure, k + 1) - cdf(0.004 * exposure, k));
      };
      if (low! > 0) expect(along(low!)).toBeCloseTo(0.05, 9);
      expect(along(high!)).toBeCloseTo(0.95, 9);
    }
    const width = (e: number) => funnelLimits(0.004, e, 0.9)[1] - funnelLimits(0.004, e, 0.9)[0];
    expect(width(20000)).toBeLessThan(width(2000));
    expect(funnelLimits(0, 10, 0.9)).toEqual([0, 0]);
    expect(() => funnelLimits(1, 0, 0.9)).toThrow("exposure > 0");
  });

  it("countAgainst(count, rate) is small outside the funnel and 1 at most", () => {
    expect(countAgainst({count: 30, exposure: 1000}, 0.01)).toBeLessThan(1e-5);
    expect(countAgainst({count: 10, exposure: 1000}, 0.01)).toBeGreaterThan(0.8);
    expect(countAgainst({count: 0, exposure: 1000}, 0)).toBe(1);
    expect(countAgainst({count: 2, exposure: 1000}, 0)).toBe(0);
  });

  it("falseDiscovery(p) agrees with R p.adjust (fixtures.json counts)", () => {
    const counts = at(fixtures(), "counts");
    expectQuantity(falseDiscovery(numbers(counts, "p")), numbers(counts, "bh"));
    expect(falseDiscovery([])).toEqual([]);
    expect(() => falseDiscovery([2])).toThrow("in [0, 1], got 2");
  });
});
