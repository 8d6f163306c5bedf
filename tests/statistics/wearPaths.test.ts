import {describe, expect, it} from "vitest";
import {fitWear, wornFraction} from "../../src/statistics/wearPaths.ts";
import {at, fixtures, number, numbers} from "./reference.ts";

describe("fitWear(measures, {limit})", () => {
  const wear = at(fixtures(), "wear");
  const data = {
    part: numbers(wear, "part").map((p) => p - 1),
    parts: 14,
    age: numbers(wear, "age"),
    measure: numbers(wear, "mm"),
  };

  it("agrees with R nlme lme by REML (fixtures.json wear)", () => {
    const fit = fitWear(data, {limit: 24});
    if (!fit.fitted) throw new Error(fit.sentence);
    const reml = at(wear, "REML");
    // lme's own search stops near 1e-6 of the spreads; VarCorr prints seven digits
    expect(fit.start).toBeCloseTo(number(reml, "start"), 5);
    expect(fit.slope / number(reml, "slope")).toBeCloseTo(1, 4);
    expect(fit.slopeSpread / number(reml, "slope_sd")).toBeCloseTo(1, 4);
    expect(fit.errorSpread / number(reml, "residual_sd")).toBeCloseTo(1, 4);
    expect(fit.logLikelihood).toBeCloseTo(number(reml, "logLik"), 6);
    expect(fit.slopeError / number(reml, "se", 1)).toBeCloseTo(1, 4);
    numbers(reml, "slopes").forEach((slope, i) => expect(fit.parts[i]!.slope / slope).toBeCloseTo(1, 4));
    fit.parts.forEach(({slope, pseudoLife}) => expect(pseudoLife).toBeCloseTo((24 - fit.start) / slope, 6));
    expect(fit.slopeLimits[0]).toBeLessThan(fit.slope);
  });

  it("takes the dimension of a new part as given", () => {
    const fit = fitWear(data, {limit: 24, asNew: 25});
    if (!fit.fitted) throw new Error(fit.sentence);
    expect(fit.start).toBe(25);
    expect(fit.slope / number(wear, "REML", "slope")).toBeCloseTo(1, 1);
  });

  it("wornFraction(fit, age) is half when the mean line meets the limit, and rises", () => {
    const fit = fitWear(data, {limit: 24});
    if (!fit.fitted) throw new Error(fit.sentence);
    const middle = (24 - fit.start) / fit.slope;
    expect(wornFraction(fit, middle)).toBeCloseTo(0.5, 12);
    expect(wornFraction(fit, 0)).toBe(0);
    expect(wornFraction(fit, middle * 1.2)).toBeGreaterThan(wornFraction(fit, middle));
    const growing = fitWear({...data, measure: data.measure.map((v) => -v)}, {limit: -24});
    if (!growing.fitted) throw new Error(growing.sentence);
    expect(wornFraction(growing, middle * 1.2)).toBeCloseTo(wornFraction(fit, middle * 1.2), 6);
  });

  it("gives one slope when parts do not differ, and no pseudo-life to a part that does not wear", () => {
    const age = [50, 100, 150, 50, 100, 150];
    const same = fitWear(
      {part: [0, 0, 0, 1, 1, 1], parts: 2, age, measure: [9.5, 9.02, 8.5, 9.52, 9.0, 8.5]},
      {limit: 8},
    );
    if (!same.fitted) throw new Error(same.sentence);
    expect(same.slopeSpread).toBe(0);
    expect(same.cautions.join()).toContain("do not differ in slope");
    const still = fitWear(
      {part: [0, 0, 0, 1, 1, 1], parts: 2, age, measure: [9.5, 9.02, 8.5, 10.01, 9.99, 10.02]},
      {limit: 8, asNew: 10},
    );
    if (!still.fitted) throw new Error(still.sentence);
    expect(still.parts[1]!.pseudoLife).toBeNull();
    expect(still.cautions.join()).toContain("1 of 2 parts do not move toward the limit");
  });

  it("names why it cannot fit, and refuses broken rows by number", () => {
    const none = fitWear({part: [0], parts: 1, age: [50], measure: [9]}, {limit: 8});
    expect(!none.fitted && none.sentence).toContain("at least 3 measures");
    const exact = fitWear({part: [0, 0, 0], parts: 1, age: [0, 1, 2], measure: [3, 2, 1]}, {limit: 0});
    expect(!exact.fitted && exact.sentence).toContain("lines exactly");
    expect(() => fitWear({part: [2], parts: 1, age: [1], measure: [1]}, {limit: 0})).toThrow(
      "row 0: no part 2 among 1",
    );
    expect(() => fitWear({part: [0], parts: 1, age: [1], measure: [NaN]}, {limit: 0})).toThrow(
      "row 0: requires a finite",
    );
  });
});
