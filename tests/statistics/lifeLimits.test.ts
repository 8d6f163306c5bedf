import {describe, expect, it} from "vitest";
import {fitLife} from "../../src/statistics/fitLife.ts";
import {lifeData} from "../../src/statistics/lifeData.ts";
import {
  ageLimits,
  conditionalReliabilityLimits,
  meanLimits,
  reliabilityLimits,
  scaleLimits,
  shapeLimits,
} from "../../src/statistics/lifeLimits.ts";
import {ageBand, reliabilityBand} from "../../src/statistics/limitBand.ts";
import {likelihoodContour} from "../../src/statistics/likelihoodContour.ts";
import {chiSquareQuantile, gammaQuantile} from "../../src/statistics/gammaFunctions.ts";
import {conditionalSurvival, survival} from "../../src/statistics/weibull.ts";
import type {Family, LifeData, LifeFit} from "../../src/statistics/types.ts";
import {at, entry, expectQuantity, livesOf, number} from "./reference.ts";
import {seededRandom} from "./simulate.ts";

function fitted(data: LifeData, options = {}): LifeFit {
  const fit = fitLife(data, options);
  if (!fit.fitted) throw new Error(fit.sentence);
  return fit;
}

const both = (limits: readonly (number | null)[]): number[] => limits.map((end) => end ?? NaN);

describe("limits against published.json", () => {
  it.each(["nist-weibull-censored-limits", "genfan-survreg", "nelson-part-cracking", "cracks-days", "turbine-wheels"])(
    "shape, scale, B10 and reliability limits agree with %s",
    (id) => {
      const {inputs, expected} = entry(id);
      const data = livesOf(inputs);
      const fit = fitted(data);
      for (const [level, name] of [
        [0.9, "90"],
        [0.95, "95"],
      ] as const) {
        for (const by of ["likelihood", "normal"] as const) {
          const kind = by === "likelihood" ? "profile" : "normal";
          expectQuantity(both(shapeLimits(data, fit, {level, by}).limits), at(expected, `shape_${kind}_${name}`));
          expectQuantity(both(scaleLimits(data, fit, {level, by}).limits), at(expected, `scale_${kind}_${name}`));
          expectQuantity(both(ageLimits(data, fit, 0.1, {level, by}).limits), at(expected, `B10_${kind}_${name}`));
        }
      }
      const t0 = number(expected, "t0");
      const normal = reliabilityLimits(data, fit, t0, {level: 0.95, by: "normal"});
      expectQuantity(both(normal.limits), at(expected, "R_t0_loglog_95"));
    },
  );
});

/** Random lives with late entry, intervals and suspensions. */
function lives(seed: number, n: number): LifeData {
  const random = seededRandom(seed);
  const lower: number[] = [];
  const upper: number[] = [];
  for (let i = 0; i < n; i++) {
    const life = 300 * random.exponential() ** (1 / 1.6);
    const end = 80 + 400 * random.uniform();
    const exact = random.uniform() < 0.6;
    lower.push(life > end ? end : exact ? life : Math.max(1, life - 30));
    upper.push(life > end ? Infinity : exact ? life : life + 30);
  }
  return lifeData({lower, upper});
}

/** Profile log-likelihood by brute force: best over a fine grid of shapes under the constraint, refined. */
function bruteProfile(data: LifeData, family: Family, locationAt: (logShape: number) => number): number {
  let centre = 0.5;
  let width = 4;
  let best = -Infinity;
  for (let round = 0; round < 7; round++) {
    let found = centre;
    for (let i = -20; i <= 20; i++) {
      const logShape = centre + (width * i) / 20;
      const value = logLikelihoodAt(data, family, locationAt(logShape), logShape);
      if (value > best) {
        best = value;
        found = logShape;
      }
    }
    centre = found;
    width /= 6;
  }
  return best;
}

function logLikelihoodAt(data: LifeData, family: Family, location: number, logShape: number): number {
  const k = Math.exp(logShape);
  const s = (age: number): number => {
    const z = (Math.log(age) - location) * k;
    return family === "loglogistic" ? 1 / (1 + Math.exp(z)) : Math.exp(-Math.exp(z));
  };
  const f = (age: number): number => {
    const z = (Math.log(age) - location) * k;
    const density = family === "loglogistic" ? Math.exp(z) / (1 + Math.exp(z)) ** 2 : Math.exp(z - Math.exp(z));
    return (density * k) / age;
  };
  let sum = 0;
  for (let i = 0; i < data.lower.length; i++) {
    const [lower, upper] = [data.lower[i]!, data.upper[i]!];
    sum += Math.log(lower === upper ? f(lower) : s(lower) - (upper === Infinity ? 0 : s(upper)));
  }
  return sum;
}

