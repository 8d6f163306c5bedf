/** Survival of the next run against closed forms, a published value, brute force and a slow simulation. */
import {describe, expect, it} from "vitest";
import {DEFAULT_SETTINGS} from "../../shared/settings.ts";
import {addedHazard, equivalentAge, hazardAhead, NEW_PART} from "../../src/decisions/hazardAhead.ts";
import {nextRun, survivalOf} from "../../src/decisions/nextRun.ts";
import type {PartModel} from "../../src/decisions/partModels.ts";
import type {RebuildRisk} from "../../src/decisions/rebuildRisk.ts";
import {gainOf, hazardWith, renewList, type Renewable} from "../../src/decisions/renewList.ts";
import {seededRandom} from "../../src/statistics/random.ts";
import {reference} from "../cells/reference.ts";

const CELLS = ["KCL medium", "KCL high"];

/** A component whose law is known: `scale` in each of the two conditions, `draws` equal draws. */
function known(shape: number, scales: readonly number[], chance = 0, draws = 1): PartModel {
  return {
    chance: new Float64Array(draws).fill(chance),
    use: {
      component: "SEAL",
      exposure: 1000,
      lives: 10,
      renewed: 8,
      failures: {wear: 5, chance: 1, shop: 0, "nothing found": 0},
      seen: {wear: {ages: [], ended: []}, chance: {ages: [], ended: []}},
      conditions: new Map(
        CELLS.map((key) => {
          const [mud = "", regime = ""] = key.split(" ");
          return [key, {mud, regime, exposure: 500, byFleet: new Map(), lives: 1, failures: 0}];
        }),
      ),
    },
    model: {
      component: "SEAL",
      posterior: {
        count: draws,
        cells: 2,
        shape: new Float64Array(draws).fill(shape),
        scale: Float64Array.from({length: 2 * draws}, (_, i) => scales[i % 2]!),
        likeliest: {shape, scale: Float64Array.from(scales)},
        speed: Float64Array.from(scales, (scale) => Math.log(scales[0]! / scale)),
      },
      cellOf: new Map(CELLS.map((key, cell) => [key, cell])),
      oldest: 800,
      chanceRate: chance,
      chanceDraws: new Float64Array(draws).fill(chance),
    } as unknown as PartModel["model"],
  };
}

const medium = (hours: number) => ({mud: "KCL", regime: "medium", hours});
const high = (hours: number) => ({mud: "KCL", regime: "high", hours});
const noRebuildRisk: RebuildRisk = {
  failures: [0, 0, 0, 0],
  exposure: [0, 0, 0, 0],
  unexplained: 0,
  service: 1000,
  ahead: () => new Float64Array(1),
  aheadUnexplained: () => new Float64Array(1),
};

