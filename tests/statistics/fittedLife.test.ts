import {describe, expect, it} from "vitest";
import {fitLife} from "../../src/statistics/fitLife.ts";
import {
  fittedCumulativeHazard,
  fittedDensity,
  fittedFailureFraction,
  fittedHazard,
  fittedMean,
  fittedQuantile,
  fittedSurvival,
  paperHeight,
} from "../../src/statistics/fittedLife.ts";
import {lifeData} from "../../src/statistics/lifeData.ts";
import type {Family, LifeFit} from "../../src/statistics/types.ts";
import {density, hazard, mean, quantile, survival} from "../../src/statistics/weibull.ts";

const data = lifeData({failed: [120, 180, 210, 260, 300, 410], suspended: [150, 200, 350, 400]});

function fitted(family: Family): LifeFit {
  const fit = fitLife(data, {family});
  if (!fit.fitted) throw new Error(fit.sentence);
  return fit;
}

describe("what a fit of any family says", () => {
  it("is what weibull.ts says when the family is Weibull", () => {
    const fit = fitted("weibull");
    const weibull = {shape: fit.shape!, scale: fit.scale!};
    for (const age of [1, 90, 300, 900]) {
      expect(fittedSurvival(age, fit)).toBeCloseTo(survival(age, weibull), 12);
      expect(fittedHazard(age, fit) / hazard(age, weibull)).toBeCloseTo(1, 10);
      expect(fittedDensity(age, fit)).toBeCloseTo(density(age, weibull), 12);
    }
    expect(fittedQuantile(0.1, fit)).toBeCloseTo(quantile(0.1, weibull), 9);
    expect(fittedMean(fit)).toBeCloseTo(mean(weibull), 9);
  });

  it.each(["weibull", "exponential", "lognormal", "loglogistic"] as const)(
    "%s: the functions belong together",
    (family) => {
      const fit = fitted(family);
      for (const p of [1e-9, 0.1, 0.5, 0.99]) {
        const age = fittedQuantile(p, fit);
        expect(fittedFailureFraction(age, fit) / p).toBeCloseTo(1, 8);
        const h = age * 1e-6;
        const slope = (fittedCumulativeHazard(age + h, fit) - fittedCumulativeHazard(age - h, fit)) / (2 * h);
        expect(slope / fittedHazard(age, fit)).toBeCloseTo(1, 4);
        expect(paperHeight(p, family)).toBeCloseTo((Math.log(age) - fit.location) / fit.spread, 9);
      }
      // the mean as the integral of survival over log age, by the trapezoid on a fine grid
      // survival below the grid is 1 to a few parts in 10,000
      let sum = Math.exp(fit.location - 8 * fit.spread);
      for (let x = -8; x < 40; x += 0.002) {
        const age = Math.exp(fit.location + x * fit.spread);
        sum += fittedSurvival(age, fit) * age * fit.spread * 0.002;
      }
      expect(sum / fittedMean(fit)).toBeCloseTo(1, 3);
      expect([fittedQuantile(0, fit), fittedQuantile(1, fit)]).toEqual([0, Infinity]);
      expect(fittedQuantile(2, fit)).toBeNaN();
      expect(fittedCumulativeHazard(-1, fit)).toBeNaN();
      expect(fittedSurvival(0, fit)).toBe(1);
    },
  );
});
