import {describe, expect, it} from "vitest";
import {kaplanMeier, nelsonAalen} from "../../src/statistics/kaplanMeier.ts";
import {lifeData} from "../../src/statistics/lifeData.ts";
import {at, cells, entry, expectQuantity, fixtures, livesOf, numbers} from "./reference.ts";

const ends = (limits: readonly (readonly (number | null)[])[], side: 0 | 1): number[] =>
  limits.map((l) => l[side] ?? NaN);

describe("kaplanMeier(data)", () => {
  it("agrees with nist-kaplan-meier: survival, Greenwood, limits at two levels, Nelson-Aalen", () => {
    const {inputs, expected} = entry("nist-kaplan-meier");
    const data = livesOf(inputs);
    const km = kaplanMeier(data, {level: 0.95});
    expect([...km.age]).toEqual(numbers(expected, "failure_times"));
    expectQuantity(km.survival, at(expected, "surv"));
    expectQuantity(km.survival.slice(0, 2), at(expected, "surv_as_printed_products"));
    expectQuantity(km.standardError, at(expected, "greenwood_se"));
    expectQuantity(ends(km.limits, 0), at(expected, "loglog_lower_95"));
    expectQuantity(ends(km.limits, 1), at(expected, "loglog_upper_95"));
    const km90 = kaplanMeier(data);
    expectQuantity(ends(km90.limits, 0), at(expected, "loglog_lower_90"));
    expectQuantity(ends(km90.limits, 1), at(expected, "loglog_upper_90"));
    expectQuantity(nelsonAalen(data).cumulativeHazard, at(expected, "nelson_aalen"));
    expect(km.suspended.length).toBe(14);
  });

  it("agrees with the printed table of gehan-6mp-kaplan-meier", () => {
    const {inputs, expected} = entry("gehan-6mp-kaplan-meier");
    const km = kaplanMeier(livesOf(inputs), {level: 0.95});
    expectQuantity(km.age, numbers(expected, "failure_times"));
    expectQuantity(km.atRisk, at(expected, "n_risk"));
    expectQuantity(km.failures, at(expected, "n_event"));
    expectQuantity(km.survival, at(expected, "surv"));
    expectQuantity(km.standardError, at(expected, "greenwood_se"));
    expectQuantity(ends(km.limits, 0), at(expected, "loglog_lower_95"));
    expectQuantity(ends(km.limits, 1), at(expected, "loglog_upper_95"));
  });

  it("agrees with left-truncation-small", () => {
    const {inputs, expected} = entry("left-truncation-small");
    const km = kaplanMeier(livesOf(inputs));
    expectQuantity(km.age, numbers(expected, "km_time"));
    expectQuantity(km.atRisk, numbers(expected, "km_n_risk"));
    expectQuantity(km.survival, at(expected, "km_surv"));
  });

  it("agrees with the yearly inspections of heat-exchanger-plant-1", () => {
    // found at the inspections after 1, 2 and 3 years; at the last all 95 others were still good
    const {expected} = entry("heat-exchanger-plant-1");
    const data = lifeData({lower: [1, 2, 3, 3], upper: [1, 2, 3, null], weight: [1, 2, 2, 95]});
    const km = kaplanMeier(data);
    expectQuantity(
      km.survival.map((s) => 1 - s),
      at(expected, "F"),
    );
    expectQuantity(km.standardError, at(expected, "se"));
  });

  it("agrees with R survfit on late entries and ties (fixtures.json delayed_entry)", () => {
    const reference = at(fixtures(), "delayed_entry");
    const time = numbers(reference, "time");
    const status = numbers(reference, "status");
    const data = lifeData({
      lower: time,
      upper: time.map((t, i) => (status[i] === 1 ? t : null)),
      entry: numbers(reference, "entry"),
    });
    const km = kaplanMeier(data, {level: 0.9});
    const r = at(reference, "km90");
    expectQuantity(km.age, numbers(r, "time"));
    expectQuantity(km.atRisk, numbers(r, "n_risk"));
    expectQuantity(km.survival, numbers(r, "surv"));
    cells(r, "lower").forEach((lower, i) => lower !== null && expect(km.limits[i]![0]).toBeCloseTo(lower, 9));
    cells(r, "upper").forEach((upper, i) => upper !== null && expect(km.limits[i]![1]).toBeCloseTo(upper, 9));
    expectQuantity(km.cumulativeHazard, numbers(r, "cumhaz"));
    expectQuantity(km.hazardError, numbers(r, "cumhaz_se"));
  });

  it("counts a suspension at a failure age as still at risk there", () => {
    // Kaplan & Meier 1958, p. 461: four lives, a failure and a suspension at 5
    const km = kaplanMeier(lifeData({failed: [5], suspended: [5, 9, 9]}));
    expect(km.survival[0]).toBe(0.75);
  });

  it("ends at 0 without limits when the oldest life failed, and says when late lives follow", () => {
    const km = kaplanMeier(lifeData({failed: [5, 9]}));
    expect(km.survival[1]).toBe(0);
    expect(km.limits[1]).toEqual([null, null]);
    const early = kaplanMeier(lifeData({lower: [2, 8, 9], upper: [2, 8, null], entry: [0, 3, 3]}));
    expect(early.cautions.join()).toContain("stays at 0");
  });

  it("answers no failures and no lives with an empty curve", () => {
    expect(kaplanMeier(lifeData({suspended: [5]})).survival.length).toBe(0);
    expect(kaplanMeier(lifeData({failed: []})).cautions).toEqual(["No failures: the curve stays at 1."]);
  });

  it("places an interval failure at its middle and says so", () => {
    const km = kaplanMeier(lifeData({lower: [10, 30], upper: [20, null]}));
    expect(km.age[0]).toBe(15);
    expect(km.cautions.join()).toContain("middle");
  });
});
