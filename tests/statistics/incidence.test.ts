import {describe, expect, it} from "vitest";
import {modeIncidence} from "../../src/statistics/incidence.ts";
import {kaplanMeier} from "../../src/statistics/kaplanMeier.ts";
import {lifeData} from "../../src/statistics/lifeData.ts";
import {at, entry, expectQuantity, fixtures, numbers} from "./reference.ts";

describe("modeIncidence(lives)", () => {
  it("agrees with melanoma-cumulative-incidence, both variances", () => {
    const {inputs, expected} = entry("melanoma-cumulative-incidence");
    const status = numbers(inputs, "status");
    const lives = {age: numbers(inputs, "time"), mode: status.map((s) => (s === 1 ? 0 : s === 3 ? 1 : -1)), modes: 2};
    const times = numbers(expected, "times");
    const jackknife = modeIncidence(lives);
    const counting = modeIncidence(lives, {variance: "counting"});
    const places = times.map((t) => jackknife.age.filter((age) => age <= t).length - 1);
    for (const [mode, name] of [
      [0, "mode1"],
      [1, "mode3"],
    ] as const) {
      const curve = jackknife.modes[mode]!;
      expectQuantity(
        places.map((i) => curve.incidence[i]!),
        at(expected, `cif_${name}`),
      );
      expectQuantity(
        places.map((i) => curve.standardError[i]!),
        at(expected, `se_survfit_${name}`),
      );
      expectQuantity(
        places.map((i) => counting.modes[mode]!.standardError[i]! ** 2),
        at(expected, `var_cuminc_${name}`),
      );
    }
  });

  it("agrees with R survfit on late entries and ties (fixtures.json modes)", () => {
    const reference = at(fixtures(), "modes");
    const found = modeIncidence({
      age: numbers(reference, "time"),
      mode: numbers(reference, "mode").map((m) => m - 1),
      modes: 2,
      entry: numbers(reference, "entry"),
    });
    const places = numbers(reference, "at").map((t) => found.age.filter((age) => age <= t).length - 1);
    const along = (values: Float64Array) => places.map((i) => (i < 0 ? 0 : values[i]!));
    expectQuantity(along(found.modes[0]!.incidence), {value: numbers(reference, "one"), tolerance: {abs: 1e-9}});
    expectQuantity(along(found.modes[1]!.incidence), {value: numbers(reference, "two"), tolerance: {abs: 1e-9}});
    expectQuantity(along(found.modes[0]!.standardError), {value: numbers(reference, "se_one"), tolerance: {abs: 1e-9}});
    expectQuantity(along(found.modes[1]!.standardError), {value: numbers(reference, "se_two"), tolerance: {abs: 1e-9}});
  });

  it("adds to 1 with survival, and one mode alone is one minus Kaplan-Meier", () => {
    const age = [5, 8, 8, 12, 15, 20, 21, 30];
    const mode = [0, 1, -1, 0, 2, -1, 1, 0];
    const three = modeIncidence({age, mode, modes: 3});
    three.age.forEach((_, s) => {
      const sum = three.modes.reduce((total, m) => total + m.incidence[s]!, three.survival[s]!);
      expect(sum).toBeCloseTo(1, 12);
    });
    const alone = modeIncidence({age, mode: mode.map((m) => (m >= 0 ? 0 : -1)), modes: 1});
    const km = kaplanMeier(lifeData({lower: age, upper: age.map((t, i) => (mode[i]! >= 0 ? t : null))}));
    alone.modes[0]!.incidence.forEach((f, s) => expect(f).toBeCloseTo(1 - km.survival[s]!, 12));
    // with one mode and no ties the jackknife is close to Greenwood
    expect(alone.modes[0]!.limits[0]![0]).toBeGreaterThan(0);
    expect(alone.modes[0]!.limits.at(-1)).toEqual([null, null]);
  });

  it("counts a weight as that many lives", () => {
    const weighted = modeIncidence({age: [5, 9, 12], mode: [0, 1, -1], modes: 2, weight: [2, 3, 4]});
    const rows = modeIncidence({
      age: [5, 5, 9, 9, 9, 12, 12, 12, 12],
      mode: [0, 0, 1, 1, 1, -1, -1, -1, -1],
      modes: 2,
    });
    expect([...weighted.modes[1]!.standardError]).toEqual(
      [...rows.modes[1]!.standardError].map((v) => expect.closeTo(v, 12)),
    );
    expect(weighted.modes[1]!.failures).toBe(3);
  });

  it("refuses what cannot be, by row", () => {
    const say = (lives: object) => () => modeIncidence({age: [1], mode: [0], modes: 1, ...lives});
    expect(say({age: [-1]})).toThrow("row 0: ages must be finite and not negative, got -1");
    expect(say({entry: [2]})).toThrow("entry age must be from 0 to the age 1, got 2");
    expect(say({weight: [Infinity]})).toThrow("count");
    expect(say({mode: [3]})).toThrow("modes go from -1 to 0, got 3");
    expect(say({mode: []})).toThrow("a mode for each of 1 lives");
  });
});
