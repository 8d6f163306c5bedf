import fc from "./property.ts";
import {describe, expect, it} from "vitest";
import {fitLife} from "../../src/statistics/fitLife.ts";
import {lifeData} from "../../src/statistics/lifeData.ts";
import type {LifeData, LifeFit} from "../../src/statistics/types.ts";
import {quantile, survival} from "../../src/statistics/weibull.ts";
import {at, entry, expectQuantity, livesOf, number, numbers} from "./reference.ts";
import {seededRandom} from "./simulate.ts";

function fitted(data: LifeData, options = {}): LifeFit {
  const fit = fitLife(data, options);
  if (!fit.fitted) throw new Error(fit.sentence);
  return fit;
}

const weibullOf = (fit: LifeFit) => ({shape: fit.shape!, scale: fit.scale!});

describe("fitLife(data) against published fits", () => {
  it.each(["nist-weibull-censored-limits", "genfan-survreg", "nelson-part-cracking", "cracks-days", "turbine-wheels"])(
    "agrees with %s: estimates, log-likelihood, covariance, B10",
    (id) => {
      const {inputs, expected} = entry(id);
      const fit = fitted(livesOf(inputs));
      expectQuantity(fit.shape!, at(expected, "shape"));
      expectQuantity(fit.scale!, at(expected, "scale"));
      expectQuantity(fit.location, at(expected, "survreg_intercept"));
      expectQuantity(fit.spread, at(expected, "survreg_scale"));
      expectQuantity(fit.logLikelihood, at(expected, "logLik"));
      expectQuantity(-2 * fit.logLikelihood + 4, at(expected, "AIC"));
      expectQuantity(fit.covariance[0][0], at(expected, "var_log_scale"));
      expectQuantity(fit.covariance[1][1], at(expected, "var_log_shape"));
      expectQuantity(fit.covariance[0][1], at(expected, "cov_log_scale_log_shape"));
      expectQuantity(quantile(0.1, weibullOf(fit)), at(expected, "B10"));
      const t0 = number(expected, "t0");
      expectQuantity(survival(t0, weibullOf(fit)), at(expected, "R_t0"));
    },
  );

  it("agrees with the digits NIST prints (nist-weibull-censored), lognormal AIC included", () => {
    const {inputs, expected} = entry("nist-weibull-censored");
    const data = livesOf(inputs);
    const fit = fitted(data);
    expectQuantity(fit.scale!, at(expected, "scale"));
    expectQuantity(fit.shape!, at(expected, "shape"));
    expectQuantity(fit.logLikelihood, at(expected, "logLik"));
    expectQuantity(-2 * fit.logLikelihood + 4, at(expected, "AIC"));
    expectQuantity(-2 * fitted(data, {family: "lognormal"}).logLikelihood + 4, at(expected, "lognormal_AIC"));
  });

  it("agrees with the fans of genfan-published, exponential mean included", () => {
    const {inputs, expected} = entry("genfan-published");
    const data = livesOf(inputs);
    const fit = fitted(data);
    expectQuantity(fit.location, at(expected, "log_scale_mu"));
    expectQuantity(fit.spread, at(expected, "sigma"));
    expectQuantity(fitted(data, {family: "exponential"}).scale!, at(expected, "exponential_mean"));
  });

  it("agrees with the prints of nelson-part-cracking", () => {
    const {inputs, expected} = entry("nelson-part-cracking");
    const fit = fitted(livesOf(inputs));
    expectQuantity(fit.scale!, at(expected, "scale_published"));
    expectQuantity(fit.shape!, at(expected, "shape_published"));
  });

  it("finds the maximum that a Newton without safeguards misses (survreg-trap)", () => {
    const {inputs, expected} = entry("survreg-trap");
    const fit = fitted(livesOf(inputs));
    expectQuantity(fit.shape!, at(expected, "shape"));
    expectQuantity(fit.scale!, at(expected, "scale"));
    expectQuantity(fit.logLikelihood, at(expected, "logLik"));
  });

  it("agrees with left-truncation-small: free shape, exponential, shape held at 2, entry ignored", () => {
    const {inputs, expected} = entry("left-truncation-small");
    const data = livesOf(inputs);
    const fit = fitted(data);
    expectQuantity(fit.shape!, at(expected, "shape"));
    expectQuantity(fit.scale!, at(expected, "scale"));
    expectQuantity(fit.logLikelihood, at(expected, "logLik"));
    expectQuantity(1 / fitted(data, {family: "exponential"}).scale!, at(expected, "exponential_rate"));
    expectQuantity(fitted(data, {shape: 2}).scale!, at(expected, "scale_given_shape_2"));
    const naive = fitted({...data, entry: new Float64Array(data.entry.length)});
    expectQuantity(naive.shape!, at(expected, "naive_shape_ignoring_entry"));
  });

  it("agrees with the two modes of melanoma-cumulative-incidence, each suspended by the other", () => {
    const {inputs, expected} = entry("melanoma-cumulative-incidence");
    const time = numbers(inputs, "time");
    const status = numbers(inputs, "status");
    for (const [code, name] of [
      [1, "weibull_mode1"],
      [3, "weibull_mode3"],
    ] as const) {
      const fit = fitted(lifeData({lower: time, upper: time.map((t, i) => (status[i] === code ? t : null))}));
      expectQuantity(fit.shape!, at(expected, name, "shape"));
      expectQuantity(fit.scale!, at(expected, name, "scale"));
      expectQuantity(fit.logLikelihood, at(expected, name, "logLik"));
    }
  });

  it("agrees with the groups of gehan-groups, separate and pooled", () => {
    const {inputs, expected} = entry("gehan-groups");
    const time = numbers(inputs, "time");
    const status = numbers(inputs, "status");
    const group = at(inputs, "group") as readonly string[];
    const of = (keep: (i: number) => boolean) => {
      const rows = time.map((_, i) => i).filter(keep);
      return fitted(
        lifeData({lower: rows.map((i) => time[i]!), upper: rows.map((i) => (status[i] ? time[i]! : null))}),
      );
    };
    for (const name of ["6-MP", "control"]) {
      const fit = of((i) => group[i] === name);
      expectQuantity(fit.shape!, at(expected, "separate", name, "shape"));
      expectQuantity(fit.scale!, at(expected, "separate", name, "scale"));
      expectQuantity(fit.logLikelihood, at(expected, "separate", name, "logLik"));
    }
    const pooled = of(() => true);
    expectQuantity(pooled.shape!, at(expected, "pooled", "shape"));
    expectQuantity(pooled.scale!, at(expected, "pooled", "scale"));
    expectQuantity(pooled.logLikelihood, at(expected, "pooled", "logLik"));
  });
});

