import {describe, expect, it} from "vitest";
import {kaplanMeier} from "../../src/statistics/kaplanMeier.ts";
import {lifeData} from "../../src/statistics/lifeData.ts";
import {turnbull, turnbullSurvival} from "../../src/statistics/turnbull.ts";
import {at, cells, entry, expectQuantity, fixtures, livesOf, numbers} from "./reference.ts";
import {seededRandom} from "./simulate.ts";

describe("turnbull(data)", () => {
  it("agrees with the isotonic regression of turbine-wheels-npmle", () => {
    const {inputs, expected} = entry("turbine-wheels-npmle");
    const hours = numbers(inputs, "hours");
    const inspected = numbers(inputs, "inspected");
    const failed = numbers(inputs, "failed");
    const data = lifeData({
      lower: [...hours.map(() => null), ...hours],
      upper: [...hours, ...hours.map(() => null)],
      weight: [...failed, ...inspected.map((n, i) => n - failed[i]!)],
    });
    const fit = turnbull(data);
    expectQuantity(
      hours.map((age) => 1 - turnbullSurvival(fit, age)),
      at(expected, "F_at_inspection"),
    );
    expect(fit.violation).toBeLessThan(1e-9);
  });

  it("agrees with R survfit as far as that one goes, and is the more likely (fixtures.json mixed, turnbull)", () => {
    const mixed = at(fixtures(), "mixed");
    const data = lifeData({
      lower: cells(mixed, "lower"),
      upper: cells(mixed, "upper"),
      weight: numbers(mixed, "weight"),
    });
    const fit = turnbull(data);
    const time = numbers(fixtures(), "turnbull", "time");
    const surv = numbers(fixtures(), "turnbull", "surv");
    const theirs = (age: number): number => time.reduce((s, t, i) => (t <= age ? surv[i]! : s), 1);
    const ours = (age: number): number => turnbullSurvival(fit, age);
    const logLikelihood = (s: (age: number) => number): number => {
      let sum = 0;
      data.lower.forEach((lower, i) => {
        const upper = data.upper[i]!;
        const above = upper === Infinity ? 0 : s(upper);
        sum += data.weight[i]! * Math.log((lower === upper ? s(lower - 1e-6) : s(lower)) - above);
      });
      return sum;
    };
    // survfit leaves the climb when masses move by less than 5e-5: its log-likelihood is 0.002 below, and it has not yet
    // decided how to share a mass of 0.02 between the intervals 287.1-292.4 and 293-296
    expect(fit.violation).toBeLessThan(1e-9);
    expect(fit.logLikelihood).toBeCloseTo(logLikelihood(ours), 9);
    expect(fit.logLikelihood).toBeGreaterThan(logLikelihood(theirs));
    expect(fit.logLikelihood - logLikelihood(theirs)).toBeLessThan(0.01);
    for (const age of data.upper.filter((upper) => upper < Infinity)) {
      expect(Math.abs(ours(age) - theirs(age))).toBeLessThan(1e-2);
    }
  });

  it("is Kaplan-Meier when every failure age is exact", () => {
    const random = seededRandom(6);
    const failed = Array.from({length: 30}, () => Math.ceil(100 * random.exponential()));
    const suspended = Array.from({length: 20}, () => Math.ceil(80 * random.exponential()));
    const data = lifeData({failed, suspended});
    const fit = turnbull(data);
    const km = kaplanMeier(data);
    km.age.forEach((age, i) => expect(turnbullSurvival(fit, age)).toBeCloseTo(km.survival[i]!, 9));
  });

  it("meets its optimality condition on random intervals, and no other curve does better", () => {
    for (let seed = 1; seed <= 8; seed++) {
      const random = seededRandom(seed);
      const lower: number[] = [];
      const upper: number[] = [];
      for (let i = 0; i < 60; i++) {
        const life = 100 * random.exponential() ** 0.5;
        const a = life * random.uniform();
        lower.push(random.uniform() < 0.2 ? 0 : a);
        upper.push(random.uniform() < 0.3 ? Infinity : life + 30 * random.uniform());
      }
      const fit = turnbull(lifeData({lower, upper}));
      expect(fit.violation).toBeLessThan(1e-7);
      expect(fit.mass.reduce((a, b) => a + b)).toBeCloseTo(1, 9);
    }
  });

  it("takes late entries as Kaplan-Meier does", () => {
    const {inputs} = entry("left-truncation-small");
    const data = livesOf(inputs);
    const fit = turnbull(data);
    const km = kaplanMeier(data);
    km.age.forEach((age, i) => expect(turnbullSurvival(fit, age)).toBeCloseTo(km.survival[i]!, 6));
  });

  it("answers no failures with an empty curve", () => {
    expect(turnbull(lifeData({suspended: [4, 5]})).mass.length).toBe(0);
    expect(turnbull(lifeData({failed: []})).cautions).toEqual(["No failures: the curve stays at 1."]);
    expect([...turnbull(lifeData({failed: [7]})).survival]).toEqual([0]);
  });
});
