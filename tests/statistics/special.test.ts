import {describe, expect, it} from "vitest";
import {
  betaQuantile,
  chiSquareCdf,
  chiSquareQuantile,
  chiSquareSurvival,
  gamma,
  gammaQuantile,
  logGamma,
  twoSidedZ,
} from "../../src/statistics/gammaFunctions.ts";
import {
  logNormalSurvival,
  normalCdf,
  normalHazard,
  normalQuantile,
  normalSurvival,
} from "../../src/statistics/normal.ts";
import {at, fixtures, numbers} from "./reference.ts";

// R 4.2 pnorm, qnorm, dnorm, qchisq, pchisq, qbeta, lgamma: tests/reference/make_fixtures.R, block "special"
const special = at(fixtures(), "special");

function expectRelative(got: number, wanted: number, within: number): void {
  expect(Math.abs(got - wanted) <= within * Math.abs(wanted), `got ${got}, R gives ${wanted}`).toBe(true);
}

describe("normal distribution", () => {
  const z = numbers(special, "z");

  it("normalSurvival(z), its log and the hazard agree with R from -37 to 37", () => {
    z.forEach((x, i) => {
      expectRelative(normalSurvival(x), numbers(special, "pnorm_upper")[i]!, 1e-13);
      expectRelative(normalCdf(x), numbers(special, "pnorm")[i]!, 1e-13);
      expectRelative(logNormalSurvival(x), numbers(special, "pnorm_upper_log")[i]!, 1e-13);
      expectRelative(normalHazard(x), numbers(special, "normal_hazard")[i]!, 2e-13);
    });
  });

  it("normalQuantile(p) agrees with R from 1e-300 to 0.9999", () => {
    numbers(special, "p").forEach((p, i) => {
      expectRelative(normalQuantile(p), numbers(special, "qnorm")[i]!, 1e-12);
    });
    expect(normalQuantile(0)).toBe(-Infinity);
    expect(normalQuantile(1)).toBe(Infinity);
    expect(normalQuantile(1.5)).toBeNaN();
    expect(twoSidedZ(0.9)).toBeCloseTo(1.6448536269514722, 13);
  });
});

describe("gamma, chi-square and beta", () => {
  it("chiSquareQuantile(p, df) agrees with R, also where the library's newer release is wrong", () => {
    // df = 2000 is a bound on a mean time after 999 failures
    const df = numbers(special, "df");
    const p = numbers(special, "chisq_p");
    df.forEach((d, i) => {
      p.forEach((x, j) => {
        const wanted = numbers(special, "qchisq", i)[j]!;
        expectRelative(chiSquareQuantile(x, d), wanted, 1e-11);
        expectRelative(chiSquareCdf(wanted, d), x, 1e-9);
        expectRelative(chiSquareSurvival(wanted, d), 1 - x, 1e-9);
      });
    });
  });

  it("chiSquareSurvival(x, 1) keeps its digits in the far tail", () => {
    numbers(special, "chisq_far_x").forEach((x, i) => {
      expectRelative(chiSquareSurvival(x, 1), numbers(special, "chisq_far")[i]!, 1e-11);
    });
  });

  it("betaQuantile(p, a, b) agrees with R, non-integer ranks included", () => {
    const a = numbers(special, "beta_a");
    const b = numbers(special, "beta_b");
    a.forEach((shape, i) => {
      for (const [j, p] of [0.05, 0.5, 0.95].entries()) {
        expectRelative(betaQuantile(p, shape, b[i]!), numbers(special, "qbeta", i)[j]!, 1e-10);
      }
    });
  });

  it("logGamma(x) agrees with R and gamma(x) with factorials", () => {
    numbers(special, "gamma_x").forEach((x, i) => {
      const wanted = numbers(special, "lgamma")[i]!;
      expect(Math.abs(logGamma(x) - wanted)).toBeLessThanOrEqual(4e-15 * Math.max(1, Math.abs(wanted)));
    });
    expect(gamma(6)).toBeCloseTo(120, 9);
  });

  it("quantiles give the ends of their range at 0 and 1 and NaN outside", () => {
    expect(gammaQuantile(0, 3)).toBe(0);
    expect(gammaQuantile(1, 3)).toBe(Infinity);
    expect(gammaQuantile(0, 3, {upper: true})).toBe(Infinity);
    expect(gammaQuantile(-1, 3)).toBeNaN();
    expect(betaQuantile(0.5, 0, 1)).toBeNaN();
  });
});
