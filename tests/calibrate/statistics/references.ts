import {fitLife} from "../../../src/statistics/fitLife.ts";
import {ageLimits, scaleLimits, shapeLimits} from "../../../src/statistics/lifeLimits.ts";
import {fitRegression} from "../../../src/statistics/fitRegression.ts";
import {lifeData} from "../../../src/statistics/lifeData.ts";
import type {Family, LifeFit} from "../../../src/statistics/types.ts";
import {at, cells, entry, fixtures, livesOf, number, numbers} from "../../statistics/reference.ts";
import {table} from "./tally.ts";

type Json = Parameters<typeof at>[0];

/** Largest relative error of what was computed against a reference, number by number. */
function worst(pairs: readonly (readonly [got: number, reference: number])[]): string {
  return Math.max(...pairs.map(([got, reference]) => Math.abs(got / reference - 1))).toExponential(1);
}

const value = (expected: Json, name: string): number => number(expected, name, "value");

/** Prints the largest relative error of estimates, log-likelihood, covariance and limits against each reference fit. */
export function references(print: (text: string) => void): void {
  print(
    "Largest relative error against the references (tests/reference): estimates, log-likelihood, covariance, 90 and 95 % limits.",
  );
  const rows = [["entry", "estimates", "log-likelihood", "covariance", "limits"]];
  for (const id of [
    "nist-weibull-censored-limits",
    "genfan-survreg",
    "nelson-part-cracking",
    "cracks-days",
    "turbine-wheels",
  ]) {
    const {inputs, expected} = entry(id);
    const data = livesOf(inputs);
    const fit = fitLife(data) as LifeFit;
    const limits: [number, number][] = [];
    for (const [level, name] of [
      [0.9, "90"],
      [0.95, "95"],
    ] as const) {
      for (const by of ["likelihood", "normal"] as const) {
        const kind = `${by === "likelihood" ? "profile" : "normal"}_${name}`;
        for (const [figure, result] of [
          ["shape", shapeLimits(data, fit, {level, by})],
          ["scale", scaleLimits(data, fit, {level, by})],
          ["B10", ageLimits(data, fit, 0.1, {level, by})],
        ] as const) {
          const reference = numbers(expected, `${figure}_${kind}`, "value");
          result.limits.forEach((end, i) => limits.push([end ?? NaN, reference[i]!]));
        }
      }
    }
    rows.push([
      id,
      worst([
        [fit.shape!, value(expected, "shape")],
        [fit.scale!, value(expected, "scale")],
      ]),
      worst([[fit.logLikelihood, value(expected, "logLik")]]),
      worst([
        [fit.covariance[0][0], value(expected, "var_log_scale")],
        [fit.covariance[1][1], value(expected, "var_log_shape")],
        [fit.covariance[0][1], value(expected, "cov_log_scale_log_shape")],
      ]),
      worst(limits),
    ]);
  }
  for (const id of ["survreg-trap", "left-truncation-small"]) {
    const {inputs, expected} = entry(id);
    const fit = fitLife(livesOf(inputs)) as LifeFit;
    const estimates = [
      [fit.shape!, value(expected, "shape")],
      [fit.scale!, value(expected, "scale")],
    ] as const;
    rows.push([id, worst(estimates), worst([[fit.logLikelihood, value(expected, "logLik")]])]);
  }
  const {inputs, expected} = entry("motors-weibull-linear");
  rows.push(regressionRow("motors-weibull-linear", livesOf(inputs), {temp: numbers(inputs, "temp")}, expected));
  const capacitor = entry("capacitor-weibull");
  const temperature = numbers(capacitor.inputs, "temperature");
  const voltage = numbers(capacitor.inputs, "voltage");
  const product = temperature.map((t, i) => t * voltage[i]!);
  const lives = livesOf(capacitor.inputs);
  rows.push(
    regressionRow("capacitor-weibull", lives, {temperature, voltage, product}, at(capacitor.expected, "interaction")),
  );
  const fluid = entry("nelson-insulating-fluid");
  const kv = numbers(fluid.inputs, "kv").map(Math.log);
  rows.push(
    regressionRow("nelson-insulating-fluid", lifeData({failed: numbers(fluid.inputs, "time")}), {kv}, fluid.expected),
  );

  const mixed = at(fixtures(), "mixed");
  const data = lifeData({lower: cells(mixed, "lower"), upper: cells(mixed, "upper"), weight: numbers(mixed, "weight")});
  for (const family of ["weibull", "exponential", "lognormal", "loglogistic"] as Family[]) {
    const plain = at(mixed, "plain", family);
    const fit = fitLife(data, {family}) as LifeFit;
    rows.push([
      `survreg, mixed censoring, ${family}`,
      worst([
        [fit.location, number(plain, "coefficients", 0)],
        [fit.spread, number(plain, "spread")],
      ]),
      worst([[fit.logLikelihood, number(plain, "logLik")]]),
      worst([[fit.covariance[0][0], number(plain, "covariance", 0, 0)]]),
    ]);
  }
  print(table(rows));
}

function regressionRow(
  id: string,
  data: ReturnType<typeof livesOf>,
  covariates: Record<string, readonly number[]>,
  expected: Json,
): string[] {
  const fit = fitRegression(
    data,
    Object.entries(covariates).map(([name, values]) => ({name, values})),
  );
  if (!fit.fitted) return [id, fit.sentence];
  const coefficients = numbers(expected, "coefficients", "value");
  const covariance = at(expected, "covariance", "value") as readonly (readonly number[])[];
  return [
    id,
    worst([[fit.spread, value(expected, "sigma")], ...fit.coefficients.map((b, j) => [b, coefficients[j]!] as const)]),
    worst([[fit.logLikelihood, value(expected, "logLik")]]),
    worst(fit.covariance.flatMap((row, i) => row.map((v, j) => [v, covariance[i]![j]!] as const))),
  ];
}
