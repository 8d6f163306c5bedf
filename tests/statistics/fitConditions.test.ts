import {describe, expect, it} from "vitest";
import {
  conditionData,
  conditionFaults,
  selectConditionLives,
  type ConditionData,
} from "../../src/statistics/conditionData.ts";
import {cellChecks} from "../../src/statistics/cellChecks.ts";
import {cellAge, cellReliability} from "../../src/statistics/cellLimits.ts";
import {conditionDesign} from "../../src/statistics/conditionDesign.ts";
import {conditionDraws} from "../../src/statistics/conditionDraws.ts";
import {conditionObjective, conditionRows} from "../../src/statistics/conditionLikelihood.ts";
import {fitConditions, type ConditionFit} from "../../src/statistics/fitConditions.ts";
import {fitLife} from "../../src/statistics/fitLife.ts";
import {evaluation} from "../../src/statistics/likelihood.ts";
import {estimateWidths, widthPoint} from "../../src/statistics/priorWidth.ts";
import {at, entry, expectQuantity, number, numbers} from "./reference.ts";
import {conditionFleet, seededRandom, type Scenario} from "./simulate.ts";

const base: Scenario = {
  lives: 400,
  seed: 1,
  first: [0, 0.5, -0.4, 0.2],
  second: [0, 0.4, -0.3],
  shape: 2.2,
  scale: 300,
  loyalty: 0.5,
  removal: 260,
  exact: 0.5,
};

function fitted(data: ConditionData, options = {}): ConditionFit {
  const fit = fitConditions(data, options);
  if (!fit.fitted) throw new Error(fit.sentence);
  return fit;
}

/** Late entry for every third life: it came under observation after its first stretch. */
function withLateEntry(data: ConditionData): ConditionData {
  const entryAge = data.lower.map((lower, i) => (i % 3 === 0 && lower > 0 ? lower / 3 : 0));
  const atEntry = data.atLower.map((hours, j) => (entryAge[Math.floor(j / data.cells)]! > 0 ? hours / 3 : 0));
  return {...data, entry: entryAge, atEntry, weight: data.weight.map((_, i) => 1 + (i % 2))};
}

describe("conditionObjective(rows)", () => {
  const data = withLateEntry(conditionFleet({...base, lives: 60}));
  const design = conditionDesign(data);
  const objective = conditionObjective(conditionRows(data, design));
  const theta = Float64Array.from([5.6, 0.7, 0.3, -0.2, 0.1, 0.25, -0.1]);

  it("gives the log-likelihood written down directly", () => {
    const k = Math.exp(theta[1]!);
    const logPhi = Array.from({length: data.cells}, (_, c) => {
      let sum = 0;
      design.columns.forEach(({name, level}, j) => {
        const factor = data.factors.find((f) => f.name === name)!;
        if (factor.levels[factor.levelOf[c]!] === level) sum += theta[2 + j]!;
      });
      return sum;
    });
    const hazardOf = (block: Float64Array, i: number): number => {
      let u = 0;
      for (let c = 0; c < data.cells; c++) u += block[i * data.cells + c]! * Math.exp(logPhi[c]!);
      return (u / Math.exp(theta[0]!)) ** k;
    };
    let slow = 0;
    for (let i = 0; i < data.lower.length; i++) {
      const before = data.entry[i]! > 0 ? hazardOf(data.atEntry, i) : 0;
      const low = hazardOf(data.atLower, i);
      let term = Math.exp(-low);
      if (data.lower[i] === data.upper[i]) {
        const u = Math.exp(theta[0]!) * low ** (1 / k);
        term *= ((k * low) / u) * Math.exp(logPhi[data.failedIn[i]!]!);
      } else if (data.upper[i]! < Infinity) term -= Math.exp(-hazardOf(data.atUpper, i));
      slow += data.weight[i]! * (Math.log(term) + before);
    }
    const out = evaluation(theta.length);
    objective(theta, out);
    expect(out.value).toBeCloseTo(slow, 8);
  });

  it("gives the gradient and Hessian that finite differences give", () => {
    const m = theta.length;
    const here = evaluation(m);
    const up = evaluation(m);
    const down = evaluation(m);
    objective(theta, here);
    for (let j = 0; j < m; j++) {
      objective(
        theta.map((v, i) => (i === j ? v + 1e-5 : v)),
        up,
      );
      objective(
        theta.map((v, i) => (i === j ? v - 1e-5 : v)),
        down,
      );
      const scale = 1 + Math.abs(here.gradient[j]!);
      expect(Math.abs((up.value - down.value) / 2e-5 - here.gradient[j]!) / scale).toBeLessThan(1e-6);
      for (let q = 0; q < m; q++) {
        const slope = (up.gradient[q]! - down.gradient[q]!) / 2e-5;
        expect(Math.abs(slope - here.hessian[j * m + q]!) / (1 + Math.abs(slope))).toBeLessThan(1e-6);
      }
    }
  });
});

