import {describe, expect, it} from "vitest";
import {fitLife} from "../../src/statistics/fitLife.ts";
import {fitRegression, regressionAge, type RegressionFit} from "../../src/statistics/fitRegression.ts";
import {lifeData} from "../../src/statistics/lifeData.ts";
import {quantile} from "../../src/statistics/weibull.ts";
import type {Family, LifeData} from "../../src/statistics/types.ts";
import {at, cells, entry, expectQuantity, fixtures, livesOf, number, numbers} from "./reference.ts";

type Reference = Parameters<typeof at>[0];

function fitted(
  data: LifeData,
  covariates: Record<string, readonly number[]>,
  family: Family = "weibull",
): RegressionFit {
  const list = Object.entries(covariates).map(([name, values]) => ({name, values}));
  const fit = fitRegression(data, list, {family});
  if (!fit.fitted) throw new Error(fit.sentence);
  return fit;
}

function expectFit(fit: RegressionFit, expected: Reference): void {
  expectQuantity(fit.coefficients, at(expected, "coefficients"), "coefficients");
  expectQuantity(fit.spread, at(expected, "sigma"), "sigma");
  expectQuantity(fit.logLikelihood, at(expected, "logLik"), "logLik");
  expectQuantity(fit.logLikelihoodAlone, at(expected, "logLik_intercept_only"), "logLik alone");
  expectQuantity(fit.likelihoodRatio, at(expected, "LR"), "LR");
  expectQuantity(
    fit.covariance.map((row, i) => Math.sqrt(row[i]!)),
    at(expected, "se"),
    "se",
  );
  expectQuantity(fit.covariance, at(expected, "covariance"), "covariance");
}

describe("fitRegression(data, covariates) against published.json", () => {
  it("agrees with motors-weibull-linear, and with its B10 at 130 °C", () => {
    const {inputs, expected} = entry("motors-weibull-linear");
    const fit = fitted(livesOf(inputs), {temp: numbers(inputs, "temp")});
    expectFit(fit, expected);
    expectQuantity(fit.coefficients, at(expected, "published_coefficients"));
    expectQuantity(Math.log(fit.spread), at(expected, "published_log_scale"));
    expectQuantity(fit.logLikelihood, at(expected, "published_logLik"));
    expectQuantity(
      fit.covariance.map((row, i) => Math.sqrt(row[i]!)),
      at(expected, "published_se"),
    );
    const b10 = regressionAge(fit, {p: 0.1, at: [130]});
    expectQuantity(b10.age, at(expected, "B10_at_130C"));
    expectQuantity(b10.logError, at(expected, "se_log_B10_at_130C"));
    expect(b10.limits[0]).toBeLessThan(b10.age);
  });

  it("agrees with motorettes-arrhenius-lognormal, hours to base ten", () => {
    const {expected} = entry("motorettes-arrhenius-lognormal");
    // the same lives as motors-weibull-linear; location in log10 hours is in natural logs times 1 / ln 10
    const {inputs} = entry("motors-weibull-linear");
    const x = numbers(inputs, "temp").map((celsius) => 1000 / (celsius + 273.15));
    const data = livesOf(inputs);
    const fit = fitted(data, {x}, "lognormal");
    const base = Math.LN10;
    expectQuantity(
      fit.coefficients.map((b) => b / base),
      at(expected, "coefficients"),
    );
    expectQuantity([...fit.coefficients.map((b) => b / base), fit.spread / base], at(expected, "published"));
    expectQuantity(fit.spread / base, at(expected, "sigma"));
    // a log-likelihood of log10 ages: dage/dlog10 age = age · ln 10 for each of the failures
    const time = numbers(inputs, "time");
    const jacobian = numbers(inputs, "status").reduce((sum, s, i) => sum + s * Math.log(time[i]! * base), 0);
    expectQuantity(fit.logLikelihood + jacobian, at(expected, "logLik"));
    expectQuantity(fit.logLikelihoodAlone + jacobian, at(expected, "logLik_intercept_only"));
    expectQuantity(fit.likelihoodRatio, at(expected, "LR"));
    const unit = (i: number): number => (i < 2 ? 1 / base : 1);
    const covariance = fit.covariance.map((row, i) => row.map((v, j) => v * unit(i) * unit(j)));
    expectQuantity(covariance, at(expected, "covariance"));
    expectQuantity(
      covariance.map((row, i) => Math.sqrt(row[i]!)),
      at(expected, "se"),
    );
  });

  it("agrees with capacitor-weibull, additive and with interaction", () => {
    const {inputs, expected} = entry("capacitor-weibull");
    const temperature = numbers(inputs, "temperature");
    const voltage = numbers(inputs, "voltage");
    const data = livesOf(inputs);
    const additive = fitted(data, {temperature, voltage});
    const product = temperature.map((t, i) => t * voltage[i]!);
    const interaction = fitted(data, {temperature, voltage, product});
    expectFit(additive, at(expected, "additive"));
    expectFit(interaction, at(expected, "interaction"));
    const without = fitted(data, {voltage});
    const twice = (a: RegressionFit, b: RegressionFit) => 2 * (a.logLikelihood - b.logLikelihood);
    expectQuantity(twice(additive, without), at(expected, "LR_temperature"));
    expectQuantity(twice(interaction, additive), at(expected, "LR_interaction"));
  });

  it("agrees with ifluid-subset-powerlaw and nelson-insulating-fluid", () => {
    const subset = entry("ifluid-subset-powerlaw");
    const time = numbers(subset.inputs, "time");
    const logs = numbers(subset.inputs, "voltage").map(Math.log);
    expectFit(fitted(lifeData({failed: time}), {log: logs}), subset.expected);
    const full = entry("nelson-insulating-fluid");
    const kv = numbers(full.inputs, "kv").map(Math.log);
    const fit = fitted(lifeData({failed: numbers(full.inputs, "time")}), {log: kv});
    expectFit(fit, full.expected);
    expectQuantity(fit.coefficients[1]!, at(full.expected, "slope_published"));
    expectQuantity(fit.spread, at(full.expected, "sigma_published"));
  });

  it("agrees with the common-shape fit of gehan-groups", () => {
    const {inputs, expected} = entry("gehan-groups");
    const control = (at(inputs, "group") as readonly string[]).map((g) => (g === "control" ? 1 : 0));
    const fit = fitted(livesOf(inputs), {control});
    expectFit(fit, at(expected, "common_shape"));
    expectQuantity([...fit.coefficients, Math.log(fit.spread)], at(expected, "published_common_shape_fit"));
    expectQuantity(fit.logLikelihood, at(expected, "published_logLik"));
  });
});