describe("likelihood limits by brute force", () => {
  const data = lives(5, 30);
  const drop = (level: number) => chiSquareQuantile(level, 1) / 2;

  it("at each limit the profile has fallen by exactly half the chi-square quantile", () => {
    for (const family of ["weibull", "loglogistic"] as const) {
      const fit = fitted(data, {family});
      const z90 = (p: number) => (family === "loglogistic" ? Math.log(p / (1 - p)) : Math.log(-Math.log(1 - p)));
      const hazardToZ = (h: number) => (family === "loglogistic" ? Math.log(Math.expm1(h)) : Math.log(h));
      for (const level of [0.5, 0.9, 0.99]) {
        const floor = fit.logLikelihood - drop(level);
        for (const age of ageLimits(data, fit, 0.1, {level}).limits) {
          const value = bruteProfile(data, family, (k) => Math.log(age!) - z90(0.1) * Math.exp(-k));
          expect(value).toBeCloseTo(floor, 5);
        }
        for (const r of reliabilityLimits(data, fit, 150, {level}).limits) {
          const z = hazardToZ(-Math.log(r!));
          expect(bruteProfile(data, family, (k) => Math.log(150) - z * Math.exp(-k))).toBeCloseTo(floor, 5);
        }
      }
    }
  });

  it("limits of conditional reliability and mean are extremes over the likelihood region", () => {
    const fit = fitted(data);
    const region = likelihoodContour(data, fit, {level: 0.9, degreesOfFreedom: 1, points: 2000})!;
    const extremes = (g: (shape: number, scale: number) => number) => {
      const values = region.shape.map((shape, i) => g(shape, region.scale[i]!));
      return [Math.min(...values), Math.max(...values)];
    };
    const step = {age: 150, mission: 60};
    const conditional = both(conditionalReliabilityLimits(data, fit, step).limits);
    extremes((shape, scale) => conditionalSurvival(step, {shape, scale})).forEach((value, i) => {
      expect(conditional[i]).toBeCloseTo(value, 4);
    });
    const gammaOf = (x: number): number => {
      // Lanczos with g = 7, n = 9 (Numerical Recipes, 3rd ed., section 6.1): independent of the code under test
      const c = [
        0.9999999999998099, 676.5203681218851, -1259.1392167224028, 771.3234287776531, -176.6150291621406,
        12.507343278686905, -0.13857109526572012, 9.984369578019572e-6, 1.5056327351493116e-7,
      ];
      const sum = c.reduce((s, v, i) => (i === 0 ? v : s + v / (x - 1 + i)), 0);
      const t = x + 6.5;
      return Math.sqrt(2 * Math.PI) * t ** (x - 0.5) * Math.exp(-t) * sum;
    };
    const means = both(meanLimits(data, fit).limits);
    extremes((shape, scale) => scale * gammaOf(1 + 1 / shape)).forEach((value, i) => {
      expect(means[i]! / value).toBeCloseTo(1, 4);
    });
  });

  it("conditional reliability from age 0 is reliability, in every family", () => {
    for (const family of ["weibull", "lognormal", "loglogistic"] as const) {
      const fit = fitted(data, {family});
      const fresh = conditionalReliabilityLimits(data, fit, {age: 0, mission: 100});
      const plain = reliabilityLimits(data, fit, 100);
      expect(fresh.limits).toEqual(plain.limits);
      const aged = conditionalReliabilityLimits(data, fit, {age: 1e-6, mission: 100});
      expect(aged.limits[0]).toBeCloseTo(plain.limits[0]!, 4);
      expect(aged.limits[1]).toBeCloseTo(plain.limits[1]!, 4);
    }
  });

  it("ageBand and reliabilityBand agree with the point-by-point limits", () => {
    const fit = fitted(data);
    for (const {at: p, limits, estimate} of ageBand(data, fit, [0.01, 0.1, 0.5, 0.9])) {
      const exact = ageLimits(data, fit, p);
      expect(estimate).toBeCloseTo(exact.estimate, 9);
      limits.forEach((end, i) => expect(end! / exact.limits[i]!).toBeCloseTo(1, 3));
    }
    for (const {at: age, limits} of reliabilityBand(data, fit, [30, 200, 500])) {
      limits.forEach((end, i) => expect(end).toBeCloseTo(reliabilityLimits(data, fit, age).limits[i]!, 3));
    }
    const fractions = Array.from({length: 40}, (_, i) => (i + 0.5) / 40);
    for (const {at: p, limits} of ageBand(data, fit, fractions, {by: "adjusted"})) {
      const exact = ageLimits(data, fit, p, {by: "adjusted"}).limits;
      limits.forEach((end, i) => expect(end! / exact[i]!).toBeCloseTo(1, 2));
    }
    const ages = Array.from({length: 40}, (_, i) => 15 * (i + 1));
    for (const {at: age, limits} of reliabilityBand(data, fit, ages, {by: "adjusted"})) {
      const exact = reliabilityLimits(data, fit, age, {by: "adjusted"}).limits;
      limits.forEach((end, i) => expect(end).toBeCloseTo(exact[i]!, 2));
    }
    const [point] = ageBand(data, fit, [0.1], {by: "normal"});
    expect(point!.limits).toEqual(ageLimits(data, fit, 0.1, {by: "normal"}).limits);
  });

  it("every point of the joint contour has the likelihood the level asks for", () => {
    const fit = fitted(data);
    const contour = likelihoodContour(data, fit, {level: 0.9})!;
    expect(contour.open).toBe(false);
    contour.location.forEach((location, i) => {
      const value = logLikelihoodAt(data, "weibull", location, contour.logShape[i]!);
      expect(2 * (fit.logLikelihood - value)).toBeCloseTo(chiSquareQuantile(0.9, 2), 6);
    });
  });
});