describe("hazardAhead(model, history, run)", () => {
  it("is that of conditional-survival in published.json, in the far tail too", () => {
    const entry = reference("conditional-survival");
    const hazard = hazardAhead(known(1.8, [900, 450]), {spent: [medium(600)], unplaced: 0}, medium(100))!;
    expect(Math.exp(-hazard[0]!)).toBeCloseTo(entry.value("R_conditional"), 10);
    const far = addedHazard(500 / 100, 1 / 100, 5);
    expect(Math.exp(-far) / entry.value("far_tail_shape5_scale100_age500_mission1")).toBeCloseTo(1, 6);
  });

  it("counts every hour at the pace of its condition, and adds chance", () => {
    // twice as fast at high flow: 300 h there are 600 h at medium
    const model = known(2, [1000, 500], 0.0004);
    const history = {spent: [medium(100), high(300)], unplaced: 0};
    expect(equivalentAge(model, history, medium(60))).toBeCloseTo(700, 9);
    expect(hazardAhead(model, history, high(60))![0]).toBeCloseTo((0.7 + 0.12) ** 2 - 0.7 ** 2 + 0.0004 * 60, 12);
    // at shape 1 age does not matter
    const ageless = known(1, [1000, 500]);
    expect(hazardAhead(ageless, history, medium(60))![0]).toBeCloseTo(0.06, 12);
    expect(hazardAhead(ageless, NEW_PART, medium(60))![0]).toBeCloseTo(0.06, 12);
  });

  it("spreads hours of an unknown condition as the component's own were spent", () => {
    const model = known(2, [1000, 500]);
    // half and half: 200 h count as 100 + 2 · 100
    expect(equivalentAge(model, {spent: [], unplaced: 200}, medium(1))).toBeCloseTo(300, 9);
  });

  it("has no answer for a condition the model does not hold", () => {
    expect(hazardAhead(known(2, [1000, 500]), NEW_PART, {mud: "OBM", regime: "low", hours: 10})).toBeNull();
  });

  it("agrees with a slow simulation of parts that wear, are struck, and have come so far", {timeout: 20_000}, () => {
    const random = seededRandom(7);
    const [shape, scale, chance] = [2.4, 700, 1 / 4000];
    let reached = 0;
    let through = 0;
    while (reached < 20_000) {
      const wornAt = scale * (-Math.log(random.uniform())) ** (1 / shape);
      const struckAt = -Math.log(random.uniform()) / chance;
      // 150 h at medium, then 100 h at high flow where the clock of wear runs twice as fast, then 80 h at high flow
      if (wornAt < 150 + 200 || struckAt < 150 + 100) continue;
      reached += 1;
      if (wornAt >= 150 + 200 + 160 && struckAt >= 150 + 100 + 80) through += 1;
    }
    const model = known(shape, [scale, scale / 2], chance);
    const hazard = hazardAhead(model, {spent: [medium(150), high(100)], unplaced: 0}, high(80))![0]!;
    const said = Math.exp(-hazard);
    expect(Math.abs(through / reached - said)).toBeLessThan(4 * Math.sqrt((said * (1 - said)) / reached));
  });
});

describe("renewList(parts, others, meets)", () => {
  const part = (now: number, fresh: number, cost: number): Renewable => ({
    now: Float64Array.of(now),
    fresh: Float64Array.of(fresh),
    cost,
  });
  const below = (most: number) => (hazard: Float64Array) => hazard[0]! <= most;
  const others = Float64Array.of(0.01);

  it("is empty when the whole meets it, and takes all that helps when nothing does", () => {
    const parts = [part(0.05, 0.01, 100), part(0.02, 0.02, 50)];
    expect(renewList(parts, others, below(0.1))).toEqual({parts: [], cost: 0, meets: true});
    expect(renewList(parts, others, below(0.02))).toEqual({parts: [0], cost: 100, meets: false});
  });

  it("prefers few parts, and of those the cheap ones", () => {
    const parts = [part(0.06, 0.01, 900), part(0.055, 0.01, 300), part(0.03, 0.01, 10), part(0.03, 0.01, 10)];
    expect(renewList(parts, others, below(0.145))).toEqual({parts: [1], cost: 300, meets: true});
  });

  it("never puts in a part that is better old", () => {
    const parts = [part(0.01, 0.05, 1), part(0.2, 0.01, 100)];
    expect(renewList(parts, others, below(0.001)).parts).toEqual([1]);
  });

  it("with many parts is as short as the best of all lists, for the average hazard", () => {
    const random = seededRandom(11);
    for (let round = 0; round < 6; round++) {
      const parts = Array.from({length: 13}, () =>
        part(0.005 + 0.05 * random.uniform(), 0.004, 50 + 900 * random.uniform()),
      );
      const all = hazardWith(
        parts,
        others,
        parts.map((_, i) => i),
      )[0]!;
      const none = hazardWith(parts, others, [])[0]!;
      const most = all + 0.6 * (none - all);
      const {parts: list, meets} = renewList(parts, others, below(most));
      expect(meets).toBe(true);
      let shortest = Infinity;
      for (let mask = 0; mask < 1 << 13; mask++) {
        let sum = none;
        let size = 0;
        for (let i = 0; i < 13; i++) if (mask & (1 << i)) [sum, size] = [sum - gainOf(parts[i]!), size + 1];
        if (sum <= most) shortest = Math.min(shortest, size);
      }
      expect(list).toHaveLength(shortest);
    }
  });
});

