import fc from "./property.ts";
import {describe, expect, it} from "vitest";
import {errorDistribution} from "../../src/statistics/errorDistribution.ts";
import {evaluate, evaluation, likelihoodRows, type Design} from "../../src/statistics/likelihood.ts";
import {lifeData} from "../../src/statistics/lifeData.ts";
import {normalSurvival} from "../../src/statistics/normal.ts";
import type {Family, LifeData} from "../../src/statistics/types.ts";

const families: readonly Family[] = ["weibull", "lognormal", "loglogistic"];

/** One life of every kind, some narrow, some late. */
const anyLives = fc
  .array(
    fc.record({
      age: fc.double({min: 5, max: 400, noNaN: true}),
      width: fc.double({min: 0.01, max: 200, noNaN: true}),
      late: fc.double({min: 0, max: 0.95, noNaN: true}),
      kind: fc.constantFrom("exact", "suspended", "interval", "left"),
      weight: fc.integer({min: 1, max: 4}),
    }),
    {minLength: 1, maxLength: 12},
  )
  .map((lives) =>
    lifeData({
      lower: lives.map(({age, kind}) => (kind === "left" ? 0 : age)),
      upper: lives.map(({age, width, kind}) =>
        kind === "suspended" ? Infinity : kind === "exact" ? age : kind === "left" ? age : age + width,
      ),
      entry: lives.map(({age, late, kind}) => (kind === "left" || late < 0.4 ? 0 : age * late)),
      weight: lives.map(({weight}) => weight),
    }),
  );

const anyTheta = fc.tuple(fc.double({min: 3.5, max: 6.5, noNaN: true}), fc.double({min: -0.7, max: 1.6, noNaN: true}));

/** Survival and density written down directly, sharing nothing with the code under test but the normal tail. */
function slowLogLikelihood(data: LifeData, family: Family, location: number, logShape: number): number {
  const k = Math.exp(logShape);
  const s = (age: number): number => {
    const z = (Math.log(age) - location) * k;
    if (family === "lognormal") return normalSurvival(z);
    if (family === "loglogistic") return 1 / (1 + Math.exp(z));
    return Math.exp(-Math.exp(z));
  };
  const f = (age: number): number => {
    const z = (Math.log(age) - location) * k;
    if (family === "lognormal") return ((k / age) * Math.exp((-z * z) / 2)) / Math.sqrt(2 * Math.PI);
    if (family === "loglogistic") return ((k / age) * Math.exp(z)) / (1 + Math.exp(z)) ** 2;
    return (k / age) * Math.exp(z - Math.exp(z));
  };
  let sum = 0;
  for (let i = 0; i < data.lower.length; i++) {
    const lower = data.lower[i]!;
    const upper = data.upper[i]!;
    const top = lower === upper ? f(lower) : s(lower) - (upper === Infinity ? 0 : s(upper));
    sum += data.weight[i]! * (Math.log(top) - Math.log(s(data.entry[i]!)));
  }
  return sum;
}

function valueAt(data: LifeData, family: Family, theta: readonly number[], design: Design | null = null) {
  const out = evaluation(theta.length);
  evaluate(likelihoodRows(data, design), errorDistribution(family), Float64Array.from(theta), out);
  return out;
}

describe("evaluate(rows, error, theta, out)", () => {
  it("gives the log-likelihood written down directly, for any lives and family", () => {
    fc.assert(
      fc.property(anyLives, anyTheta, fc.constantFrom(...families), (data, [location, logShape], family) => {
        const slow = slowLogLikelihood(data, family, location, logShape);
        fc.pre(Number.isFinite(slow) && Math.abs(slow) < 300); // beyond, the slow form has lost its digits
        expect(valueAt(data, family, [location, logShape]).value).toBeCloseTo(slow, 4);
      }),
      {numRuns: 200},
    );
  });

  it("gives the gradient and Hessian that finite differences give, for any lives, family and covariate", () => {
    fc.assert(
      fc.property(
        anyLives,
        anyTheta,
        fc.double({min: -0.5, max: 0.5, noNaN: true}),
        fc.constantFrom(...families),
        (data, [location, logShape], slope, family) => {
          const n = data.lower.length;
          const values = new Float64Array(2 * n);
          for (let i = 0; i < n; i++) {
            values[2 * i] = 1;
            values[2 * i + 1] = (i % 3) - 1;
          }
          const design: Design = {columns: 2, values};
          const theta = [location, slope, logShape];
          const here = valueAt(data, family, theta, design);
          fc.pre(Number.isFinite(here.value) && Math.abs(here.value) < 1e4);
          const h = 1e-5;
          for (let j = 0; j < 3; j++) {
            const shifted = (by: number) =>
              valueAt(
                data,
                family,
                theta.map((v, i) => (i === j ? v + by : v)),
                design,
              );
            const up = shifted(h);
            const down = shifted(-h);
            const scale = 1 + Math.abs(here.hessian[j * 3 + j]!) + Math.abs(here.value);
            expect(Math.abs((up.value - down.value) / (2 * h) - here.gradient[j]!) / scale).toBeLessThan(1e-5);
            for (let q = 0; q < 3; q++) {
              const slopeOfGradient = (up.gradient[q]! - down.gradient[q]!) / (2 * h);
              expect(Math.abs(slopeOfGradient - here.hessian[j * 3 + q]!) / scale).toBeLessThan(1e-4);
            }
          }
        },
      ),
      {numRuns: 200},
    );
  });

  it("stays exact for intervals a ten-millionth of their age wide", () => {
    // a narrow interval is worth its width times the density: log f(age) + log width
    for (const family of families) {
      const width = 1e-5;
      const narrow = valueAt(lifeData({lower: [100], upper: [100 + width]}), family, [4.7, 0.9]);
      const exact = valueAt(lifeData({failed: [100 + width / 2]}), family, [4.7, 0.9]);
      expect(narrow.value - Math.log(width)).toBeCloseTo(exact.value, 6);
      expect(narrow.gradient[0]).toBeCloseTo(exact.gradient[0]!, 6);
      expect(narrow.gradient[1]).toBeCloseTo(exact.gradient[1]!, 6);
      expect(narrow.hessian[0]).toBeCloseTo(exact.hessian[0]!, 5);
    }
  });
});
