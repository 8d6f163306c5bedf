import {describe, expect, it} from "vitest";
import {meanCumulative, meanCumulativeDifference} from "../../src/statistics/meanCumulative.ts";
import {fitPowerLaw, powerLawIntensity} from "../../src/statistics/powerLaw.ts";
import {repairHistory} from "../../src/statistics/repairHistory.ts";
import {handbookTest, laplaceTest, reverseArrangements} from "../../src/statistics/trendTests.ts";
import {at, entry, expectQuantity, fixtures, number, numbers} from "./reference.ts";
import {seededRandom} from "./simulate.ts";

/** Systems and their events by the numbers an entry gives them. */
function valveSeats() {
  const {inputs} = entry("valve-seat-mcf");
  const ids = numbers(inputs, "ends", "id");
  const code = new Map(ids.map((id, i) => [id, i]));
  return repairHistory({
    end: numbers(inputs, "ends", "time"),
    system: numbers(inputs, "events", "id").map((id) => code.get(id)!),
    age: numbers(inputs, "events", "time"),
  });
}

describe("meanCumulative(history)", () => {
  it("agrees with valve-seat-mcf: mean, robust errors, systems at risk", () => {
    const {expected} = entry("valve-seat-mcf");
    const found = meanCumulative(valveSeats());
    expectQuantity(found.age, numbers(expected, "time"));
    expectQuantity(found.atRisk, numbers(expected, "n_risk"));
    expectQuantity(found.events, numbers(expected, "n_event"));
    expectQuantity(found.mean, at(expected, "mcf"));
    expectQuantity(found.standardError, at(expected, "robust_se"));
    found.mean.forEach((m, s) => {
      expect(found.lower[s]! * found.upper[s]!).toBeCloseTo(m * m, 9);
    });
  });

  it("of systems that each fail once at the same age jumps by their share", () => {
    const found = meanCumulative(repairHistory({end: [10, 10, 10, 10], system: [0, 1], age: [5, 5]}));
    expect(found.mean[0]).toBe(0.5);
    // binomial variance 0.5·0.5/4
    expect(found.standardError[0]).toBeCloseTo(0.25, 12);
    expect(meanCumulative(repairHistory({end: [10], system: [], age: []})).cautions).toContain(
      "No failures: the curve stays at 0.",
    );
  });

  it("meanCumulativeDifference is the difference, with variances added, and ends with the shorter group", () => {
    const all = valveSeats();
    const of = (keep: (i: number) => boolean) => {
      const systems = Array.from(all.end.keys()).filter(keep);
      const rows = Array.from(all.age.keys()).filter((j) => keep(all.system[j]!));
      return repairHistory({
        end: systems.map((i) => all.end[i]!),
        system: rows.map((j) => systems.indexOf(all.system[j]!)),
        age: rows.map((j) => all.age[j]!),
      });
    };
    const even = of((i) => i % 2 === 0);
    const odd = of((i) => i % 2 === 1);
    const found = meanCumulativeDifference(even, odd);
    const a = meanCumulative(even);
    const b = meanCumulative(odd);
    const last = found.age.length - 1;
    const upTo = (curve: typeof a, values: Float64Array) =>
      values[curve.age.filter((t) => t <= found.age[last]!).length - 1]!;
    expect(found.difference[last]).toBeCloseTo(upTo(a, a.mean) - upTo(b, b.mean), 12);
    expect(found.standardError[last]).toBeCloseTo(Math.hypot(upTo(a, a.standardError), upTo(b, b.standardError)), 12);
    expect(found.age[last]).toBeLessThanOrEqual(found.until);
  });
});

