import fc from "./property.ts";
import {describe, expect, it} from "vitest";
import {
  ageOfSurvival,
  conditionalSurvival,
  cumulativeHazard,
  density,
  failureFraction,
  hazard,
  mean,
  meanResidualLife,
  quantile,
  remainingQuantile,
  restrictedMean,
  standardDeviation,
  survival,
} from "../../src/statistics/weibull.ts";
import {at, entry, expectQuantity, number} from "./reference.ts";

const anyWeibull = fc.record({
  shape: fc.double({min: 0.3, max: 12, noNaN: true}),
  scale: fc.double({min: 1e-3, max: 1e6, noNaN: true}),
});

/** Simpson's rule on 4,000 panels: slow, and independent of every closed form. */
function integral(f: (x: number) => number, a: number, b: number): number {
  const n = 4000;
  const h = (b - a) / n;
  let sum = f(a) + f(b);
  for (let i = 1; i < n; i++) sum += (i % 2 === 1 ? 4 : 2) * f(a + i * h);
  return (sum * h) / 3;
}

describe("Weibull functions", () => {
  it("mean and standardDeviation(weibull) agree with the NIST example", () => {
    // NIST/SEMATECH e-Handbook 8.4.1.2, entry nist-weibull-censored: parameters there, moments printed to 6 digits
    const {expected} = entry("nist-weibull-censored");
    const weibull = {shape: number(expected, "shape", "value"), scale: number(expected, "scale", "value")};
    expectQuantity(mean(weibull), at(expected, "mean"));
    expectQuantity(standardDeviation(weibull), at(expected, "sd"));
  });

  it("restrictedMean(age, weibull) agrees with the closed forms and the quadrature of restricted-mean", () => {
    const {expected} = entry("restricted-mean");
    expectQuantity(restrictedMean(30, {shape: 1, scale: 100}), at(expected, "shape1"));
    expectQuantity(restrictedMean(70, {shape: 2, scale: 100}), at(expected, "shape2"));
    expectQuantity(restrictedMean(50, {shape: 0.5, scale: 100}), at(expected, "shape_half"));
    expectQuantity(restrictedMean(900, {shape: 3.7, scale: 1000}), at(expected, "shape3p7"));
    expectQuantity(restrictedMean(5000, {shape: 8, scale: 1000}), at(expected, "shape8_far_tail"));
  });

  it("conditionalSurvival, remainingQuantile and meanResidualLife agree with conditional-survival", () => {
    const {inputs, expected} = entry("conditional-survival");
    const weibull = {shape: number(inputs, "shape"), scale: number(inputs, "scale")};
    const age = number(inputs, "age");
    const mission = number(inputs, "mission");
    expectQuantity(conditionalSurvival({age, mission}, weibull), at(expected, "R_conditional"));
    expectQuantity(remainingQuantile(0.1, age, weibull), at(expected, "remaining_B10"));
    expectQuantity(meanResidualLife(age, weibull), at(expected, "mean_residual_life"));
    const far = conditionalSurvival({age: 500, mission: 1}, {shape: 5, scale: 100});
    expectQuantity(far, at(expected, "far_tail_shape5_scale100_age500_mission1"));
  });

  it("quantile(p, weibull) keeps 12 digits down to p = 1e-300", () => {
    // exact: scale · p^(1/shape) to first order, the next term is p/(2·shape) relative
    for (const p of [1e-16, 1e-18, 1e-100, 1e-300]) {
      expect(quantile(p, {shape: 2, scale: 1000}) / (1000 * Math.sqrt(p))).toBeCloseTo(1, 12);
      expect(failureFraction(quantile(p, {shape: 2, scale: 1000}), {shape: 2, scale: 1000}) / p).toBeCloseTo(1, 12);
    }
  });

  it("every function gives NaN outside its domain and the limit on its edge", () => {
    const w = {shape: 2, scale: 100};
    expect(survival(-1, w)).toBeNaN();
    expect(survival(1, {shape: 0, scale: 1})).toBeNaN();
    expect(quantile(1.1, w)).toBeNaN();
    expect(quantile(0, w)).toBe(0);
    expect(quantile(1, w)).toBe(Infinity);
    expect(ageOfSurvival(1, w)).toBe(0);
    expect(hazard(0, {shape: 0.5, scale: 1})).toBe(Infinity);
    expect(hazard(0, {shape: 1, scale: 4})).toBe(0.25);
    expect(density(1e6, w)).toBe(0);
    expect(meanResidualLife(0, w)).toBeCloseTo(mean(w), 10);
    expect(meanResidualLife(Infinity, w)).toBe(0);
    expect(restrictedMean(0, w)).toBe(0);
    expect(restrictedMean(Infinity, w)).toBeCloseTo(mean(w), 10);
    expect(conditionalSurvival({age: -1, mission: 1}, w)).toBeNaN();
    expect(conditionalSurvival({age: 0, mission: 50}, w)).toBe(survival(50, w));
  });

  it("survival, quantile, hazard and density(…) obey their definitions for any Weibull", () => {
    fc.assert(
      fc.property(anyWeibull, fc.double({min: 1e-9, max: 0.999, noNaN: true}), (w, p) => {
        const age = quantile(p, w);
        expect(failureFraction(age, w)).toBeCloseTo(p, 10);
        expect(survival(age, w)).toBeCloseTo(1 - p, 10);
        expect(ageOfSurvival(1 - p, w) / age).toBeCloseTo(1, 6);
        expect(density(age, w)).toBeCloseTo(hazard(age, w) * survival(age, w), 12);
        const step = age * 1e-6;
        const slope = (cumulativeHazard(age + step, w) - cumulativeHazard(age - step, w)) / (2 * step);
        expect(slope / hazard(age, w)).toBeCloseTo(1, 5);
      }),
    );
  });

  it("restrictedMean and meanResidualLife(age, weibull) are integrals of survival for any Weibull", () => {
    fc.assert(
      fc.property(anyWeibull, fc.double({min: 0.02, max: 0.98, noNaN: true}), (w, p) => {
        const age = quantile(p, w);
        // age·v^m in place of the age takes the cusp at 0 out of the integrand
        const m = Math.ceil(5 / Math.min(1, w.shape));
        const byHand = integral((v) => survival(age * v ** m, w) * age * m * v ** (m - 1), 0, 1);
        expect(restrictedMean(age, w) / byHand).toBeCloseTo(1, 7);
        const whole = restrictedMean(age, w) + survival(age, w) * meanResidualLife(age, w);
        expect(whole / mean(w)).toBeCloseTo(1, 9);
      }),
      {numRuns: 40},
    );
  });

  it("conditionalSurvival and remainingQuantile(…) undo each other at any age", () => {
    fc.assert(
      fc.property(
        anyWeibull,
        fc.double({min: 0.01, max: 3, noNaN: true}),
        fc.double({min: 1e-6, max: 0.99, noNaN: true}),
        (w, relative, p) => {
          const age = relative * w.scale;
          const mission = remainingQuantile(p, age, w);
          expect(conditionalSurvival({age, mission}, w)).toBeCloseTo(1 - p, 8);
        },
      ),
    );
  });
});