/** One factor whose level never changes within a life: the accelerated-life regression others compute. */
function grouped(
  time: readonly number[],
  status: readonly number[],
  group: readonly number[],
  levels: readonly string[],
) {
  const cells = levels.length;
  const hours = new Float64Array(time.length * cells);
  time.forEach((t, i) => (hours[i * cells + group[i]!] = t));
  return conditionData({
    lower: Float64Array.from(time),
    upper: Float64Array.from(time, (t, i) => (status[i] ? t : Infinity)),
    entry: new Float64Array(time.length),
    weight: new Float64Array(time.length).fill(1),
    cells,
    atEntry: new Float64Array(hours.length),
    atLower: hours,
    atUpper: hours,
    failedIn: Int32Array.from(group),
    factors: [{name: "group", levels, levelOf: Int32Array.from(levels, (_, i) => i)}],
  });
}

describe("fitConditions(data)", () => {
  it("is the two-group Weibull regression of gehan-groups when the prior is wide and no life changes group", () => {
    const {inputs, expected} = entry("gehan-groups");
    const group = at(inputs, "group") as readonly string[];
    const data = grouped(
      numbers(inputs, "time"),
      numbers(inputs, "status"),
      group.map((g) => (g === "control" ? 1 : 0)),
      ["6-MP", "control"],
    );
    const fit = fitted(data, {widths: [99], reference: {group: "6-MP"}});
    const common = at(expected, "common_shape");
    // the prior of width 99 pulls an effect of 1.27 by its variance over 99²: 1e-5
    const [intercept, slope] = numbers(common, "coefficients", "value");
    expect(Math.log(fit.scale)).toBeCloseTo(intercept!, 4);
    expect(-fit.effects.find((e) => e.level === "control")!.estimate).toBeCloseTo(slope!, 4);
    expect(1 / fit.shape).toBeCloseTo(number(common, "sigma", "value"), 5);
    expectQuantity(fit.logLikelihood, {value: number(common, "logLik", "value"), tolerance: {abs: 1e-6}});
    const errors = numbers(common, "se", "value");
    expect(fit.effects.find((e) => e.level === "control")!.standardError).toBeCloseTo(errors[1]!, 4);
    expect(Math.sqrt(fit.cells[0]!.covariance[1][1])).toBeCloseTo(errors[2]!, 4);
  });

  it("is the pooled fit when the prior is narrow", () => {
    const data = conditionFleet(base);
    const fit = fitted(data, {widths: [1e-4, 1e-4]});
    const pooled = fitLife(data);
    expect(pooled.fitted && fit.shape / pooled.shape!).toBeCloseTo(1, 4);
    expect(pooled.fitted && fit.scale / pooled.scale!).toBeCloseTo(1, 4);
  });

  it("finds the true effects, shape and scale of a large fleet", () => {
    // effects relative to the reference: within 4 standard errors, which are about 0.03
    const fit = fitted(conditionFleet({...base, seed: 2, lives: 4000}), {reference: {first: "a0", second: "b0"}});
    const truth: Record<string, number> = {a0: 0, a1: 0.5, a2: -0.4, a3: 0.2, b0: 0, b1: 0.4, b2: -0.3};
    for (const {level, estimate, standardError} of fit.effects) {
      expect(standardError).toBeLessThan(0.08);
      expect(Math.abs(estimate - truth[level!]!)).toBeLessThanOrEqual(4 * standardError);
    }
    expect(Math.abs(fit.shape - 2.2)).toBeLessThan(0.12);
    expect(Math.abs(Math.log(fit.scale / 300))).toBeLessThan(0.12);
  });

  it("shrinks a sparse level toward no effect and says so", () => {
    const data = conditionFleet({...base, lives: 30, first: [0, 0.8, 0.6, 0.1], loyalty: 0.95, removal: 90});
    const free = fitted(data, {widths: [50, 50]});
    const shrunk = fitted(data);
    const size = (fit: ConditionFit) => fit.effects.reduce((sum, e) => sum + Math.abs(e.estimate), 0);
    expect(size(shrunk)).toBeLessThan(size(free));
    expect(shrunk.cautions.join(" ")).toContain("prior");
  });

  it("borrows the prior's spread for a level no life was spent under", () => {
    const data = conditionFleet({...base, first: [0, 0.5, -0.4]});
    const unseen: ConditionData = {
      ...data,
      factors: [{...data.factors[0]!, levels: [...data.factors[0]!.levels, "unseen"]}, data.factors[1]!],
    };
    // give the unseen level a cell of its own, without exposure
    const K = data.cells + 1;
    const wider = (block: Float64Array): Float64Array => {
      const out = new Float64Array(data.lower.length * K);
      for (let i = 0; i < data.lower.length; i++) out.set(block.subarray(i * data.cells, (i + 1) * data.cells), i * K);
      return out;
    };
    const fit = fitted({
      ...unseen,
      cells: K,
      atEntry: wider(data.atEntry),
      atLower: wider(data.atLower),
      atUpper: wider(data.atUpper),
      factors: unseen.factors.map((f, i) => ({...f, levelOf: Int32Array.from([...f.levelOf, i === 0 ? 3 : 0])})),
    });
    const effect = fit.effects.find((e) => e.level === "unseen")!;
    const width = fit.widths[0]!.width;
    // its best guess is the mean of the levels seen, the reference's 0 among them
    const seen = fit.effects.filter((e) => e.factor === effect.factor && e.level !== "unseen");
    expect(effect.estimate).toBeCloseTo(seen.reduce((sum, e) => sum + e.estimate, 0) / seen.length, 6);
    expect(effect.standardError).toBeGreaterThan(width);
    expect(effect.priorShare).toBeGreaterThan(0.6);
    expect(fit.cautions.join(" ")).toContain("unseen");
    expect(fit.cells[K - 1]!.logScaleVariance).toBeGreaterThan(width ** 2);
  });

  it("takes a covariate per cell and reports its slope per unit", () => {
    const data = conditionFleet({...base, lives: 3000, second: [0, 0.25, 0.5]});
    const sand = Float64Array.from({length: data.cells}, (_, c) => c % 3); // percent; the true slope is 0.25 per percent
    const fit = fitted({...data, factors: [data.factors[0]!], covariates: [{name: "sand", ofCell: sand}]});
    const slope = fit.effects.find((e) => e.factor === "sand")!;
    expect(Math.abs(slope.estimate - 0.25)).toBeLessThan(4 * slope.standardError);
    expect(slope.standardError).toBeLessThan(0.05);
  });

  it("gives the same figures whatever the reference level", () => {
    const data = conditionFleet({...base, lives: 80});
    const a = fitted(data, {reference: {first: "a0"}});
    const b = fitted(data, {reference: {first: "a2"}});
    for (let c = 0; c < data.cells; c++) {
      expect(a.cells[c]!.weibull.scale / b.cells[c]!.weibull.scale).toBeCloseTo(1, 3);
      expect(a.cells[c]!.logScaleVariance / b.cells[c]!.logScaleVariance).toBeCloseTo(1, 2);
    }
    expect(a.widths[0]!.width / b.widths[0]!.width).toBeCloseTo(1, 2);
  });

  it("survives structured clone and repeats to the last digit", () => {
    const data = conditionFleet(base);
    expect(structuredClone(fitted(data))).toEqual(fitted(data));
  });

  it("conditionDraws(fit, seed) have the mean and covariance of the fit", () => {
    const fit = fitted(conditionFleet({...base, lives: 120}));
    const draws = conditionDraws(fit, {count: 20000, seed: 7});
    const c = 5;
    const logs = Array.from({length: draws.count}, (_, d) => Math.log(draws.scale[d * draws.cells + c]!));
    const mean = logs.reduce((a, b) => a + b) / logs.length;
    const variance = logs.reduce((a, b) => a + (b - mean) ** 2, 0) / logs.length;
    const cell = fit.cells[c]!;
    expect(Math.abs(mean - Math.log(cell.weibull.scale))).toBeLessThan(4 * Math.sqrt(cell.logScaleVariance / 20000));
    expect(Math.abs(variance / cell.logScaleVariance - 1)).toBeLessThan(0.05);
    const again = conditionDraws(fit, {count: 3, seed: 7});
    expect([...again.shape]).toEqual([...draws.shape.slice(0, 3)]);
  });

  it("names why it cannot fit, and never gives NaN", () => {
    const data = conditionFleet({...base, lives: 30});
    const none = fitConditions({...data, upper: data.upper.map(() => Infinity)});
    expect(!none.fitted && none.reason).toBe("no failures");
    for (let seed = 1; seed <= 30; seed++) {
      const fit = fitConditions(conditionFleet({...base, seed, lives: 6 + (seed % 5), removal: 100}));
      if (!fit.fitted) {
        expect(fit.sentence).toMatch(/\w{3}/);
        continue;
      }
      const figures = [
        ...fit.cells.flatMap((c) => [c.weibull.shape, c.weibull.scale, c.logScaleVariance]),
        ...fit.effects.flatMap((e) => [e.estimate, e.standardError, ...e.limits]),
      ];
      expect(figures.every(Number.isFinite)).toBe(true);
    }
  });
});