describe("limits by adjusted likelihood", () => {
  /** How often 90 % limits of the shape and of the B10 age miss the truth below and above. */
  function misses(n: number, sets: number, by: "likelihood" | "adjusted") {
    const random = seededRandom(n);
    const missed = {shape: [0, 0], age: [0, 0]};
    for (let s = 0; s < sets; s++) {
      const set = lifeData({failed: Array.from({length: n}, () => random.exponential() ** 0.5)});
      const fit = fitted(set);
      const ask = [
        [missed.shape, shapeLimits(set, fit, {by}).limits, 2],
        [missed.age, ageLimits(set, fit, 0.1, {by}).limits, Math.sqrt(-Math.log(0.9))],
      ] as const;
      for (const [count, [low, high], truth] of ask) {
        if (low !== null && truth < low) count[0]!++;
        if (high !== null && truth > high) count[1]!++;
      }
    }
    return missed;
  }

  it("cover 90 % at six failures, missing as often on either side, where the plain ones do not", () => {
    const sets = 600;
    const plain = misses(6, sets, "likelihood");
    const adjusted = misses(6, sets, "adjusted");
    // 5 % a side is 30 of 600, standard deviation 5.3
    for (const side of [...adjusted.shape, ...adjusted.age]) expect(Math.abs(side - 30)).toBeLessThan(18);
    expect(plain.shape[0]).toBeGreaterThan(55);
    expect(plain.shape[1]).toBeLessThan(20);
  });

  it("come close to the exact chi-square limits when the shape is held", () => {
    const random = seededRandom(12);
    const failed = Array.from({length: 8}, () => 100 * random.exponential());
    const set = lifeData({failed});
    const fit = fitted(set, {family: "exponential"});
    const total = failed.reduce((a, b) => a + b);
    const exact = [0.95, 0.05].map((p) => total / gammaQuantile(p, 8));
    const off = (by: "likelihood" | "adjusted") =>
      scaleLimits(set, fit, {by}).limits.map((end, i) => Math.abs(Math.log(end! / exact[i]!)));
    off("adjusted").forEach((value) => expect(value).toBeLessThan(0.002));
    expect(Math.max(...off("adjusted"))).toBeLessThan(Math.max(...off("likelihood")));
  });

  it("approach the plain ones as lives become many", () => {
    const many = lives(9, 800);
    const fit = fitted(many);
    const ends = (by: "likelihood" | "adjusted") => ageLimits(many, fit, 0.1, {by}).limits;
    ends("adjusted").forEach((end, i) => expect(end! / ends("likelihood")[i]!).toBeCloseTo(1, 2));
  });

  it("exist, or are null with a caution, for few lives of any kind, in every family", () => {
    for (let seed = 1; seed <= 25; seed++) {
      const few = lives(seed, 3 + (seed % 4));
      for (const family of ["weibull", "lognormal", "loglogistic", "exponential"] as const) {
        const fit = fitLife(few, {family});
        if (!fit.fitted) continue;
        for (const {limits, estimate} of [
          shapeLimits(few, fit, {by: "adjusted"}),
          scaleLimits(few, fit, {by: "adjusted"}),
          reliabilityLimits(few, fit, 100, {by: "adjusted"}),
          conditionalReliabilityLimits(few, fit, {age: 50, mission: 40}, {by: "adjusted"}),
        ]) {
          expect(Number.isFinite(estimate)).toBe(true);
          const [low, high] = limits;
          if (low !== null && high !== null) expect(low).toBeLessThanOrEqual(high);
          for (const end of limits) expect(end === null || Number.isFinite(end)).toBe(true);
        }
      }
    }
  });
});

