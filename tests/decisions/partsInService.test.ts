import {describe, expect, it} from "vitest";
import {componentModels, partsInService, type PartsInService} from "../../src/decisions/index.ts";
import type {LifeTable} from "../../src/lives/index.ts";
import {lifeTable, type LifeRow} from "../cells/inputs.ts";

const LEVEL = 0.9;
const inService = (lives: LifeTable, components?: readonly string[]): PartsInService =>
  partsInService(lives, {
    models: componentModels(lives, LEVEL),
    level: LEVEL,
    ...(components === undefined ? {} : {components}),
  });

const spent = (mud: string, regime: string, hours: number) => ({mud, regime, hours});

/** Ages at even steps of a Weibull of shape 3: a sample without chance, for `count` lives of a condition. */
const failures = (mud: string, regime: string, scale: number, count: number): LifeRow[] =>
  Array.from({length: count}, (_, i) => {
    const age = scale * (-Math.log(1 - (i + 0.5) / count)) ** (1 / 3);
    return {tool: `F${mud}${i}`, lower: age, upper: age, mode: "SEAL-ABR", spent: [spent(mud, regime, age)]};
  });

/** Brine ages a seal half as fast as KCl: its lives are twice as long. Enough of them for the prior to fade. */
const WORLD = [...failures("KCL", "medium", 500, 200), ...failures("BRN", "medium", 1000, 200)];

describe("partsInService(lives)", () => {
  it("gives the parts still in a tool, with their age and where they spent it", () => {
    const lives = lifeTable([
      {lower: 120, ending: "renewed good"},
      {tool: "T2", lower: 90, ending: "still running", spent: [spent("KCL", "medium", 60), spent("BRN", "low", 30)]},
      {tool: "T3", component: "LINR", lower: 40, ending: "cut by window"},
    ]);
    const parts = inService(lives);
    expect(parts.rows).toBe(2);
    expect(parts.tool).toEqual(["T2", "T3"]);
    expect(parts.component).toEqual(["SEAL", "LINR"]);
    expect(parts.position).toEqual(["1", "1"]);
    expect([...parts.age]).toEqual([90, 40]);
    const K = parts.conditions.length;
    const at = (part: number, mud: string, regime: string): number =>
      parts.hours[part * K + parts.conditions.findIndex((one) => one.mud === mud && one.regime === regime)]!;
    expect([at(0, "KCL", "medium"), at(0, "BRN", "low"), at(1, "KCL", "medium")]).toEqual([60, 30, 40]);
    expect(parts.conditions[parts.last[0]!]).toEqual({mud: "BRN", regime: "low"});
    expect(inService(lives, ["LINR"]).tool).toEqual(["T3"]);
  });

  it("counts hours of a condition at its pace: 100 h in the kinder mud are some 50 h in the reference", () => {
    const lives = lifeTable([
      ...WORLD,
      {
        tool: "T1",
        lower: 300,
        ending: "still running",
        spent: [spent("KCL", "medium", 200), spent("BRN", "medium", 100)],
      },
      {tool: "T2", lower: 300, ending: "still running", spent: [spent("KCL", "medium", 300)]},
    ]);
    const kcl = {mud: "KCL", regime: "medium"};
    // the reference is where the fleet has run most: put it there
    const heavy = lifeTable([
      ...WORLD,
      ...failures("KCL", "medium", 500, 200),
      {
        tool: "T1",
        lower: 300,
        ending: "still running",
        spent: [spent("KCL", "medium", 200), spent("BRN", "medium", 100)],
      },
      {tool: "T2", lower: 300, ending: "still running", spent: [spent("KCL", "medium", 300)]},
    ]);
    const parts = inService(heavy);
    expect(parts.conditions[parts.reference[0]!]).toEqual(kcl);
    expect(parts.effective[0]! / 250).toBeCloseTo(1, 1);
    expect(parts.lower[0]!).toBeLessThan(parts.effective[0]!);
    expect(parts.upper[0]!).toBeGreaterThan(parts.effective[0]!);
    expect(parts.upper[0]! - parts.lower[0]!).toBeLessThan(20);
    // hours of the reference condition are hours
    expect([parts.effective[1], parts.lower[1], parts.upper[1]]).toEqual([300, 300, 300]);
    expect(parts.pace[0]! / 0.5).toBeCloseTo(1, 1);
    // on the clock of the kinder mud the same part is about twice as old
    const brine = inService(lives);
    expect(brine.conditions[brine.reference[0]!]!.mud).toBe("BRN");
    expect(brine.effective[0]! / parts.effective[0]!).toBeCloseTo(2, 0);
  });

  it("counts every hour alike where no life can be fitted, and says so", () => {
    const lives = lifeTable([
      {lower: 80, ending: "still running", spent: [spent("KCL", "medium", 50), spent("OBM", "high", 30)]},
    ]);
    const parts = inService(lives);
    expect(parts.modelled[0]).toBe(0);
    expect(parts.effective[0]).toBe(80);
  });

  it("spreads the hours a part came with as its own were spent, and counts them as assumed", () => {
    const lives = lifeTable([
      {lower: 150, entry: 50, ending: "still running", spent: [spent("KCL", "medium", 75), spent("OBM", "high", 25)]},
      {tool: "T2", lower: 40, entry: 40, ending: "still running", spent: []},
    ]);
    const parts = inService(lives);
    const K = parts.conditions.length;
    expect(Math.max(...parts.hours.subarray(0, K))).toBeCloseTo(112.5, 10);
    expect([...parts.assumed]).toEqual([50, 40]);
    // a part that has not run yet is put where the fleet runs most
    expect(parts.hours[K + parts.reference[1]!]).toBe(40);
    expect(parts.last[1]).toBe(-1);
    expect([...parts.effective].every(Number.isFinite)).toBe(true);
  });

  it("names slots whose part the log lost from view, unless another part has been fitted since", () => {
    const lives = lifeTable([
      {tool: "T1", lower: 60, ending: "lost from view", ended: "2024-03-01"},
      {tool: "T1", lower: 30, ending: "still running", began: "2024-04-01"},
      {tool: "T2", lower: 70, ending: "lost from view"},
    ]);
    expect([...inService(lives).ageLost]).toEqual([2]);
  });

  it("is empty for a log whose parts have all come out", () => {
    const parts = inService(lifeTable([{lower: 60, upper: 60}]));
    expect(parts.rows).toBe(0);
    expect(parts.effective.length).toBe(0);
  });
});