describe("estimateWidths(objective, design, start)", () => {
  it("stands on the top of the Laplace marginal likelihood, found again by a grid", () => {
    const data = conditionFleet({...base, lives: 150});
    const design = conditionDesign(data);
    const objective = conditionObjective(conditionRows(data, design));
    const start = [5.7, 0.8, 0, 0, 0, 0, 0];
    const found = estimateWidths(objective, design, start);
    if ("failed" in found) throw new Error("not converged");
    const valueAt = (logWidths: readonly number[]): number => {
      const point = widthPoint(objective, design, logWidths, start);
      if ("failed" in point) throw new Error("not converged");
      return point.value;
    };
    const [a, b] = found.at.logWidths;
    for (const da of [-0.6, -0.1, 0, 0.1, 0.6]) {
      for (const db of [-0.6, -0.1, 0, 0.1, 0.6]) {
        expect(valueAt([a! + da, b! + db])).toBeLessThanOrEqual(found.at.value + 1e-6);
      }
    }
    // and its gradient is that of the values
    const point = widthPoint(objective, design, [-0.5, -1], start);
    if ("failed" in point) throw new Error("not converged");
    for (const [i, h] of [1e-4, 1e-4].entries()) {
      const moved = (by: number) => valueAt([-0.5, -1].map((v, j) => (i === j ? v + by : v)));
      expect(point.gradient[i]).toBeCloseTo((moved(h) - moved(-h)) / (2 * h), 3);
    }
  });
});