describe("limits where they hardly exist", () => {
  const one = lifeData({failed: [410], suspended: [120, 800]});

  it("one failure gives very wide limits by likelihood, and no NaN", () => {
    const fit = fitted(one);
    const {limits} = scaleLimits(one, fit, {level: 0.95});
    expect(limits[1]).toBeGreaterThan(1e5);
    for (const level of [0.5, 0.9, 0.999]) {
      for (const result of [
        shapeLimits(one, fit, {level}),
        scaleLimits(one, fit, {level}),
        ageLimits(one, fit, 0.5, {level}),
        reliabilityLimits(one, fit, 100, {level}),
        meanLimits(one, fit, {level}),
        conditionalReliabilityLimits(one, fit, {age: 700, mission: 100}, {level}),
      ]) {
        for (const end of result.limits) expect(end === null || Number.isFinite(end)).toBe(true);
        if (result.limits.includes(null)) expect(result.cautions.join()).toContain("do not give");
      }
    }
  });

  it("a limit that does not exist is null with a caution", () => {
    // looked at once, at 50 (2 of 10 failed) or at 100 (4 of 10): a failed share of 6 in 20 at any age, which is what a
    // shape near 0 says, is hardly less likely, so neither the shape's lower nor the scale's upper limit exists
    const looks = lifeData({lower: [0, 0, 50, 100], upper: [50, 100, null, null], weight: [2, 4, 8, 6]});
    const fit = fitted(looks);
    const shape = shapeLimits(looks, fit);
    expect(shape.limits[0]).toBeNull();
    expect(shape.limits[1]).toBeGreaterThan(fit.shape!);
    expect(shape.cautions[0]).toContain("do not give a lower limit of the shape");
    const scale = scaleLimits(looks, fit);
    expect(scale.limits[1]).toBeNull();
    expect(scale.cautions[0]).toContain("an upper limit of the scale");
    expect(shapeLimits(looks, fit, {by: "normal"}).limits[0]).not.toBeNull();
    expect(likelihoodContour(looks, fit)!.open).toBe(true);
    for (const {limits} of ageBand(looks, fit, [0.01, 0.3, 0.9])) {
      for (const end of limits) expect(end === null || Number.isFinite(end)).toBe(true);
    }
  });

  it("a held shape: scale limits are those of an exact count, nearly, and the shape has none", () => {
    // shape held: (scale limits)^shape follow Σt^shape over a Poisson mean; compare with the exact chi-square limits of
    // 40 failures, from which likelihood ratio differs by less than 1 %
    const random = seededRandom(3);
    const failed = Array.from({length: 40}, () => 100 * random.exponential() ** 0.5);
    const data = lifeData({failed});
    const fit = fitted(data, {shape: 2});
    const total = failed.reduce((sum, t) => sum + t * t, 0);
    const exact = [0.95, 0.05].map((p) => Math.sqrt(total / gammaQuantile(p, 40)));
    const {limits} = scaleLimits(data, fit);
    limits.forEach((end, i) => expect(Math.abs(end! / exact[i]! - 1)).toBeLessThan(0.01));
    expect(shapeLimits(data, fit).cautions[0]).toContain("held");
    expect(likelihoodContour(data, fit)).toBeNull();
    const r = reliabilityLimits(data, fit, 50);
    expect(r.limits[0]).toBeCloseTo(survival(50, {shape: 2, scale: limits[0]!}), 6);
    expect(r.limits[1]).toBeCloseTo(survival(50, {shape: 2, scale: limits[1]!}), 6);
  });

  it("refuses a level, a fraction or an age that cannot be", () => {
    const fit = fitted(one);
    expect(() => shapeLimits(one, fit, {level: 90})).toThrow("level in (0, 1), got 90");
    expect(() => ageLimits(one, fit, 0)).toThrow("fraction in (0, 1), got 0");
    expect(() => reliabilityLimits(one, fit, -5)).toThrow("age > 0, got -5");
    expect(() => conditionalReliabilityLimits(one, fit, {age: 1, mission: 0})).toThrow("mission > 0");
    expect(() => shapeLimits(one, fit, {by: "bootstrap"})).toThrow("require replicates");
  });
});
