import {describe, expect, it} from "vitest";
import fc from "fast-check";
import {bestAge, costRate, optimalityAt} from "../../src/decisions/ageReplacement.ts";
import {integrate} from "../../src/decisions/integrate.ts";
import {competingLife, type Life} from "../../src/decisions/life.ts";
import {normalCdf, normalSurvival} from "../../src/statistics/normal.ts";
import published from "../reference/published.json";

const entry = (id: string): unknown => {
  const found = published.find((e) => e.id === id)?.expected;
  if (found === undefined) throw new Error(`published.json has no entry ${id}`);
  return found;
};

/** Life spread evenly over 0..end. */
const uniformLife = (end: number): Life => ({
  survival: (age) => Math.max(0, 1 - age / end),
  failed: (age) => Math.min(1, age / end),
  hazard: (age) => (age < end ? 1 / (end - age) : Infinity),
  restrictedMean: (age) => {
    const to = Math.min(age, end);
    return to - to ** 2 / (2 * end);
  },
  typicalAge: end / 2,
});

/** Normal life cut off at 0. */
const normalLife = (mean: number, sd: number): Life => {
  const above = normalCdf(mean / sd);
  const survival = (age: number): number => normalSurvival((age - mean) / sd) / above;
  return {
    survival,
    failed: (age) => 1 - survival(age),
    hazard: (age) =>
      Math.exp(-(((age - mean) / sd) ** 2) / 2) / (Math.sqrt(2 * Math.PI) * sd * normalSurvival((age - mean) / sd)),
    restrictedMean: (age) => {
      const to = Math.min(age, mean + 10 * sd);
      let sum = 0;
      for (let from = 0; from < to; from += sd) sum += integrate(survival, from, Math.min(from + sd, to));
      return sum;
    },
    typicalAge: mean,
  };
};

interface Value<T> {
  readonly value: T;
}

describe("published cases", () => {
  // Jardine & Tsang, Maintenance, Replacement, and Reliability, 2nd ed., CRC Press 2013, ch. 2 problem 2 (published.json)
  it("costRate(age, uniform) and bestAge agree with Jardine & Tsang, chapter 2 problem 2", () => {
    const expected = entry("age-replacement-uniform") as {
      cost_rate_at: {T: number[]; rate: Value<number[]> & {published: string[]}};
      T_opt_continuous: Value<number>;
    };
    const life = uniformLife(40000);
    const costs = {planned: 100, failure: 200};
    expected.cost_rate_at.T.forEach((age, i) => {
      expect(costRate(age, life, costs)).toBeCloseTo(expected.cost_rate_at.rate.value[i]!, 12);
      expect(costRate(age, life, costs).toFixed(4)).toBe(Number(expected.cost_rate_at.rate.published[i]).toFixed(4));
    });
    const best = bestAge(life, costs);
    expect(best.found && best.age / expected.T_opt_continuous.value).toBeCloseTo(1, 9);
  });

  // Jardine & Tsang, section 2.5; inputs and the 4-week answer from memory, costs computed with R 4.2.2 (published.json)
  it("costRate(age, normal) and bestAge agree with Jardine & Tsang, section 2.5", () => {
    const expected = entry("age-replacement-normal") as {
      cost_rate_weeks_1_to_6: Value<number[]>;
      T_opt: Value<number>;
      cost_rate_opt: Value<number>;
    };
    const life = normalLife(5, 1);
    const costs = {planned: 5, failure: 10};
    expected.cost_rate_weeks_1_to_6.value.forEach((rate, i) => {
      expect(costRate(i + 1, life, costs) / rate).toBeCloseTo(1, 7);
    });
    const best = bestAge(life, costs);
    expect(best.found && best.age / expected.T_opt.value).toBeCloseTo(1, 6);
    expect(best.found && best.costRate / expected.cost_rate_opt.value).toBeCloseTo(1, 7);
  });

  // optimality condition of Barlow & Proschan 1965, ch. 4; numbers by R's uniroot and pgamma (published.json)
  it("bestAge(weibull, costs) agrees with the root found by R", () => {
    const {cases} = entry("age-replacement-weibull") as {
      cases: {
        shape: number;
        cp: number;
        cf: number;
        T_opt_over_scale: Value<number>;
        cost_rate_times_scale: Value<number>;
        run_to_failure_times_scale: Value<number>;
      }[];
    };
    for (const {shape, cp, cf, ...known} of cases) {
      const best = bestAge(competingLife([{shape, scale: 1000}]), {planned: cp, failure: cf});
      if (!best.found) throw new Error(best.reason);
      expect(best.age / 1000 / known.T_opt_over_scale.value).toBeCloseTo(1, 7);
      expect((best.costRate * 1000) / known.cost_rate_times_scale.value).toBeCloseTo(1, 7);
      expect((best.runToFailure * 1000) / known.run_to_failure_times_scale.value).toBeCloseTo(1, 7);
    }
  });

  // table computed for the trade notes of this project by another program; one unit in the last digit printed there
  it.each([
    [1.5, 5, 0.6755, 0.89],
    [1.5, 10, 0.3781, 0.749],
    [1.5, 50, 0.1192, 0.458],
    [2, 5, 0.5107, 0.724],
    [2, 10, 0.3365, 0.537],
    [2, 50, 0.1431, 0.249],
    [2.5, 5, 0.493, 0.614],
    [2.5, 10, 0.3546, 0.422],
    [2.5, 50, 0.1794, 0.165],
    [3, 5, 0.5026, 0.541],
    [3, 10, 0.3825, 0.353],
    [3, 50, 0.217, 0.124],
    [4, 5, 0.5384, 0.453],
    [4, 10, 0.4391, 0.276],
    [4, 50, 0.2872, 0.084],
  ])(
    "bestAge: shape %d, failure %d times planned: %d of the scale, %d of the cost of running to failure",
    (shape, ratio, age, cost) => {
      const best = bestAge(competingLife([{shape, scale: 1}]), {planned: 1, failure: ratio});
      if (!best.found) throw new Error(best.reason);
      expect(Math.abs(best.age - age)).toBeLessThan(1e-4);
      expect(Math.abs(best.costRate / best.runToFailure - cost)).toBeLessThan(1e-3);
    },
  );
});

