/** A part on its life model, against the closed form; percentiles against hand counts and simple-statistics. */
import {quantile} from "simple-statistics";
import {describe, expect, it} from "vitest";
import type {ComponentModel} from "../../../src/decisions/index.ts";
import {equivalentAge, placePart, wearCurve} from "../../../src/cells/review/placement.ts";
import {standing} from "../../../src/cells/review/usual.ts";
import {lifeTable} from "../inputs.ts";

/** Two draws in two conditions; the likeliest parameters are those of the first. */
function modelOf(chance = 0): ComponentModel {
  return {
    component: "SEAL",
    posterior: {
      count: 2,
      cells: 2,
      shape: Float64Array.of(2, 3),
      scale: Float64Array.of(400, 200, 500, 250),
      likeliest: {shape: 2, scale: Float64Array.of(400, 200)},
      speed: Float64Array.of(0, Math.log(2)),
    },
    powers: null,
    noFit: null,
    failures: 10,
    own: {shape: 2, limits: [1, 3]},
    chanceRate: chance,
    chanceDraws: new Float64Array(2).fill(chance),
    chanceWears: false,
    cellOf: new Map([
      ["KCL medium", 0],
      ["OBM high", 1],
    ]),
    oldest: 500,
    data: {lower: new Float64Array(30)} as ComponentModel["data"],
    leftOut: 0,
  };
}

/** 100 h in KCL medium, then 40 h in OBM high, in which it failed */
const lives = lifeTable([
  {
    lower: 140,
    upper: 140,
    mode: "SEAL-ABR",
    spent: [
      {mud: "KCL", regime: "medium", hours: 100, run: 0},
      {mud: "OBM", regime: "high", hours: 40, run: 1},
    ],
  },
]);
const part = {life: 0, stretch: 1, lower: null};

describe("placePart(model, lives, part, level)", () => {
  it("is 1 − exp(−(Σ h/η)^β), and the risk of the run what that adds to a survivor", () => {
    const placed = placePart(modelOf(), lives, part, 0.9);
    if ("sentence" in placed) throw new Error(placed.sentence);
    const u = (hours: number) => (100 / 400 + hours / 200) ** 2;
    expect(placed.failedBy.estimate).toBeCloseTo(1 - Math.exp(-u(40)), 12);
    expect(placed.inRun.estimate).toBeCloseTo(1 - Math.exp(-(u(40) - u(0))), 12);
    const second = 1 - Math.exp(-((100 / 500 + 40 / 250) ** 3));
    expect(placed.failedBy.limits[0]).toBeCloseTo(second, 12);
    expect(placed.failedBy.limits[1]).toBeCloseTo(placed.failedBy.estimate, 12);
    // 100 h of KCL age as 50 h of OBM at high flow, twice as fast
    expect(placed.equivalent).toBeCloseTo(90, 10);
    expect(placed.equivalentBefore).toBeCloseTo(50, 10);
    expect(placed).toMatchObject({mud: "OBM", regime: "high", failures: 10, lives: 30, failedByLower: null});
  });

  it("adds chance to the risk of the run and not to wear", () => {
    const placed = placePart(modelOf(0.001), lives, part, 0.9);
    if ("sentence" in placed) throw new Error(placed.sentence);
    const wear = 0.45 ** 2 - 0.25 ** 2;
    expect(placed.inRun.estimate).toBeCloseTo(1 - Math.exp(-(wear + 0.04)), 12);
    expect(placed.failedBy.estimate).toBeCloseTo(1 - Math.exp(-(0.45 ** 2)), 12);
  });

  it("of an age known only to lie between two gives both ends", () => {
    const within = placePart(modelOf(), lives, {...part, lower: 120}, 0.9);
    if ("sentence" in within) throw new Error(within.sentence);
    expect(within.failedByLower?.estimate).toBeCloseTo(1 - Math.exp(-((100 / 400 + 20 / 200) ** 2)), 12);
    expect(within.equivalentLower).toBeCloseTo(70, 10);
    const before = placePart(modelOf(), lives, {...part, lower: 50}, 0.9);
    if ("sentence" in before) throw new Error(before.sentence);
    expect(before.failedByLower?.estimate).toBeCloseTo(1 - Math.exp(-((50 / 400) ** 2)), 12);
  });

  it("spreads the hours a used part came with as those it has logged", () => {
    const used = lifeTable([
      {
        entry: 70,
        lower: 210,
        upper: 210,
        spent: [
          {mud: "KCL", regime: "medium", hours: 100, run: 0},
          {mud: "OBM", regime: "high", hours: 40, run: 1},
        ],
      },
    ]);
    const placed = placePart(modelOf(), used, part, 0.9);
    if ("sentence" in placed) throw new Error(placed.sentence);
    expect(placed.failedBy.estimate).toBeCloseTo(1 - Math.exp(-(((100 + 50) / 400 + (40 + 20) / 200) ** 2)), 12);
  });

  it("says why where there is no model, or none for what the part saw", () => {
    expect(placePart(null, lives, part, 0.9)).toEqual({sentence: "no life of such a part is in view"});
    expect(placePart({...modelOf(), posterior: null, noFit: "no part has failed by wear"}, lives, part, 0.9)).toEqual({
      sentence: "no part has failed by wear",
    });
    expect(placePart({...modelOf(), cellOf: new Map([["KCL medium", 0]])}, lives, part, 0.9)).toHaveProperty(
      "sentence",
    );
  });

  it("stands on the curve that is drawn", () => {
    const model = modelOf();
    const curve = wearCurve(model, "OBM high", 180, 0.9);
    const placed = placePart(model, lives, part, 0.9);
    if ("sentence" in placed) throw new Error(placed.sentence);
    expect(curve.find(({age}) => age === 90)?.estimate).toBeCloseTo(placed.failedBy.estimate, 12);
    expect(equivalentAge(model, lives, 0, "OBM high")).toBeCloseTo(90, 10);
    expect(wearCurve(model, "SALT low", 180, 0.9)).toEqual([]);
  });
});

describe("standing(name, quantity, value, others)", () => {
  const others = [5, 1, 2, 2, 3, 4, 6, 7, 8, 9, 10, NaN];

  it("counts ties half and leaves out what is not known", () => {
    const {below, others: counted} = standing("sand", "percent", 2, others);
    expect(counted).toBe(11);
    expect(below).toBeCloseTo((1 + 2 / 2) / 11, 12);
  });

  it("takes the usual range from the fleet's percentiles, and says what lies outside", () => {
    const known = others.filter(Number.isFinite);
    const row = standing("sand", "percent", 12, others);
    expect([row.low, row.middle, row.high]).toEqual([0.05, 0.5, 0.95].map((p) => quantile(known, p)));
    expect(row).toMatchObject({below: 1, unusual: true});
    expect(standing("sand", "percent", 5, others).unusual).toBe(false);
  });

  it("gives no range for a few others, and no place for a value that is missing", () => {
    expect(standing("sand", "percent", 2, [1, 2, 3])).toMatchObject({
      below: null,
      low: null,
      high: null,
      unusual: false,
    });
    expect(standing("sand", "percent", NaN, others)).toMatchObject({below: null, unusual: false});
  });
});
