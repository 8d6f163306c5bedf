import {describe, expect, it} from "vitest";
import {failuresNeeded} from "../../src/decisions/failuresNeeded.ts";
import {drawLimits, drawMean, drawQuantile} from "../../src/decisions/spread.ts";
import {zeroFailureScale} from "../../src/decisions/zeroFailureScale.ts";

describe("zeroFailureScale(ages, shape, confidence)", () => {
  // published.json, zero-failure-given-shape: Nelson 1985 (method from memory), numbers analytic
  it("agrees with the assumed-shape method", () => {
    const ages = [1500, 1750, 2000, 2000, 1200];
    expect(zeroFailureScale(ages, 2, 0.95) / 2219.12268267392).toBeCloseTo(1, 9);
    expect(zeroFailureScale(ages, 2, 0.9) / 2531.19128954683).toBeCloseTo(1, 9);
    expect(zeroFailureScale(ages, 2, 0.5) / 4613.38905694224).toBeCloseTo(1, 9);
  });

  it("counts only what was lived under observation", () => {
    expect(zeroFailureScale([300, 300], 1, 0.9, [100, 0])).toBeCloseTo(500 / Math.log(10), 9);
    expect(zeroFailureScale([], 2, 0.9)).toBe(0);
    expect(zeroFailureScale([100], 0, 0.9)).toBeNaN();
    expect(zeroFailureScale([100], 2, 1)).toBeNaN();
  });
});

describe("failuresNeeded(shape, confidence, power)", () => {
  it("is the number at which the asymptotic lower limit passes 1 with the power asked for", () => {
    // (1.6449 + 0.8416)² · 0.6079 / (ln 2)² = 7.82
    expect(failuresNeeded(2, 0.95)).toBe(8);
    expect(failuresNeeded(1.3, 0.95)).toBe(Math.ceil((2.486475 ** 2 * 0.607927) / Math.log(1.3) ** 2));
    expect(failuresNeeded(1, 0.95)).toBe(Infinity);
    expect(failuresNeeded(5, 0.95)).toBe(2);
  });
});

describe("limits of draws", () => {
  it("leave the right share outside, and are null among infinite draws", () => {
    const draws = Float64Array.from({length: 1000}, (_, i) => (i * 617) % 1000);
    expect(drawLimits(draws, 0.9).map((end) => Number(end?.toFixed(9)))).toEqual([49.5, 949.5]);
    expect(drawQuantile(draws, 0.5)).toBe(499.5);
    expect(drawMean(draws)).toBe(499.5);
    expect(drawLimits([1, 2, 3, Infinity, Infinity, Infinity], 0.8)).toEqual([expect.closeTo(1.1, 9), null]);
    expect(drawLimits([Infinity, Infinity], 0.9)).toEqual([null, null]);
    expect(drawLimits([], 0.9)).toEqual([null, null]);
  });
});
