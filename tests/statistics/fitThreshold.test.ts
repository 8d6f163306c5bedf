import {describe, expect, it} from "vitest";
import {fitThreshold} from "../../src/statistics/fitThreshold.ts";
import {lifeData} from "../../src/statistics/lifeData.ts";
import {at, fixtures, livesOf, number} from "./reference.ts";
import {seededRandom} from "./simulate.ts";

describe("fitThreshold(data)", () => {
  it("agrees with a profile made in R (fixtures.json threshold)", () => {
    const reference = at(fixtures(), "threshold");
    const fit = fitThreshold(livesOf(reference));
    if (!fit.fitted) throw new Error(fit.sentence);
    // the profile is flat at its top: R's optimize gives the threshold to about 1e-5 of its value
    expect(fit.logLikelihood).toBeCloseTo(number(reference, "logLik"), 7);
    expect(fit.threshold / number(reference, "threshold")).toBeCloseTo(1, 4);
    expect(fit.weibull.shape / number(reference, "shape")).toBeCloseTo(1, 4);
    expect(fit.weibull.scale / number(reference, "scale")).toBeCloseTo(1, 4);
    const [low, high] = fit.thresholdLimits;
    expect(low).toBeGreaterThan(0);
    expect(low).toBeLessThan(fit.threshold);
    expect(high).toBeGreaterThan(fit.threshold);
    expect(fit.p).toBeLessThan(0.05);
    expect(fit.cautions[0]).toContain("no part can fail before it");
  });

  it("shows no threshold where there is none", () => {
    const random = seededRandom(8);
    const failed = Array.from({length: 60}, () => 100 * random.exponential() ** (1 / 1.2));
    const fit = fitThreshold(lifeData({failed}));
    if (!fit.fitted) throw new Error(fit.sentence);
    expect(fit.thresholdLimits[0]).toBe(0);
    expect(fit.cautions.join()).toContain("do not show a threshold");
    expect(fit.logLikelihood).toBeGreaterThanOrEqual(fit.without.logLikelihood - 1e-9);
  });

  it("says when the likelihood only rises toward the first failure", () => {
    const fit = fitThreshold(lifeData({failed: [100, 101, 103, 107, 115, 131, 163, 227, 400]}));
    if (!fit.fitted) throw new Error(fit.sentence);
    expect(fit.cautions.join()).toContain("no regular maximum");
    expect(fit.weibull.shape).toBeGreaterThanOrEqual(1);
  });

  it("passes on why there is no two-parameter fit", () => {
    const fit = fitThreshold(lifeData({suspended: [5]}));
    expect(!fit.fitted && fit.reason).toBe("no failures");
  });
});
