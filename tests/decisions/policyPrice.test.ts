import {describe, expect, it} from "vitest";
import {costRate} from "../../src/decisions/ageReplacement.ts";
import {alwaysEndsRun, endsRunAt, type EndsRun} from "../../src/decisions/endsRun.ts";
import {competingLife} from "../../src/decisions/life.ts";
import {costOf, cycleAt, failuresOf, gridLife, runToFailureCycle, type Cycle} from "../../src/decisions/policyPrice.ts";
import {rebuildWalk} from "../../src/decisions/rebuildWalk.ts";
import type {Weibull} from "../../src/statistics/types.ts";
import {ageOfSurvival} from "../../src/statistics/weibull.ts";
import {simulateService} from "./simulateService.ts";

const price = (
  modes: readonly Weibull[],
  gaps: readonly number[],
  step: number,
  threshold: number,
  endsRun: number | EndsRun,
): Cycle => {
  const points = threshold === Infinity ? 600 : Math.round(threshold / step) + 1;
  const walk = rebuildWalk(gaps, {step, points});
  const life = competingLife(modes);
  const grid = gridLife((age) => life.survival(age), life.restrictedMean(Infinity), walk);
  const curve = typeof endsRun === "number" ? alwaysEndsRun(endsRun) : endsRun;
  return threshold === Infinity
    ? runToFailureCycle(walk, grid, curve)
    : cycleAt(walk, grid, Math.round(threshold / step), curve);
};

describe("rebuildWalk(gaps)", () => {
  it("keeps the mean gap, and every overshoot row is a distribution", () => {
    const walk = rebuildWalk([37, 180, 222.5, 3, 410], {step: 10, points: 120});
    let mean = 0;
    walk.gap.forEach((chance, k) => (mean += chance * k * 10));
    expect(mean).toBeCloseTo(walk.meanGap, 10);
    for (let j = 0; j < walk.points; j++) {
      let sum = 0;
      for (let k = 0; k < walk.reach; k++) sum += walk.overshoot[j * walk.reach + k]!;
      expect(sum).toBeCloseTo(1, 10);
    }
  });

  // elementary renewal theorem: far from the start there is a rebuild every mean gap
  it("visits every grid age step / mean gap times in the long run", () => {
    const walk = rebuildWalk([71, 133, 187, 190, 222, 259], {step: 5, points: 1200});
    expect(walk.visits[1199]! / (walk.step / walk.meanGap)).toBeCloseTo(1, 6);
  });

  it("leaves out gaps of no exposure, weighs the others, and refuses to work with none", () => {
    expect(rebuildWalk([0, 100, NaN, 300], {step: 10, points: 5}).meanGap).toBe(200);
    expect(rebuildWalk([100, 300], {step: 10, points: 5, weights: [3, 1]}).meanGap).toBe(150);
    expect(() => rebuildWalk([0, NaN], {step: 10, points: 5})).toThrow("got none among 2");
    expect(() => rebuildWalk([50], {step: 0, points: 5})).toThrow("got step 0");
  });
});

