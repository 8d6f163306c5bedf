import {describe, expect, it} from "vitest";
import {spacingLimits} from "../../src/statistics/spacing.ts";

describe("spacingLimits(rate, events, falseAlarms)", () => {
  it("has the factors of Chan, Xie & Goh (2000) at 0.27 %: 0.00135, 0.6931 and 6.608 over the rate", () => {
    // factors from memory; they are -ln(1 - α/2), ln 2 and -ln(α/2)
    const {lower, centre, upper} = spacingLimits(0.5, 1, 0.0027);
    expect(lower * 0.5).toBeCloseTo(0.00135, 5);
    expect(centre * 0.5).toBeCloseTo(Math.LN2, 12);
    expect(upper * 0.5).toBeCloseTo(6.608, 3);
  });

  it("several events a point: Erlang quantiles, closer together for their mean", () => {
    // SciPy 1.17.1: gamma.ppf([0.00135, 0.5, 0.99865], 4)
    const {lower, centre, upper} = spacingLimits(1, 4, 0.0027);
    expect(lower).toBeCloseTo(0.46529621, 7);
    expect(centre).toBeCloseTo(3.67206075, 7);
    expect(upper).toBeCloseTo(12.68046987, 6);
    expect(spacingLimits(1, 4, 0.1).lower).toBeGreaterThan(lower);
  });

  it("refuses what cannot be", () => {
    expect(() => spacingLimits(0, 1, 0.1)).toThrow("rate > 0, got 0");
    expect(() => spacingLimits(1, 1.5, 0.1)).toThrow("whole number of events > 0, got 1.5");
    expect(() => spacingLimits(1, 1, 1)).toThrow("(0, 1), got 1");
  });
});
