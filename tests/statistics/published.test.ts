import {existsSync, readFileSync} from "node:fs";
import {describe, expect, it} from "vitest";
import {fitLife} from "../../src/statistics/fitLife.ts";
import {shapeLimits, scaleLimits} from "../../src/statistics/lifeLimits.ts";
import {lifeData} from "../../src/statistics/lifeData.ts";
import {at, entry, fixtures, number, published} from "./reference.ts";
import {ageOfSurvival, density, failureFraction, quantile, survival} from "../../src/statistics/weibull.ts";

/** Which test compares with which entry of tests/reference/published.json. */
const COVERED: Readonly<Record<string, readonly string[]>> = {
  "nist-weibull-censored": ["fitLife", "weibull", "fitChoice"],
  "nist-weibull-censored-limits": ["fitLife", "lifeLimits"],
  "genfan-published": ["fitLife"],
  "genfan-survreg": ["fitLife", "lifeLimits", "fitChoice"],
  "survreg-trap": ["fitLife"],
  "nist-kaplan-meier": ["kaplanMeier"],
  "gehan-6mp-kaplan-meier": ["kaplanMeier"],
  "heat-exchanger-plant-1": ["kaplanMeier"],
  "median-ranks": ["ranks"],
  "johnson-adjusted-ranks": ["ranks"],
  "nelson-part-cracking": ["fitLife", "lifeLimits", "fitChoice"],
  "cracks-days": ["fitLife", "lifeLimits"],
  "turbine-wheels": ["fitLife", "lifeLimits"],
  "turbine-wheels-npmle": ["turnbull"],
  "motors-weibull-linear": ["fitRegression"],
  "motorettes-arrhenius-lognormal": ["fitRegression"],
  "capacitor-weibull": ["fitRegression"],
  "ifluid-subset-powerlaw": ["fitRegression"],
  "nelson-insulating-fluid": ["fitRegression"],
  "gehan-groups": ["fitLife", "fitRegression", "fitChoice", "fitConditions"],
  "valve-seat-mcf": ["recurrence"],
  "mil-hdbk-189-single-system": ["recurrence"],
  "crow-three-systems": ["recurrence"],
  "nist-trend-tests": ["recurrence"],
  "poisson-limits": ["poissonLimits"],
  "poisson-nickel-smr": ["poissonLimits"],
  "two-poisson-rates-gu-1": ["rates"],
  "two-poisson-rates-gu-2": ["rates"],
  "two-poisson-rates-dodder": ["rates"],
  "two-poisson-rates-eba": ["rates"],
  "mtbf-limits": ["poissonLimits", "fixedShape"],
  "success-run": ["fixedShape"],
  "zero-failure-given-shape": ["fixedShape"],
  "age-replacement-uniform": ["../decisions/ageReplacement"],
  "age-replacement-normal": ["../decisions/ageReplacement"],
  "age-replacement-weibull": ["../decisions/ageReplacement"],
  "restricted-mean": ["weibull"],
  "conditional-survival": ["weibull"],
  "melanoma-cumulative-incidence": ["fitLife", "incidence"],
  "left-truncation-small": ["fitLife", "kaplanMeier", "turnbull"],
  "mle-existence": ["fitLife", "published"],
};

const folder = new URL("./", import.meta.url);

describe("published.json", () => {
  it("is covered entry by entry", () => {
    expect(Object.keys(COVERED).sort()).toEqual(published.map(({id}) => id).sort());
  });

  it.each(Object.entries(COVERED))("%s is compared in its tests", (id, files) => {
    for (const file of files) {
      const url = new URL(`${file}.test.ts`, folder);
      expect(existsSync(url), `${file}.test.ts`).toBe(true);
      const text = readFileSync(url, "utf8");
      // two-poisson-rates-gu-1 and -gu-2 may share a title, so the whole id must stand in the code
      expect(text.includes(`"${id}"`), `${file}.test.ts reads ${id}`).toBe(true);
    }
  });

  it("mle-existence: each of its rules holds", () => {
    const rules = at(entry("mle-existence").expected, "rules") as readonly string[];
    expect(rules.length).toBe(5);
    const reason = (columns: Parameters<typeof lifeData>[0]): string => {
      const fit = fitLife(lifeData(columns));
      return fit.fitted ? "fitted" : fit.reason;
    };
    // 1, 2: a failure younger than the oldest life is all it takes
    expect(reason({failed: [5], suspended: [6]})).toBe("fitted");
    expect(reason({failed: [5, 5], suspended: [6]})).toBe("fitted");
    expect(reason({failed: [6], suspended: [5, 6]})).toBe("failures at one age");
    expect(reason({failed: [5, 6]})).toBe("fitted");
    // 3: one bin
    expect(reason({lower: [5, 6], upper: [6, null]})).toBe("one inspection bin");
    expect(reason({lower: [5, 7], upper: [6, null]})).toBe("fitted");
    // 4: every entry late
    expect(reason({lower: [11, 12, 90], upper: [11, 12, null], entry: [10, 10, 10]})).toBe("maximum at the border");
    // 5 is tested with fitRegression
  });

  it("one failure: likelihood limits reach as far as the README of the references says, normal ones do not", () => {
    const {time, status} = at(entry("mle-existence").expected, "check_one_failure_interior") as {
      time: number[];
      status: number[];
    };
    const data = lifeData({lower: time, upper: time.map((t, i) => (status[i] ? t : null))});
    const fit = fitLife(data);
    if (!fit.fitted) throw new Error(fit.sentence);
    const wide = scaleLimits(data, fit, {level: 0.95}).limits;
    const narrow = scaleLimits(data, fit, {level: 0.95, by: "normal"}).limits;
    expect(wide[1]! / narrow[1]!).toBeGreaterThan(100);
    expect(shapeLimits(data, fit, {level: 0.95}).limits[0]).toBeLessThan(0.5);
  });
});

describe("Weibull tails against R (fixtures.json weibull_tails)", () => {
  const tails = at(fixtures(), "weibull_tails") as readonly Parameters<typeof at>[0][];

  it.each(tails.map((tail) => [number(tail, "shape"), tail] as const))(
    "shape %d: B0.1, B1e-15, survival 1e-12",
    (shape, tail) => {
      const weibull = {shape, scale: number(tail, "scale")};
      const relative = (got: number, name: string) => {
        const wanted = number(tail, name);
        expect(Math.abs(got / wanted - 1), `${name}: got ${got}, R gives ${wanted}`).toBeLessThan(1e-12);
      };
      relative(quantile(0.001, weibull), "B0.1");
      relative(quantile(1e-6, weibull), "B1e_6");
      relative(quantile(1e-15, weibull), "B1e_15");
      relative(ageOfSurvival(1e-12, weibull), "age_at_1e_12");
      relative(failureFraction(1, weibull), "failed_at_1");
      // an age known to 15 digits leaves shape · 27.6 · 1e-15 in the survival
      const age = number(tail, "age_at_1e_12");
      expect(survival(age, weibull) / number(tail, "survival_there")).toBeCloseTo(1, 11);
      expect(density(age, weibull) / number(tail, "density_there")).toBeCloseTo(1, 11);
    },
  );
});
