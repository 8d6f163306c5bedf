import {describe, expect, it} from "vitest";
import {hazardOfRun, longestSafeAge} from "../../src/decisions/riskRule.ts";

describe("longestSafeAge(modes, run, target)", () => {
  // shape 2: ((a + n)² − a²) / η² = −log target solves to a = (−η² log target − n²) / 2n
  it("agrees with the closed form for shape 2", () => {
    const scale = 900;
    for (const [run, target] of [
      [60, 0.95],
      [100, 0.9],
      [10, 0.999],
    ] as const) {
      const age = (-(scale ** 2) * Math.log(target) - run ** 2) / (2 * run);
      expect(longestSafeAge([{shape: 2, scale}], run, target)! / age).toBeCloseTo(1, 10);
    }
  });

  // published.json, conditional-survival: shape 1.8, scale 900, age 600, next 100: 0.857157264523816 (computed in R)
  it("inverts the conditional survival of the reference case", () => {
    expect(longestSafeAge([{shape: 1.8, scale: 900}], 100, 0.857157264523816)).toBeCloseTo(600, 8);
  });

  it("keeps its digits where the survival itself underflows", () => {
    // published.json, conditional-survival, far tail: shape 5, scale 100, age 500, run 1: 2.36538559708011e-14
    expect(Math.exp(-hazardOfRun([{shape: 5, scale: 100}], 500, 1)) / 2.36538559708011e-14).toBeCloseTo(1, 10);
  });

  it("has no end when the hazard does not rise, and none at all when a new part misses the target", () => {
    expect(longestSafeAge([{shape: 1, scale: 5000}], 60, 0.95)).toBe(Infinity);
    expect(longestSafeAge([{shape: 1, scale: 500}], 60, 0.95)).toBeNull();
    expect(longestSafeAge([{shape: 2, scale: 100}], 60, 0.95)).toBeNull();
    expect(longestSafeAge([{shape: 0.7, scale: 50}], 60, 0.5)).toBe(Infinity);
  });

  it("takes the last age that meets the target when risk first falls, then rises", () => {
    const modes = [
      {shape: 0.5, scale: 4000},
      {shape: 4, scale: 1000},
    ];
    const age = longestSafeAge(modes, 60, 0.9)!;
    expect(Math.exp(-hazardOfRun(modes, age, 60))).toBeCloseTo(0.9, 10);
    expect(Math.exp(-hazardOfRun(modes, age * 1.01, 60))).toBeLessThan(0.9);
  });

  it("is shorter with chance failures beside wear-out", () => {
    const wear = [{shape: 3, scale: 1000}];
    const both = [...wear, {shape: 1, scale: 5000}];
    expect(longestSafeAge(both, 60, 0.95)!).toBeLessThan(longestSafeAge(wear, 60, 0.95)!);
  });

  it("is NaN for a target of 0 or 1 and for no run", () => {
    const modes = [{shape: 2, scale: 900}];
    for (const [run, target] of [
      [60, 0],
      [60, 1],
      [0, 0.9],
      [NaN, 0.9],
      [60, NaN],
    ] as const) {
      expect(longestSafeAge(modes, run, target)).toBeNaN();
    }
  });
});