describe("nextRun(question, models, rebuild, settings)", () => {
  const fitted = (component: string, age: number) => ({
    component,
    position: null,
    serial: null,
    age,
    spent: age > 0 ? [medium(age)] : [],
    unplaced: 0,
  });
  const models = new Map([
    ["SEAL", known(2.5, [600, 300])],
    ["TIPP", known(2.5, [900, 450])],
    ["ORNG", known(1.5, [6000, 3000])],
  ]);
  const ask = (target: number, of: "whole" | "each part", rebuild = noRebuildRisk) =>
    nextRun(
      {
        parts: [fitted("SEAL", 400), fitted("TIPP", 100), fitted("ORNG", 120)],
        fleet: null,
        since: 120,
        ahead: medium(60),
        target,
        of,
        judge: "expected",
      },
      models,
      rebuild,
      DEFAULT_SETTINGS,
    );

  it("multiplies the survivals of the parts, names the weakest and the renewal that does it", () => {
    const answer = ask(0.95, "whole");
    const product = answer.parts.reduce((all, {now}) => all * now.mean, 1);
    expect(answer.whole.now.mean).toBeCloseTo(product, 12);
    expect(answer.parts[answer.limiting]!.component).toBe("SEAL");
    expect(answer.meets).toBe("with the list");
    expect(answer.list.map((i) => answer.parts[i]!.component)).toEqual(["SEAL", "ORNG"]);
    expect(answer.withIt.map((i) => answer.parts[i]!.component)).toEqual(["ORNG"]);
    const {SEAL, ORNG} = DEFAULT_SETTINGS.components;
    expect(answer.listCost).toBe(SEAL!.planned_cost + ORNG!.planned_cost);
    expect(answer.whole.afterList.mean).toBeGreaterThan(0.95);
  });

  it("says when no renewal reaches the target, and the best there is", () => {
    const answer = ask(0.9999, "whole");
    expect(answer.meets).toBe("not at all");
    expect(answer.whole.allNew.mean).toBeLessThan(0.9999);
    expect(answer.whole.afterList.mean).toBeGreaterThan(answer.whole.allNew.mean - 0.005);
  });

  it("asks each part by itself when told to", () => {
    const answer = ask(0.98, "each part");
    expect(answer.list.map((i) => answer.parts[i]!.component)).toEqual(["SEAL", "ORNG"]);
    expect(ask(0.5, "each part").meets).toBe("as it stands");
  });

  it("counts the shop's own faults afresh once the tool is opened", () => {
    const risky: RebuildRisk = {...noRebuildRisk, ahead: (since) => Float64Array.of(since === 0 ? 0.3 : 0.01)};
    const answer = ask(0.95, "each part", risky);
    expect(answer.whole.now.mean).toBeGreaterThan(answer.whole.afterList.mean);
    expect(answer.rebuild.opened.mean).toBeCloseTo(Math.exp(-0.3), 12);
  });
});

describe("survivalOf(hazard, level)", () => {
  it("is the mean over the draws with the draws' limits around it", () => {
    const {mean, limits} = survivalOf(
      Float64Array.from({length: 100}, (_, d) => d / 500),
      0.9,
    );
    expect(mean).toBeCloseTo(Array.from({length: 100}, (_, d) => Math.exp(-d / 500)).reduce((a, b) => a + b) / 100, 12);
    expect(limits[0]).toBeLessThan(mean);
    expect(limits[1]).toBeGreaterThan(mean);
  });
});
