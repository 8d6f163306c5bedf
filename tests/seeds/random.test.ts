import {describe, expect, it} from "vitest";
import {Random} from "../../seeds/Random.ts";

const many = (draw: () => number, n = 20_000): number[] => Array.from({length: n}, draw);
const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
const share = (values: readonly number[], accept: (value: number) => boolean): number =>
  values.filter(accept).length / values.length;

describe("Random", () => {
  it("Random(name) gives the same numbers for the same name and others for another", () => {
    const draws = (name: string): number[] => {
      const random = new Random(name);
      return many(() => random.between(0, 1), 5);
    };
    expect(draws("a")).toEqual(draws("a"));
    expect(draws("a")).not.toEqual(draws("b"));
  });

  // pinned, so that a change of engine or of code that would change every demo file is seen here first
  it("Random(name) gives these first integers on every machine", () => {
    const random = new Random("pinned");
    expect(many(() => random.integer(0, 999), 8)).toEqual([625, 245, 394, 20, 377, 215, 793, 547]);
  });

  it("between(low, high) is spread evenly", () => {
    const random = new Random("even");
    const values = many(() => random.between(0, 1));
    for (const edge of [0.1, 0.25, 0.5, 0.9]) expect(share(values, (v) => v < edge)).toBeCloseTo(edge, 1.7);
  });

  // Weibull: 63.2 % have failed by the scale whatever the shape; B10 = scale (-ln 0.9)^(1/shape)
  it("weibull({shape, scale}) fails 63.2 % by the scale and 10 % by the B10 life", () => {
    const random = new Random("weibull");
    const lives = many(() => random.weibull({shape: 2.6, scale: 1700}));
    expect(share(lives, (life) => life <= 1700)).toBeCloseTo(1 - Math.exp(-1), 1.7);
    expect(share(lives, (life) => life <= 1700 * (-Math.log(0.9)) ** (1 / 2.6))).toBeCloseTo(0.1, 1.7);
  });

  it("weibull(law, survived) draws from what is left after `survived`", () => {
    const random = new Random("left");
    const law = {shape: 2, scale: 1000};
    const lives = many(() => random.weibull(law, 800));
    expect(Math.min(...lives)).toBeGreaterThan(800);
    // S(1200 | 800) = exp(-(1.2² - 0.8²))
    expect(share(lives, (life) => life > 1200)).toBeCloseTo(Math.exp(-(1.44 - 0.64)), 1.7);
  });

  // gamma: mean as asked, variance mean²/shape
  it("gamma({shape, mean}) has that mean and a variance of mean²/shape", () => {
    const random = new Random("gamma");
    const values = many(() => random.gamma({shape: 2.2, mean: 60}), 40_000);
    const m = mean(values);
    expect(m).toBeGreaterThan(59);
    expect(m).toBeLessThan(61);
    const variance = mean(values.map((value) => (value - m) ** 2));
    expect(variance / (3600 / 2.2)).toBeGreaterThan(0.94);
    expect(variance / (3600 / 2.2)).toBeLessThan(1.06);
  });

  it("weighted(weights) picks each key in proportion", () => {
    const random = new Random("weights");
    const picks = many(() => (random.weighted({a: 3, b: 1}) === "a" ? 1 : 0));
    expect(mean(picks)).toBeCloseTo(0.75, 1.7);
  });
});