describe("fitLife(data) when a maximum does not exist", () => {
  // the rules of published.json mle-existence
  it("fits one failure inside the data", () => {
    const {expected} = entry("mle-existence");
    const inside = at(expected, "check_one_failure_interior");
    const fit = fitted(livesOf(inside));
    expectQuantity(fit.shape!, at(inside, "shape"));
    expectQuantity(fit.scale!, at(inside, "scale"));
    expectQuantity(fit.logLikelihood, at(inside, "logLik"));
    expect(fit.cautions.join()).toContain("one failure");
  });

  it.each([
    ["no lives", {failed: []}],
    ["no failures", {suspended: [100, 200]}],
    ["failures at one age", {failed: [100, 100], suspended: [50, 100]}],
    ["failures at one age", {failed: [800], suspended: [410, 120]}],
    ["one inspection bin", {lower: [100, 100, 150, 150], upper: [150, 150, null, null]}],
    ["one inspection bin", {lower: [0, 0], upper: [100, 200]}],
    ["failures at one age", {lower: [90, 100], upper: [110, 100]}],
  ] as const)("names %s", (reason, columns) => {
    const fit = fitLife(lifeData(columns));
    expect(fit.fitted).toBe(false);
    expect(!fit.fitted && fit.reason).toBe(reason);
    expect(!fit.fitted && fit.sentence).not.toMatch(/NaN|undefined|Infinity/);
  });

  it("names the border when late lives fall in hazard like 1/age or faster", () => {
    // every life entered late and failed soon after: hazard falls faster than any Weibull with shape > 0
    const fit = fitLife(
      lifeData({
        lower: [101, 102, 105, 400, 900],
        upper: [101, 102, 105, null, null],
        entry: [100, 100, 100, 100, 100],
      }),
    );
    expect(!fit.fitted && fit.reason).toBe("maximum at the border");
  });

  it("names the border for current-status lives that fail less the older they are", () => {
    const fit = fitLife(lifeData({lower: [0, 0, 0, 10, 20, 40, 40], upper: [10, 10, 20, null, null, null, null]}));
    expect(!fit.fitted && fit.reason).toBe("maximum at the border");
  });

  it("names the border for a held shape when all had failed before the first look", () => {
    const fit = fitLife(lifeData({lower: [0, 0], upper: [10, 20]}), {shape: 2});
    expect(!fit.fitted && fit.reason).toBe("maximum at the border");
  });

  it("refuses a shape that cannot be", () => {
    expect(() => fitLife(lifeData({failed: [1, 2]}), {shape: 0})).toThrow("requires a finite shape > 0, got 0");
    expect(() => fitLife(lifeData({failed: [1, 2]}), {family: "exponential", shape: 2})).toThrow("got 2");
  });
});

