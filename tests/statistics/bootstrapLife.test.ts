import {describe, expect, it} from "vitest";
import {bootstrapLife, runToEnd} from "../../src/statistics/bootstrapLife.ts";
import {fitLife} from "../../src/statistics/fitLife.ts";
import {ageLimits, shapeLimits} from "../../src/statistics/lifeLimits.ts";
import {lifeData} from "../../src/statistics/lifeData.ts";
import {percentileLimits} from "../../src/statistics/percentileLimits.ts";
import type {LifeFit} from "../../src/statistics/types.ts";
import {seededRandom} from "./simulate.ts";

const random = seededRandom(40);
const failed = Array.from({length: 60}, () => 200 * random.exponential() ** 0.5);
const data = lifeData({failed, suspended: Array.from({length: 30}, () => 150 * random.uniform())});
const fit = fitLife(data) as LifeFit;

describe("bootstrapLife(data, fit, options)", () => {
  it("gives standard errors close to those of the information, when lives are independent", () => {
    const replicates = runToEnd(bootstrapLife(data, fit, {count: 1500, seed: 1}))!;
    expect(replicates.groups).toBe(90);
    const logs = replicates.logShape;
    const mean = logs.reduce((a, b) => a + b) / logs.length;
    const error = Math.sqrt(logs.reduce((a, b) => a + (b - mean) ** 2, 0) / logs.length);
    expect(Math.abs(error / Math.sqrt(fit.covariance[1][1]) - 1)).toBeLessThan(0.2);
    const wide = shapeLimits(data, fit, {by: "bootstrap", replicates}).limits;
    const ratio = shapeLimits(data, fit).limits;
    wide.forEach((end, i) => expect(Math.abs(Math.log(end! / ratio[i]!))).toBeLessThan(0.12));
  });

  it("keeps parts of one tool together: copies of a life add nothing", () => {
    // every life four times, in one tool each: as much is known as from one copy
    const rows = [0, 1, 2, 3].flatMap(() => Array.from(data.lower, (_, i) => i));
    const four = lifeData({lower: rows.map((i) => data.lower[i]!), upper: rows.map((i) => data.upper[i]!)});
    const fourFit = fitLife(four) as LifeFit;
    const width = (options: {group?: readonly number[]}) => {
      const replicates = runToEnd(bootstrapLife(four, fourFit, {...options, count: 400, seed: 3}))!;
      const [low, high] = ageLimits(four, fourFit, 0.1, {by: "bootstrap", replicates}).limits;
      return Math.log(high! / low!);
    };
    expect(width({group: rows}) / width({})).toBeGreaterThan(1.7); // about √4
  });

  it("repeats with its seed, reports progress and stops when told", () => {
    const once = runToEnd(bootstrapLife(data, fit, {count: 100, seed: 9, batch: 25}))!;
    const done: number[] = [];
    const again = runToEnd(bootstrapLife(data, fit, {count: 100, seed: 9, batch: 25}), {report: (d) => done.push(d)})!;
    expect([...again.location]).toEqual([...once.location]);
    expect(done).toEqual([25, 50, 75, 100]);
    const signal = {aborted: false};
    const stopped = runToEnd(bootstrapLife(data, fit, {count: 100, seed: 9, batch: 25}), {
      signal,
      report: () => (signal.aborted = true),
    });
    expect(stopped).toBeNull();
  });

  it("counts sets that cannot be fitted and warns of them", () => {
    const few = lifeData({failed: [100, 150], suspended: [50, 80, 120, 200, 220]});
    const replicates = runToEnd(bootstrapLife(few, fitLife(few) as LifeFit, {count: 300, seed: 2}))!;
    expect(replicates.lost).toBeGreaterThan(15);
    const {cautions} = shapeLimits(few, fitLife(few) as LifeFit, {by: "bootstrap", replicates});
    expect(cautions.join()).toContain(`${replicates.lost} of 300 resampled sets could not be fitted`);
    expect(cautions.join()).toContain("too narrow");
  });

  it("refuses groups that do not match", () => {
    expect(() => runToEnd(bootstrapLife(data, fit, {group: [1], seed: 1}))).toThrow("each of 90 lives, got 1");
  });
});

describe("percentileLimits(values, estimate, level)", () => {
  it("gives plain percentiles when the estimate is the median", () => {
    const values = Float64Array.from({length: 999}, (_, i) => i + 1);
    const {limits} = percentileLimits(values, 500, 0.9);
    expect(limits[0]).toBeCloseTo(50, 6);
    expect(limits[1]).toBeCloseTo(950, 6);
  });

  it("shifts both ends when most replicates lie on one side", () => {
    const values = Float64Array.from({length: 999}, (_, i) => i + 1);
    const {limits} = percentileLimits(values, 400, 0.9);
    expect(limits[0]).toBeLessThan(50);
    expect(limits[1]).toBeLessThan(950);
  });

  it("has no limit where replicates run to infinity or are too few", () => {
    const values = Float64Array.from({length: 100}, (_, i) => (i < 80 ? i : Infinity));
    expect(percentileLimits(values, 50, 0.9).limits[1]).toBeNull();
    expect(percentileLimits(new Float64Array(5), 0, 0.9).limits).toEqual([null, null]);
  });
});
