import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {rateDifference} from "../../src/statistics/rateDifference.ts";

const above = fc.double({min: 0.01, max: 100, noNaN: true});
const kind = fc.record({rates: fc.tuple(above, above), expected: fc.tuple(above, above)});

describe("rateDifference(kinds)", () => {
  it("agrees with a difference worked by hand: two strata, two groups", () => {
    // strata rates 2 and 10 in both groups, 30 % against 60 % of the exposure in the harder one: 4.4 and 6.8, all mix
    const alike = rateDifference([{rates: [6.8, 4.4], expected: [6.8, 4.4]}]);
    expect(alike.mix).toBeCloseTo(2.4, 12);
    expect(alike.rest).toBeCloseTo(0, 12);
    // the first group fails 1.5 times as often in every stratum: 10.2 against 4.4; the rest is 0.5 × the mean mix, 5.6
    const worse = rateDifference([{rates: [10.2, 4.4], expected: [6.8, 4.4]}]);
    expect(worse.rest).toBeCloseTo(0.5 * 5.6, 12);
    expect(worse.mix).toBeCloseTo(2.4 * 1.25, 12);
  });

  it("adds up, turns its sign with the groups and leaves all to the rest at an equal mix", () => {
    fc.assert(
      fc.property(fc.array(kind, {minLength: 1, maxLength: 6}), (kinds) => {
        const {mix, rest} = rateDifference(kinds);
        const gap = kinds.reduce((sum, {rates}) => sum + rates[0] - rates[1], 0);
        expect(mix + rest).toBeCloseTo(gap, 6);
        const turned = rateDifference(
          kinds.map(({rates, expected}) => ({rates: [rates[1], rates[0]], expected: [expected[1], expected[0]]})),
        );
        expect(turned.mix).toBeCloseTo(-mix, 6);
        const equal = rateDifference(kinds.map(({rates, expected}) => ({rates, expected: [expected[0], expected[0]]})));
        expect(equal.mix).toBeCloseTo(0, 9);
      }),
      {numRuns: 60, seed: 11},
    );
  });

  it("refuses an expectation of nothing", () => {
    expect(() => rateDifference([{rates: [1, 2], expected: [0, 1]}])).toThrow("expectations > 0, got 0 and 1");
  });
});