describe("fitPowerLaw(history)", () => {
  it("agrees with mil-hdbk-189-single-system", () => {
    const {inputs, expected} = entry("mil-hdbk-189-single-system");
    const age = numbers(inputs, "times");
    const history = repairHistory({end: [number(inputs, "T")], system: age.map(() => 0), age});
    const fit = fitPowerLaw(history);
    if (!fit.fitted) throw new Error(fit.sentence);
    expectQuantity(fit.shape, at(expected, "beta"));
    expectQuantity(fit.rate, at(expected, "lambda"));
    expectQuantity(fit.unbiasedShape, at(expected, "beta_unbiased"));
    expectQuantity(fit.logLikelihood, at(expected, "logLik"));
    expectQuantity(fit.shapeLimits, at(expected, "beta_exact_90"));
    const {intensity, limits} = powerLawIntensity(fit, 300);
    expectQuantity(intensity, at(expected, "intensity_at_T"));
    expectQuantity(1 / intensity, at(expected, "mtbf_at_T"));
    expect(limits[0]).toBeLessThan(intensity);
    expectQuantity(laplaceTest(history)!.statistic, at(expected, "laplace_z"));
    const handbook = handbookTest(history)!;
    expectQuantity(handbook.statistic, at(expected, "milhdbk_chi2"));
    expect(handbook.degreesOfFreedom).toBe(at(expected, "milhdbk_df"));
    expectQuantity(handbook.pLow, at(expected, "milhdbk_p_lower_tail"));
  });

  it("agrees with crow-three-systems", () => {
    const {inputs, expected} = entry("crow-three-systems");
    const systems = at(inputs, "systems") as readonly (readonly number[])[];
    const history = repairHistory({
      end: systems.map(() => number(inputs, "T")),
      system: systems.flatMap((list, i) => list.map(() => i)),
      age: systems.flat(),
    });
    const fit = fitPowerLaw(history);
    if (!fit.fitted) throw new Error(fit.sentence);
    expect(fit.events).toBe(number(expected, "N"));
    expectQuantity(fit.shape, at(expected, "beta"));
    expectQuantity(fit.rate, at(expected, "lambda"));
    expectQuantity(laplaceTest(history)!.statistic, at(expected, "laplace_z"));
  });

  it("has the information that differences of its log-likelihood have, with unequal spans and late starts", () => {
    const random = seededRandom(11);
    const start = [0, 30, 0, 50];
    const end = [200, 260, 150, 300];
    const system: number[] = [];
    const age: number[] = [];
    end.forEach((e, i) => {
      for (let h = (start[i]! / 60) ** 1.5; ;) {
        h += random.exponential();
        const t = 60 * h ** (1 / 1.5);
        if (t > e) break;
        system.push(i);
        age.push(t);
      }
    });
    const fit = fitPowerLaw(repairHistory({start, end, system, age}));
    if (!fit.fitted) throw new Error(fit.sentence);
    const logLikelihood = (a: number, b: number): number => {
      const [rate, shape] = [Math.exp(a), Math.exp(b)];
      const events = age.reduce((sum, t) => sum + Math.log(rate * shape) + (shape - 1) * Math.log(t), 0);
      return events - end.reduce((sum, e, i) => sum + rate * (e ** shape - start[i]! ** shape), 0);
    };
    const [a, b] = [Math.log(fit.rate), Math.log(fit.shape)];
    expect(logLikelihood(a, b)).toBeCloseTo(fit.logLikelihood, 8);
    const h = 1e-4;
    const second = (f: (x: number) => number): number => -(f(h) - 2 * f(0) + f(-h)) / (h * h);
    const aa = second((x) => logLikelihood(a + x, b));
    const bb = second((x) => logLikelihood(a, b + x));
    const ab = (second((x) => logLikelihood(a + x, b + x)) - aa - bb) / 2;
    const determinant = aa * bb - ab * ab;
    expect(fit.covariance[0][0] / (bb / determinant)).toBeCloseTo(1, 4);
    expect(fit.covariance[1][1] / (aa / determinant)).toBeCloseTo(1, 4);
    expect(fit.covariance[0][1] / (-ab / determinant)).toBeCloseTo(1, 4);
    expect(fit.limitsBy).toBe("normal");
  });

  it("names why it cannot fit", () => {
    const one = fitPowerLaw(repairHistory({end: [10], system: [0], age: [5]}));
    expect(!one.fitted && one.sentence).toContain("at least two failures, got 1");
    const end = fitPowerLaw(repairHistory({end: [10], system: [0, 0], age: [10, 10]}));
    expect(!end.fitted && end.sentence).toContain("end of observation");
  });
});

describe("tests of no trend", () => {
  it("agree with nist-trend-tests", () => {
    const {inputs, expected} = entry("nist-trend-tests");
    const age = numbers(inputs, "times");
    const history = repairHistory({end: [number(inputs, "T")], system: age.map(() => 0), age});
    const gaps = age.map((t, i) => t - (i === 0 ? 0 : age[i - 1]!));
    expectQuantity(reverseArrangements(gaps)!.statistic, at(expected, "reverse_arrangements"));
    const handbook = handbookTest(history)!;
    expectQuantity(handbook.statistic, at(expected, "milhdbk_chi2"));
    expect(handbook.degreesOfFreedom).toBe(at(expected, "milhdbk_df"));
    expectQuantity(handbook.pHigh, at(expected, "milhdbk_p_no_trend_upper_tail"));
    const laplace = laplaceTest(history)!;
    expectQuantity(laplace.statistic, at(expected, "laplace_z"));
    expectQuantity(laplace.pTwoSided, at(expected, "laplace_p_two_sided"));
    expect([handbook.direction, laplace.direction]).toEqual(["failing less often", "failing less often"]);
    const fit = fitPowerLaw(history);
    expectQuantity(fit.fitted && fit.shape, at(expected, "beta_mle"));
    expectQuantity(fit.fitted && fit.rate, at(expected, "lambda_mle"));
  });

  it("reverseArrangements has Kendall's exact chances (fixtures.json kendall)", () => {
    const chances = numbers(fixtures(), "kendall", "probability");
    const sum = (from: number, to: number) => chances.slice(from, to).reduce((a, b) => a + b, 0);
    // ten gaps with 33 such pairs, as in the NIST example
    const found = reverseArrangements([5, 35, 3, 132, 214, 323, 35, 48, 504, 179])!;
    expect(found.statistic).toBe(33);
    expect(found.pHigh).toBeCloseTo(sum(33, chances.length), 10);
    expect(found.pLow).toBeCloseTo(sum(0, 34), 10);
    expect(reverseArrangements([3])).toBeNull();
  });

  it("say nothing where they have nothing to go on", () => {
    const empty = repairHistory({end: [10], system: [], age: []});
    expect(laplaceTest(empty)).toBeNull();
    expect(handbookTest(empty)).toBeNull();
    expect(handbookTest(repairHistory({start: [5], end: [10], system: [0], age: [7]}))).toBeNull();
    // ended by a failure: the last one is part of the plan
    const ended = repairHistory({end: [10], system: [0, 0], age: [4, 10]});
    expect(handbookTest(ended, {endedBy: "failure"})!.degreesOfFreedom).toBe(2);
  });
});

describe("repairHistory(columns)", () => {
  it("refuses what cannot be, by system or event", () => {
    expect(() => repairHistory({end: [0], system: [], age: []})).toThrow(
      "system 0: requires 0 <= start < end, got 0 and 0",
    );
    expect(() => repairHistory({end: [10], system: [3], age: [5]})).toThrow("no system 3 among 1");
    expect(() => repairHistory({end: [10], system: [0], age: [11]})).toThrow("age 11 is outside");
    expect(() => repairHistory({end: [10], system: [0], age: []})).toThrow("each of 0 events, got 1");
  });
});