describe("conditionData(data)", () => {
  const good = conditionFleet({...base, lives: 10});

  it("refuses exposure that falls, is missing or is negative, by row", () => {
    const broken = (change: (d: ConditionData) => void): string => {
      const copy = structuredClone(good);
      change(copy);
      return conditionFaults(copy)
        .map(({row, sentence}) => `${row}: ${sentence}`)
        .join();
    };
    const exactRow = good.lower.findIndex((lower, i) => lower === good.upper[i]);
    expect(broken((d) => d.atLower.fill(-1, 0, d.cells))).toContain("0: exposures must be finite and not negative");
    expect(broken((d) => d.failedIn.fill(-1))).toContain(`${exactRow}: an exact failure needs the cell`);
    expect(broken((d) => d.atLower.fill(0))).toContain("needs exposure in some cell");
    expect(conditionFaults(good)).toEqual([]);
    expect(() => conditionData({...good, atLower: new Float64Array(3)})).toThrow("values in atLower, got 3");
    expect(() => conditionData({...good, failedIn: new Int32Array(10).fill(-1)})).toThrow("conditionData row");
  });

  it("selectConditionLives(data, rows) keeps each life's exposure with it", () => {
    const rows = Array.from({length: 10}, () => seededRandom(3).below(10));
    const taken = selectConditionLives(good, rows);
    expect([...taken.atLower.slice(0, good.cells)]).toEqual([
      ...good.atLower.slice(rows[0]! * good.cells, (rows[0]! + 1) * good.cells),
    ]);
    expect(taken.failedIn[4]).toBe(good.failedIn[rows[4]!]);
  });
});