/** Nelder & Mead (Computer Journal 7, 1965), restarted: slow, and without a derivative. */
function nelderMead(f: (x: readonly number[]) => number, start: readonly number[]): number[] {
  let simplex = [start, ...start.map((_, j) => start.map((v, i) => (i === j ? v + 0.3 : v)))].map((x) => ({
    x,
    f: f(x),
  }));
  for (let iteration = 0; iteration < 600; iteration++) {
    simplex.sort((a, b) => a.f - b.f);
    if (iteration % 150 === 149) {
      const best = simplex[0]!.x;
      simplex = [best, ...best.map((_, j) => best.map((v, i) => (i === j ? v + 0.01 : v)))].map((x) => ({x, f: f(x)}));
      continue;
    }
    const worst = simplex[simplex.length - 1]!;
    const others = simplex.slice(0, -1);
    const centre = start.map((_, i) => others.reduce((s, p) => s + p.x[i]!, 0) / others.length);
    const along = (by: number) => {
      const x = centre.map((c, i) => c + by * (worst.x[i]! - c));
      return {x, f: f(x)};
    };
    const reflected = along(-1);
    if (reflected.f < simplex[0]!.f) {
      const further = along(-2);
      simplex[simplex.length - 1] = further.f < reflected.f ? further : reflected;
    } else if (reflected.f < others[others.length - 1]!.f) {
      simplex[simplex.length - 1] = reflected;
    } else {
      const inside = along(0.5);
      if (inside.f < worst.f) simplex[simplex.length - 1] = inside;
      else {
        const best = simplex[0]!.x;
        simplex = simplex.map(({x}) => {
          const y = x.map((v, i) => (v + best[i]!) / 2);
          return {x: y, f: f(y)};
        });
      }
    }
  }
  return [...simplex.sort((a, b) => a.f - b.f)[0]!.x];
}

/** Minus log-likelihood of a Weibull by survival and density alone. */
function slowLoss(data: LifeData) {
  return ([location, logShape]: readonly number[]): number => {
    const shape = Math.exp(logShape!);
    const scale = Math.exp(location!);
    const s = (age: number): number => Math.exp(-((age / scale) ** shape));
    let sum = 0;
    for (let i = 0; i < data.lower.length; i++) {
      const [lower, upper] = [data.lower[i]!, data.upper[i]!];
      const top =
        lower === upper
          ? (shape / scale) * (lower / scale) ** (shape - 1) * s(lower)
          : s(lower) - (upper === Infinity ? 0 : s(upper));
      sum += data.weight[i]! * (Math.log(top) - Math.log(s(data.entry[i]!)));
    }
    return Number.isFinite(sum) ? -sum : 1e9;
  };
}

