import {describe, expect, it} from "vitest";
import {alwaysEndsRun, type EndingChances} from "../../src/decisions/endsRun.ts";
import {competingLife} from "../../src/decisions/life.ts";
import {costOf, cycleAt, failuresOf, gridLife, runToFailureCycle} from "../../src/decisions/policyPrice.ts";
import type {LifeDraws} from "../../src/decisions/drawTables.ts";
import {priceDraws, type Service} from "../../src/decisions/priceDraws.ts";
import {rebuildWalk} from "../../src/decisions/rebuildWalk.ts";

const draws: LifeDraws = {
  shape: Float64Array.of(2.6, 1.4, 0.9),
  scale: Float64Array.of(1000, 1500, 2000),
  chance: Float64Array.of(0, 1e-4, 5e-4),
};

const endsRun: EndingChances = {wear: alwaysEndsRun(0.7), chance: 0.7};

const alder: Service = {
  share: 1,
  walk: rebuildWalk([90, 140, 215, 260, 305], {step: 10, points: 150}),
  costs: {planned: 500, failure: 20000, found: 100},
  current: 400,
};

describe("priceDraws(draws, services, nextRun)", () => {
  it("prices every draw as policyPrice does one by one", () => {
    const priced = priceDraws(draws, [alder], {nextRun: 60, endsRun});
    for (let d = 0; d < 3; d++) {
      const life = competingLife([
        {shape: draws.shape[d]!, scale: draws.scale[d]!},
        {shape: 1, scale: 1 / draws.chance[d]!},
      ]);
      const grid = gridLife((age) => life.survival(age), life.restrictedMean(Infinity), alder.walk);
      for (const j of [0, 7, 33, 90]) {
        const cycle = cycleAt(alder.walk, grid, j, endsRun.wear);
        const rates = priced.at(60 + (j + 0.5) * 10);
        expect(rates.money[d]! / costOf(cycle, alder.costs)).toBeCloseTo(1, 4);
        expect(rates.failures[d]! / failuresOf(cycle)).toBeCloseTo(1, 4);
      }
      const never = runToFailureCycle(alder.walk, grid, endsRun.wear);
      expect(priced.runToFailure.money[d]! / costOf(never, alder.costs)).toBeCloseTo(1, 4);
    }
  });

  it("weighs fleets by their share, each with its own costs, rebuilds and policy", () => {
    const basalt: Service = {
      ...alder,
      walk: rebuildWalk([150, 200], {step: 10, points: 150}),
      costs: {planned: 500, failure: 90000, found: 100},
      current: null,
    };
    const one = priceDraws(draws, [alder], {nextRun: 60, endsRun});
    const other = priceDraws(draws, [basalt], {nextRun: 60, endsRun});
    const both = priceDraws(
      draws,
      [
        {...alder, share: 0.25},
        {...basalt, share: 0.75},
      ],
      {nextRun: 60, endsRun},
    );
    for (let d = 0; d < 3; d++) {
      expect(both.at(350).money[d]).toBeCloseTo(0.25 * one.at(350).money[d]! + 0.75 * other.at(350).money[d]!, 3);
      expect(both.current.money[d]).toBeCloseTo(0.25 * one.at(400).money[d]! + 0.75 * other.runToFailure.money[d]!, 3);
      expect(both.runToFailure.failures[d]).toBeCloseTo(
        0.25 * one.runToFailure.failures[d]! + 0.75 * other.runToFailure.failures[d]!,
        6,
      );
    }
  });

  it("renews at every rebuild for any age up to the next run", () => {
    const priced = priceDraws(draws, [alder], {nextRun: 60, endsRun});
    expect([...priced.at(0).money]).toEqual([...priced.at(60).money]);
  });

  it("refuses walks on different grids, and no service at all", () => {
    const other = {...alder, walk: rebuildWalk([100], {step: 5, points: 150})};
    expect(() => priceDraws(draws, [alder, other], {nextRun: 60, endsRun})).toThrow("walks on one grid");
    expect(() => priceDraws(draws, [], {nextRun: 60, endsRun})).toThrow("at least one service");
  });
});
