import {describe, expect, it} from "vitest";
import {runToEnd} from "../../src/statistics/bootstrapLife.ts";
import {compareFamilies} from "../../src/statistics/compareFamilies.ts";
import {compareGroups} from "../../src/statistics/compareGroups.ts";
import {andersonDarling, checkFit} from "../../src/statistics/fitCheck.ts";
import {fitLife} from "../../src/statistics/fitLife.ts";
import {lifeData} from "../../src/statistics/lifeData.ts";
import {nelsonAalen} from "../../src/statistics/kaplanMeier.ts";
import {coxSnellResiduals} from "../../src/statistics/residuals.ts";
import type {LifeData, LifeFit} from "../../src/statistics/types.ts";
import {at, entry, expectQuantity, livesOf} from "./reference.ts";
import {seededRandom} from "./simulate.ts";

function fitted(data: LifeData, options = {}): LifeFit {
  const fit = fitLife(data, options);
  if (!fit.fitted) throw new Error(fit.sentence);
  return fit;
}

describe("compareFamilies(data)", () => {
  it("puts the family with the least AICc first, with weights that add to 1", () => {
    const {inputs, expected} = entry("nist-weibull-censored");
    const rows = compareFamilies(livesOf(inputs));
    expect(rows.map((r) => r.family)).toContain("loglogistic");
    expect(rows[0]!.behind).toBe(0);
    expect(rows.reduce((sum, r) => sum + r.weight!, 0)).toBeCloseTo(1, 12);
    // both families have two parameters, so their AIC differ as their AICc do; NIST prints the AIC
    const aicc = (family: string) => rows.find((r) => r.family === family)!.aicc!;
    const printed = (at(expected, "lognormal_AIC", "value") as number) - (at(expected, "AIC", "value") as number);
    expect(aicc("lognormal") - aicc("weibull")).toBeCloseTo(printed, 6);
  });

  it("lists a family that cannot be fitted with its reason", () => {
    const rows = compareFamilies(lifeData({failed: [100, 100]}));
    expect(rows.filter((r) => r.fit.fitted).map((r) => r.family)).toEqual(["exponential"]);
    expect(rows.filter((r) => !r.fit.fitted).every((r) => r.weight === null)).toBe(true);
  });
});

describe("coxSnellResiduals(data, fit)", () => {
  it("fit a unit exponential exactly: shape 1 and scale 1 is their own maximum", () => {
    // the likelihood is unchanged by the transform, so its maximum is at the identity
    const data = livesOf(entry("nelson-part-cracking").inputs);
    for (const family of ["weibull"] as const) {
      const residuals = coxSnellResiduals(data, fitted(data, {family}));
      const again = fitted(residuals);
      expect(again.shape).toBeCloseTo(1, 9);
      expect(again.scale).toBeCloseTo(1, 9);
    }
    const exact = livesOf(entry("genfan-survreg").inputs);
    const curve = nelsonAalen(coxSnellResiduals(exact, fitted(exact)));
    // the Nelson-Aalen curve of residuals stays near the diagonal for this good fit
    curve.age.forEach((r, i) => expect(Math.abs(curve.cumulativeHazard[i]! - r)).toBeLessThan(0.12));
  });
});