describe("laws", () => {
  it("bestAge meets the optimality condition, and the cost there is (failure − planned) · hazard", () => {
    fc.assert(
      fc.property(
        fc.double({min: 1.05, max: 8, noNaN: true}),
        fc.double({min: 1, max: 1e5, noNaN: true}),
        fc.double({min: 1.05, max: 500, noNaN: true}),
        (shape, scale, ratio) => {
          const life = competingLife([{shape, scale}]);
          const best = bestAge(life, {planned: 3, failure: 3 * ratio});
          if (!best.found) return best.reason === "hazard does not rise enough"; // the saving is below the last digit
          expect(optimalityAt(best.age, life) * (ratio - 1)).toBeCloseTo(1, 8);
          expect(best.costRate / (3 * (ratio - 1) * life.hazard(best.age))).toBeCloseTo(1, 8);
          expect(best.costRate).toBeLessThanOrEqual(best.runToFailure);
          return true;
        },
      ),
      {numRuns: 100, seed: 7},
    );
  });

  // no memory: g(T) = (Cp R + Cf F) λ / F falls for ever, so no age is best
  it("bestAge(exponential) finds no age, nor does a falling hazard", () => {
    for (const shape of [0.6, 1]) {
      const best = bestAge(competingLife([{shape, scale: 500}]), {planned: 1, failure: 100});
      expect(best).toMatchObject({found: false, reason: "hazard does not rise enough"});
    }
  });

  // when every part dies at 1000 h, renewing just before costs planned / 1000 and never fails
  it("bestAge approaches the life itself when life is all but fixed", () => {
    const best = bestAge(competingLife([{shape: 400, scale: 1000}]), {planned: 10, failure: 1000});
    if (!best.found) throw new Error(best.reason);
    expect(best.age).toBeGreaterThan(960);
    expect(best.age).toBeLessThan(1000);
    expect(best.costRate).toBeGreaterThan(0.01);
    expect(best.costRate).toBeLessThan(0.0104);
  });

  it("bestAge with chance failures beside wear-out renews later, and pays more", () => {
    const costs = {planned: 750, failure: 20000};
    const wear = bestAge(competingLife([{shape: 2.6, scale: 1700}]), costs);
    const both = bestAge(
      competingLife([
        {shape: 2.6, scale: 1700},
        {shape: 1, scale: 14000},
      ]),
      costs,
    );
    if (!wear.found || !both.found) throw new Error("no best age");
    // a constant hazard λ adds λ(∫R) − (its failures) to the condition, which is below 0: the root moves up a little
    expect(both.age).toBeGreaterThan(wear.age);
    expect(both.age / wear.age).toBeLessThan(1.05);
    expect(both.costRate).toBeGreaterThan(wear.costRate);
  });

  it("bestAge names why there is none when failure is not dearer or renewal is free", () => {
    const life = competingLife([{shape: 3, scale: 500}]);
    expect(bestAge(life, {planned: 9, failure: 4})).toMatchObject({reason: "failure not dearer than planned"});
    expect(bestAge(life, {planned: 4, failure: 4})).toMatchObject({reason: "failure not dearer than planned"});
    expect(bestAge(life, {planned: 0, failure: 4})).toMatchObject({reason: "planned renewal costs nothing"});
  });

  it("costRate outside its domain is NaN", () => {
    const life = competingLife([{shape: 3, scale: 500}]);
    expect(costRate(0, life, {planned: 1, failure: 2})).toBeNaN();
    expect(costRate(-1, life, {planned: 1, failure: 2})).toBeNaN();
    expect(costRate(Infinity, life, {planned: 1, failure: 2})).toBeCloseTo(2 / life.restrictedMean(Infinity), 12);
  });
});