describe("what a cell says", () => {
  it("cellAge and cellReliability have the spread of the draws", () => {
    const fit = fitted(conditionFleet({...base, lives: 200}));
    const draws = conditionDraws(fit, {count: 8000, seed: 3});
    const cell = 4;
    const spreadOf = (f: (shape: number, scale: number) => number): number => {
      const values = Array.from({length: draws.count}, (_, d) =>
        f(draws.shape[d]!, draws.scale[d * draws.cells + cell]!),
      );
      const mean = values.reduce((a, b) => a + b) / values.length;
      return Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / values.length);
    };
    const z = 1.6448536269514722;
    const age = cellAge(fit.cells[cell]!, 0.1);
    expect(Math.log(age.limits[1] / age.limits[0]) / (2 * z)).toBeCloseTo(
      spreadOf((shape, scale) => Math.log(scale * (-Math.log(0.9)) ** (1 / shape))),
      2,
    );
    const r = cellReliability(fit.cells[cell]!, 150);
    const logLog = (value: number): number => Math.log(-Math.log(value));
    const spread = spreadOf((shape, scale) => shape * Math.log(150 / scale));
    expect((logLog(r.limits[0]) - logLog(r.limits[1])) / (2 * z) / spread).toBeCloseTo(1, 1);
    expect(r.limits[0]).toBeLessThan(r.estimate);
    expect(cellReliability(fit.cells[cell]!, 0).limits).toEqual([1, 1]);
  });

  it("cellChecks finds as many failures as expected over all lives, and sees a cell that is worse than the model", () => {
    const data = conditionFleet({...base, lives: 600, loyalty: 1});
    const fit = fitted(data);
    const checks = cellChecks(data, fit);
    const sum = (key: "failures" | "expected") => checks.reduce((total, check) => total + check[key], 0);
    // every life is of one cell here, and the score of the common rate is 0 at the maximum
    expect(sum("expected")).toBeCloseTo(sum("failures"), 4);
    const inside = checks.filter(({ratioLimits}) => ratioLimits && ratioLimits[0] <= 1 && ratioLimits[1] >= 1).length;
    expect(inside).toBeGreaterThanOrEqual(10);
    // an interaction the model does not have: cell 7 ages three times as fast as its mud and regime say
    const worse = conditionFleet({...base, lives: 900, loyalty: 1}, (c) => (c === 7 ? Math.log(3) : 0));
    const seen = cellChecks(worse, fitted(worse))[7]!;
    expect(seen.ratioLimits![0]).toBeGreaterThan(1);
    expect(seen.own.fitted && seen.own.scale!).toBeLessThan(seen.predicted.scale);
  });
});
