import {describe, expect, it} from "vitest";
import {ageAtHazard, competingLife, cumulativeHazardOf} from "../../src/decisions/life.ts";

describe("competingLife(modes)", () => {
  it("adds the hazards of its modes and multiplies their survivals", () => {
    const a = competingLife([{shape: 2.6, scale: 1700}]);
    const b = competingLife([{shape: 1.1, scale: 14000}]);
    const both = competingLife([
      {shape: 2.6, scale: 1700},
      {shape: 1.1, scale: 14000},
    ]);
    for (const age of [1, 50, 400, 1500, 6000]) {
      expect(both.hazard(age)).toBeCloseTo(a.hazard(age) + b.hazard(age), 14);
      expect(both.survival(age)).toBeCloseTo(a.survival(age) * b.survival(age), 14);
      expect(both.failed(age)).toBeCloseTo(1 - both.survival(age), 14);
    }
  });

  // two Weibull modes of one shape are one Weibull: (t/a)^k + (t/b)^k = (t/c)^k with c = (a^-k + b^-k)^(-1/k)
  it("integrates the survival of several modes as it does that of the Weibull they equal", () => {
    for (const shape of [0.7, 1, 2.2, 5]) {
      const scale = (900 ** -shape + 1500 ** -shape) ** (-1 / shape);
      const two = competingLife([
        {shape, scale: 900},
        {shape, scale: 1500},
      ]);
      const one = competingLife([{shape, scale}]);
      for (const age of [10, 300, 900, 4000, Infinity]) {
        expect(two.restrictedMean(age) / one.restrictedMean(age)).toBeCloseTo(1, 7);
      }
    }
  });

  it("ageAtHazard(modes, h) is the age at which the cumulative hazard is h", () => {
    const modes = [
      {shape: 2.6, scale: 1700},
      {shape: 0.8, scale: 20000},
    ];
    for (const h of [1e-6, 0.1, 1, 30]) expect(cumulativeHazardOf(modes, ageAtHazard(modes, h)) / h).toBeCloseTo(1, 12);
    expect(ageAtHazard([{shape: 2, scale: Infinity}], 1)).toBe(Infinity);
  });

  it("refuses what is no life", () => {
    expect(() => competingLife([])).toThrow("requires at least one mode");
    expect(() => competingLife([{shape: 0, scale: 3}])).toThrow("got shape 0");
  });
});