describe("the priced policy", () => {
  const costs = {planned: 750, failure: 20000, found: 300};

  // rebuilds at every moment turn the real policy into the textbook's
  it("costs what the textbook says when rebuilds are all but continuous", () => {
    const modes = [{shape: 2.6, scale: 1700}];
    for (const age of [200, 400, 900]) {
      const cycle = price(modes, [5], 5, age - 5, 1);
      expect(costOf(cycle, costs) / costRate(age, competingLife(modes), costs)).toBeCloseTo(1, 6);
    }
  });

  // gaps of exactly 200 h, all failures end the run: renewing at the second rebuild is age replacement at 400 h
  it("is age replacement at a multiple of the gap when gaps are all equal", () => {
    const modes = [
      {shape: 2.2, scale: 1300},
      {shape: 1, scale: 9000},
    ];
    const life = competingLife(modes);
    for (const [threshold, age] of [
      [0, 200],
      [150, 200],
      [200, 400],
      [390, 400],
      [400, 600],
    ] as const) {
      expect(costOf(price(modes, [200], 10, threshold, 1), costs) / costRate(age, life, costs)).toBeCloseTo(1, 6);
    }
  });

  // chance failures, all found late, gaps of g: a cycle is g / (1 − e^(−λg)) long and never ends in a planned renewal
  it("agrees with the geometric series for chance failures found at teardown", () => {
    const cycle = price([{shape: 1, scale: 1000}], [100], 10, Infinity, 0);
    expect(cycle.length / (100 / -Math.expm1(-0.1))).toBeCloseTo(1, 3);
    expect(failuresOf(cycle)).toBeCloseTo(1 / cycle.length, 14);
  });

  it("approaches run to failure as the threshold grows", () => {
    const modes = [{shape: 1.8, scale: 700}];
    const gaps = [60, 150, 240, 310];
    for (const endsRun of [1, 0.6, 0]) {
      const late = costOf(price(modes, gaps, 10, 2900, endsRun), costs);
      expect(late / costOf(price(modes, gaps, 10, Infinity, endsRun), costs)).toBeCloseTo(1, 3);
    }
  });

  // threshold j stands for (j + ½) steps: 3 j + 1 steps of 5 h are j steps of 15 h
  it("hardly depends on the grid: 5 h and 15 h steps agree within 0.3 %", () => {
    const modes = [{shape: 2.6, scale: 1700}];
    const gaps = Array.from({length: 97}, (_, i) => 60 + 240 * ((i * 0.618034) % 1));
    for (const j of [13, 26, 53]) {
      const fine = costOf(price(modes, gaps, 5, 5 * (3 * j + 1), 0.8), costs);
      const coarse = costOf(price(modes, gaps, 15, 15 * j, 0.8), costs);
      expect(Math.abs(coarse / fine - 1)).toBeLessThan(0.003);
    }
  });

  // the simulation lives one tool hour by hour and shares no formula with the price
  it.each([
    ["wear-out, renewed early", [{shape: 2.6, scale: 900}], 300, 0.7],
    [
      "wear-out and chance, renewed late",
      [
        {shape: 3, scale: 800},
        {shape: 1, scale: 2500},
      ],
      600,
      0.4,
    ],
    ["early failures, renewed at every rebuild", [{shape: 0.8, scale: 1500}], 60, 1],
    ["run to failure", [{shape: 2, scale: 700}], Infinity, 0.6],
    [
      "old parts found at teardown, renewed late",
      [{shape: 2.4, scale: 800}],
      700,
      {level: 0.3, slope: -1.5, centre: 500},
    ],
    [
      "old parts found at teardown, run to failure",
      [{shape: 2.4, scale: 800}],
      Infinity,
      {level: 0.3, slope: -1.5, centre: 500},
    ],
  ] as const)("agrees with a simulated tool within the simulation's own error: %s", (_, modes, interval, endsRun) => {
    const runs = [20, 35, 50, 65, 95];
    const nextRun = 60;
    const seen = simulateService({
      draw: (uniform) => Math.min(...modes.map((mode) => ageOfSurvival(uniform(), mode))),
      runs,
      rebuildAfter: 170,
      interval,
      nextRun,
      endsRun: (age) => (typeof endsRun === "number" ? endsRun : endsRunAt(endsRun, age)),
      costs,
      parts: 60000,
      seed: 11,
    });
    const threshold = interval === Infinity ? Infinity : Math.max(0, interval - nextRun);
    const cycle = price(modes, seen.gaps, 5, threshold, endsRun);
    expect(Math.abs(costOf(cycle, costs) - seen.costRate)).toBeLessThan(3.5 * seen.costError);
    expect(Math.abs(failuresOf(cycle) - seen.failureRate)).toBeLessThan(3.5 * seen.failureError);
    // the error is small enough for the comparison to mean something
    expect(seen.costError / seen.costRate).toBeLessThan(0.01);
  });
});