describe("fits of every family against R survreg (fixtures.json mixed)", () => {
  const mixed = at(fixtures(), "mixed");
  const data = lifeData({lower: cells(mixed, "lower"), upper: cells(mixed, "upper"), weight: numbers(mixed, "weight")});

  it.each(["weibull", "exponential", "lognormal", "loglogistic"] as const)(
    "%s: weighted lives of every kind of censoring, with and without covariates",
    (family) => {
      const plain = at(mixed, "plain", family);
      const fit = fitLife(data, {family});
      if (!fit.fitted) throw new Error(fit.sentence);
      expectQuantity(fit.location, number(plain, "coefficients", 0));
      expectQuantity(fit.spread, number(plain, "spread"));
      expectQuantity(fit.logLikelihood, number(plain, "logLik"));
      const v = at(plain, "covariance") as readonly (readonly number[])[];
      if (family !== "exponential") {
        expectQuantity(fit.covariance[0][1], -v[0]![1]!);
        expectQuantity(fit.covariance[1][1], v[1]![1]!);
      }
      expectQuantity(fit.covariance[0][0], v[0]![0]!);

      const reference = at(mixed, "regression", family);
      const regression = fitted(data, {x: numbers(mixed, "x"), g: numbers(mixed, "g")}, family);
      expectQuantity(regression.coefficients, numbers(reference, "coefficients"));
      expectQuantity(regression.logLikelihood, number(reference, "logLik"));
      const size = family === "exponential" ? 3 : 4;
      const covariance = regression.covariance.slice(0, size).map((row) => row.slice(0, size));
      expectQuantity(covariance, at(reference, "covariance"));
    },
  );

  it.each(["weibull", "lognormal", "loglogistic"] as const)(
    "%s: left-truncated lives (fixtures.json truncated)",
    (family) => {
      const truncated = at(fixtures(), "truncated");
      const fit = fitLife(
        lifeData({
          lower: cells(truncated, "lower"),
          upper: cells(truncated, "upper"),
          weight: numbers(truncated, "weight"),
          entry: numbers(truncated, "entry"),
        }),
        {family},
      );
      if (!fit.fitted) throw new Error(fit.sentence);
      // nlminb stops near 1e-8 in the value, so near 1e-5 of a standard error in the parameters
      expect(fit.logLikelihood).toBeCloseTo(number(truncated, family, "logLik"), 7);
      expect(fit.location).toBeCloseTo(number(truncated, family, "location"), 5);
      expect(fit.spread).toBeCloseTo(number(truncated, family, "spread"), 5);
    },
  );
});

describe("fitRegression(data, covariates) on what it cannot fit", () => {
  const data = lifeData({failed: [10, 20, 30, 45], suspended: [50, 60, 70]});

  it("names a group without failures in place of a huge coefficient", () => {
    const fit = fitRegression(data, [{name: "lot B", values: [0, 0, 0, 0, 1, 1, 1]}]);
    expect(!fit.fitted && fit.reason).toBe("maximum at the border");
    expect(!fit.fitted && fit.sentence).toContain("lot B");
  });

  it("refuses a constant covariate, one that follows from others, and missing values, by name", () => {
    const constant = {name: "shop", values: [3, 3, 3, 3, 3, 3, 3]};
    const x = {name: "x", values: [1, 2, 3, 4, 5, 6, 8]};
    const twice = {name: "twice x", values: x.values.map((v) => 2 * v + 1)};
    expect(() => fitRegression(data, [constant])).toThrow("cannot tell shop apart");
    expect(() => fitRegression(data, [x, twice])).toThrow("cannot tell twice x apart");
    expect(() => fitRegression(data, [{name: "x", values: [1]}])).toThrow("7 values of x, got 1");
    expect(() => fitRegression(data, [{name: "x", values: [1, NaN, 1, 1, 1, 1, 1]}])).toThrow("finite values of x");
    expect(fitRegression(lifeData({suspended: [1, 2]}), [{name: "x", values: [1, 2]}]).fitted).toBe(false);
  });

  it("regressionAge without covariates is the quantile of the plain fit", () => {
    const fit = fitRegression(data, []);
    const plain = fitLife(data);
    if (!fit.fitted || !plain.fitted) throw new Error("not fitted");
    const age = regressionAge(fit, {p: 0.1, at: []}).age;
    expect(age).toBeCloseTo(quantile(0.1, {shape: plain.shape!, scale: plain.scale!}), 8);
    expect(() => regressionAge(fit, {p: 0.1, at: [1]})).toThrow("0 covariates, got 1");
  });
});