describe("andersonDarling and checkFit(data, fit)", () => {
  const random = seededRandom(17);
  const weibull = (n: number, shape: number) =>
    Array.from({length: n}, () => 100 * random.exponential() ** (1 / shape));

  it("is Anderson and Darling's statistic when every life failed", () => {
    // A² = -n - Σ (2i-1)(log u_i + log(1-u_{n+1-i}))/n  (Anderson & Darling 1954)
    const failed = weibull(25, 2).sort((a, b) => a - b);
    const data = lifeData({failed});
    const fit = fitted(data);
    const u = failed.map((t) => 1 - Math.exp(-((t / fit.scale!) ** fit.shape!)));
    const n = u.length;
    const sum = u.reduce((s, v, i) => s + (2 * i + 1) * (Math.log(v) + Math.log(1 - u[n - 1 - i]!)), 0);
    expect(andersonDarling(data, fit)).toBeCloseTo(-n - sum / n, 8);
  });

  it("rarely doubts a right family and mostly doubts a wrong one", () => {
    let rejectedRight = 0;
    let rejectedWrong = 0;
    for (let set = 0; set < 24; set++) {
      const failed = weibull(40, 2.5);
      const end = failed.map(() => 60 + 120 * random.uniform());
      const data = lifeData({
        lower: failed.map((t, i) => Math.min(t, end[i]!)),
        upper: failed.map((t, i) => (t <= end[i]! ? t : Infinity)),
      });
      const right = runToEnd(checkFit(data, fitted(data), {count: 60, seed: set}))!;
      const wrong = runToEnd(checkFit(data, fitted(data, {family: "exponential"}), {count: 60, seed: set}))!;
      if (right.p! <= 0.1) rejectedRight++;
      if (wrong.p! <= 0.1) rejectedWrong++;
    }
    expect(rejectedRight).toBeLessThanOrEqual(6); // 2.4 expected; more than 6 has probability 0.01
    expect(rejectedWrong).toBeGreaterThanOrEqual(22);
  });

  it("respects intervals and late entry: p is spread out when the family is right", () => {
    const ps: number[] = [];
    for (let set = 0; set < 16; set++) {
      const lives = weibull(30, 2);
      const width = 25;
      const entryAge = lives.map((t, i) => (i % 4 === 0 ? Math.min(20, t / 3) : 0));
      const data = lifeData({
        lower: lives.map((t, i) => (i % 3 === 0 ? Math.max(entryAge[i]!, Math.floor(t / width) * width) : t)),
        upper: lives.map((t, i) => (i % 3 === 0 ? Math.ceil(t / width) * width : i % 3 === 1 ? t : Infinity)),
        entry: entryAge,
      });
      ps.push(runToEnd(checkFit(data, fitted(data), {count: 40, seed: set}))!.p!);
    }
    expect(ps.filter((p) => p < 0.1).length).toBeLessThanOrEqual(5);
    expect(Math.max(...ps)).toBeGreaterThan(0.4);
  });

  it("says so when it cannot judge", () => {
    const looks = lifeData({lower: [0, 0, 50, 100], upper: [50, 100, null, null], weight: [2, 4, 8, 6]});
    const check = runToEnd(checkFit(looks, fitted(looks), {count: 20, seed: 1}))!;
    expect(check.p === null || Number.isFinite(check.p)).toBe(true);
    const few = lifeData({failed: [10, 20, 30]});
    expect(runToEnd(checkFit(few, fitted(few), {count: 40, seed: 1}))!.cautions.join()).toContain("hardly any family");
  });
});

describe("compareGroups(data, group, names)", () => {
  it("agrees with gehan-groups", () => {
    const {inputs, expected} = entry("gehan-groups");
    const names = ["6-MP", "control"];
    const codes = (at(inputs, "group") as readonly string[]).map((g) => names.indexOf(g));
    const found = compareGroups(livesOf(inputs), codes, names);
    expectQuantity(found.common!.spread, at(expected, "common_shape", "sigma"));
    expectQuantity(found.common!.logLikelihood, at(expected, "common_shape", "logLik"));
    const [intercept, slope] = at(expected, "common_shape", "coefficients", "value") as readonly number[];
    expectQuantity(found.common!.locations, [intercept!, intercept! + slope!]);
    for (const [test, name] of [
      [found.sameShape, "LR_common_shape"],
      [found.sameLife, "LR_common_distribution"],
    ] as const) {
      expectQuantity(test!.statistic, at(expected, name, "statistic"));
      expect(test!.degreesOfFreedom).toBe(at(expected, name, "df"));
      expectQuantity(test!.p, at(expected, name, "p"));
    }
    expect(found.sameScale!.statistic + found.sameShape!.statistic).toBeCloseTo(found.sameLife!.statistic, 9);
  });

  it("leaves out by name a group without failures, and compares nothing when one is left", () => {
    const data = lifeData({failed: [10, 20, 30, 12, 18, 40], suspended: [50, 60]});
    const three = compareGroups(data, [0, 0, 0, 1, 1, 1, 2, 2], ["a", "b", "c"]);
    expect(three.cautions.join()).toContain("c is left out of the tests");
    expect(three.sameShape!.degreesOfFreedom).toBe(1);
    const one = compareGroups(data, [0, 0, 0, 0, 0, 0, 1, 1], ["a", "b"]);
    expect(one.sameLife).toBeNull();
    expect(one.cautions.join()).toContain("nothing to compare");
    expect(() => compareGroups(data, [0], ["a"])).toThrow("each of 8 lives, got 1");
  });
});