describe("fitLife(data) on random lives", () => {
  it("finds the maximum that a slow search without derivatives finds", () => {
    for (let seed = 1; seed <= 12; seed++) {
      const random = seededRandom(seed).uniform;
      const lower: number[] = [];
      const upper: number[] = [];
      const entryAge: number[] = [];
      while (lower.length < 25) {
        const life = 200 * (-Math.log(random())) ** (1 / 1.7);
        const entered = random() < 0.3 ? 60 * random() : 0;
        const end = 60 + 250 * random();
        if (life <= entered || end <= entered) continue;
        entryAge.push(entered);
        if (life > end) {
          lower.push(end);
          upper.push(Infinity);
        } else if (random() < 0.5) {
          lower.push(life);
          upper.push(life);
        } else {
          lower.push(Math.max(entered, life - 40 * random()));
          upper.push(life + 40 * random());
        }
      }
      const data = lifeData({lower, upper, entry: entryAge});
      const fit = fitted(data);
      const loss = slowLoss(data);
      const slow = nelderMead(loss, [5, 0.3]);
      expect(loss(slow)).toBeGreaterThanOrEqual(-fit.logLikelihood - 1e-8);
      expect(-fit.logLikelihood).toBeCloseTo(loss(slow), 6);
      expect(Math.log(fit.shape!)).toBeCloseTo(slow[1]!, 3);
      expect(Math.log(fit.scale!)).toBeCloseTo(slow[0]!, 3);
    }
  });

  it("answers any columns lifeData lets through, with numbers or a reason, in bounded iterations", () => {
    const life = fc.record({
      a: fc.double({min: 0, max: 1e9, noNaN: true}),
      b: fc.double({min: 1e-9, max: 1e9, noNaN: true}),
      late: fc.boolean(),
      kind: fc.integer({min: 0, max: 3}),
      weight: fc.oneof(fc.constant(0), fc.double({min: 1e-3, max: 1e4, noNaN: true})),
    });
    fc.assert(
      fc.property(
        fc.array(life, {maxLength: 8}),
        fc.constantFrom("weibull", "exponential", "lognormal", "loglogistic"),
        (lives, family) => {
          const data = lifeData({
            lower: lives.map(({a, b, kind}) => (kind === 0 ? b : kind === 3 ? 0 : a)),
            upper: lives.map(({a, b, kind}) => (kind === 0 || kind === 3 ? b : kind === 1 ? Infinity : a + b)),
            entry: lives.map(({a, late, kind}) => (late && kind !== 0 && kind !== 3 ? a / 2 : 0)),
            weight: lives.map(({weight}) => weight),
          });
          const fit = fitLife(data, {family: family as "weibull"});
          if (fit.fitted) {
            const figures = [fit.location, fit.spread, fit.logLikelihood, ...fit.covariance.flat()];
            expect(figures.every(Number.isFinite)).toBe(true);
            expect(fit.iterations).toBeLessThanOrEqual(100);
          } else {
            expect(fit.sentence.length).toBeGreaterThan(20);
          }
        },
      ),
      {numRuns: 400},
    );
  });

  it("scales with the unit of age and treats a weight as that many rows", () => {
    const random = seededRandom(77).uniform;
    const failed = Array.from({length: 9}, () => 300 * (-Math.log(random())) ** 0.5);
    const suspended = Array.from({length: 6}, () => 400 * random());
    const once = fitted(lifeData({failed, suspended}));
    const seconds = fitted(lifeData({failed: failed.map((t) => t * 3600), suspended: suspended.map((t) => t * 3600)}));
    expect(seconds.shape! / once.shape!).toBeCloseTo(1, 10);
    expect(seconds.scale! / once.scale! / 3600).toBeCloseTo(1, 10);
    const doubled = fitted(lifeData({failed: [...failed, ...failed], suspended: [...suspended, ...suspended]}));
    const lower = [...failed, ...suspended];
    const weighted = fitted(
      lifeData({lower, upper: [...failed, ...suspended.map(() => Infinity)], weight: lower.map(() => 2)}),
    );
    expect(weighted.scale! / doubled.scale!).toBeCloseTo(1, 12);
    expect(weighted.aicc).toBeCloseTo(doubled.aicc, 9);
  });
});
