import {describe, expect, it} from "vitest";
import {evaluateCell} from "../../src/notebook/index.ts";
import {coxSnellResiduals, fitLife, lifeData, nelsonAalen} from "../../src/statistics/index.ts";
import {fixtures} from "../statistics/reference.ts";
import {effects, inputsOf, type LifeRow} from "./inputs.ts";
import {reference} from "./reference.ts";

const evaluate = (body: string, lives: readonly LifeRow[], own = effects()) =>
  evaluateCell({kind: "families", body, bodyLine: 2}, inputsOf({lives}), own);
const answer = (lives: readonly LifeRow[], more = "", own = effects()) => {
  const result = evaluate(`component: seals\n${more}`, lives, own);
  if ("problem" in result) throw new Error(result.problem.message);
  expect(JSON.stringify(result)).not.toMatch(/NaN|Infinity|undefined|unknown/);
  return result.presentation;
};
type Answer = ReturnType<typeof answer>;
const column = ({tables}: Answer, table: string, name: string) =>
  tables.find((t) => t.name === table)?.columns.find((c) => c.name === name)?.values ?? [];
const of = (presentation: Answer, family: string, name: string, table = "families") =>
  column(presentation, table, name)[column(presentation, table, "family").indexOf(family)];
const residuals = ({figures}: Answer) => {
  const figure = figures.find(({name}) => name === "residuals");
  if (figure?.chart.kind !== "residuals") throw new Error("no residuals");
  return {...figure, chart: figure.chart};
};
const livesOf = (times: readonly number[], status: readonly number[]): LifeRow[] =>
  times.map((age, i) => (status[i] === 1 ? {lower: age, upper: age} : {lower: age}));
const failed = (...ages: number[]): LifeRow[] => ages.map((age) => ({lower: age, upper: age}));

// NIST/SEMATECH e-Handbook of Statistical Methods, section 8.4.1.3: 10 failures, 10 units removed unfailed at 500 h
const nist = reference("nist-weibull-censored");
const NIST = livesOf(nist.list("time"), nist.list("status"));
const RANK = "Weibull by rank regression";
const THRESHOLD = "Weibull with a threshold";

describe("cell families, rank regression", () => {
  it("ranks past suspensions as johnson-adjusted-ranks has it, at exact median ranks", () => {
    const johnson = reference("johnson-adjusted-ranks");
    const presentation = answer(livesOf(johnson.list("time"), johnson.list("status")));
    const close = (values: readonly number[]) => values.map((value) => expect.closeTo(value, 9));
    expect(column(presentation, "ranks", "rank")).toEqual(close(johnson.values("adjusted_rank")));
    expect(column(presentation, "ranks", "median_rank")).toEqual(close(johnson.values("exact_beta_median")));
  });

  it("draws complete lives at the median ranks of the printed tables (median-ranks), and finds their line", () => {
    const ranks = reference("median-ranks").values("n10_exact");
    // ages put on the line of shape 2.5 and scale 400 h at those ranks
    const presentation = answer(failed(...ranks.map((rank) => 400 * (-Math.log1p(-rank)) ** 0.4)));
    expect(column(presentation, "ranks", "median_rank")).toEqual(ranks.map((rank) => expect.closeTo(rank, 9)));
    expect(of(presentation, RANK, "shape", "parameters")).toBeCloseTo(2.5, 6);
    expect(of(presentation, RANK, "scale", "parameters")).toBeCloseTo(400, 4);
  });

  it("has no AICc and no limits, and says why it differs", () => {
    const presentation = answer(NIST);
    for (const name of ["aicc", "worse", "log_likelihood", "b10_lower", "b10_upper"])
      expect(of(presentation, RANK, name), name).toBeNull();
    expect(of(presentation, RANK, "b10")).toBeGreaterThan(0);
    const cautions = presentation.cautions.join(" ");
    expect(cautions).toContain("because the trade quotes it");
    expect(cautions).toContain("every ranked failure weighs the same");
  });
});

describe("cell families, Weibull with a threshold", () => {
  it("agrees with a profile made in R (fixtures.json threshold)", () => {
    const made = (fixtures() as Record<string, Record<string, unknown>>)["threshold"]!;
    const times = made["time"] as number[];
    const presentation = answer(livesOf(times, (made["status"] as number[] | undefined) ?? times.map(() => 1)));
    expect(of(presentation, THRESHOLD, "log_likelihood")).toBeCloseTo(made["logLik"] as number, 6);
    const parameter = (name: string) =>
      (of(presentation, THRESHOLD, name, "parameters") as number) / (made[name] as number);
    for (const name of ["threshold", "shape", "scale"]) expect(parameter(name), name).toBeCloseTo(1, 4);
    expect(of(presentation, THRESHOLD, "b10")).toBeGreaterThan(made["threshold"] as number);
    expect(presentation.cautions.join(" ")).toContain("no part can fail before it");
  });

  it("is left out with a sentence where its likelihood has no maximum inside, or none above 0", () => {
    const rising = answer(failed(100, 101, 103, 107, 115, 131, 163, 227, 400));
    expect(column(rising, "families", "family")).not.toContain(THRESHOLD);
    expect(rising.cautions.join(" ")).toContain("only rises as the threshold nears the first failure");
  });
});

describe("cell families, residuals", () => {
  it("step where the Nelson-Aalen curve of the Cox-Snell residuals does, with its limits", () => {
    const {chart, title, caption} = residuals(answer(NIST, "residuals: weibull\n"));
    const times = nist.list("time");
    const data = lifeData({
      failed: times.filter((_, i) => nist.list("status")[i] === 1),
      suspended: times.filter((_, i) => nist.list("status")[i] !== 1),
    });
    const fit = fitLife(data);
    if (!fit.fitted) throw new Error(fit.sentence);
    const curve = nelsonAalen(coxSnellResiduals(data, fit));
    expect(chart.steps.map(({to}) => to)).toEqual(Array.from(curve.age, (r) => expect.closeTo(r, 10)));
    expect(chart.steps.map(({after}) => after)).toEqual(
      Array.from(curve.cumulativeHazard, (h) => expect.closeTo(h, 12)),
    );
    // the first residual from the handbook's own shape and scale
    expect(chart.steps[0]!.to).toBeCloseTo((54 / nist.value("scale")) ** nist.value("shape"), 8);
    expect(chart.steps[0]!.after).toBeCloseTo(1 / 20, 12);
    // 90 % limits on the log, exp(±1.644854) for one failure
    expect(chart.steps[0]!.upper).toBeCloseTo(0.05 * Math.exp(1.6448536), 6);
    expect(title).toBe("No departure from Weibull shows: the diagonal stays within the 90 % limits");
    expect(caption).toContain("10 failures by wear among 20 lives");
  });

  it("leave the limits of an exponential under lives that all wear out together", () => {
    const ages = Array.from({length: 40}, (_, i) => 500 * (-Math.log(1 - (i + 0.5) / 40)) ** (1 / 6));
    const {title} = residuals(answer(failed(...ages), "residuals: exponential\n"));
    expect(title).toMatch(/^The residuals leave exponential at ages between \d+ and \d+ h: the diagonal lies outside/);
  });

  it("of failures between two looks are boxes without limits, and the caption says how many", () => {
    const {chart, title, caption} = residuals(answer([...NIST, {lower: 100, upper: 300}]));
    expect(chart.steps.every(({lower, upper}) => lower === null && upper === null)).toBe(true);
    expect(title).toMatch(/^Fractions failed by \w+ and by the lives differ by [\d.]+ percentage points at most/);
    expect(caption).toContain("1 of the 11 failures is known only to lie between two ages");
    const all = residuals(answer([0, 50, 100, 150, 200].flatMap((lower) => [{lower, upper: lower + 60}, {lower}])));
    expect(all.chart.steps.some(({from, to}) => to > from)).toBe(true);
  });
});

describe("cell families on poor logs says what it can", () => {
  it("no lives, no failures, other names", () => {
    expect(answer([]).headline).toContain("The logs hold no lives of seals.");
    expect(answer([{lower: 10}, {lower: 20}]).headline).toContain(
      "No family can be fitted to seals: none of the 2 lives",
    );
    expect(answer([{lower: 10}]).headline).toContain("No family can be fitted to seals");
  });

  it("one life that failed, and two at one age", () => {
    const one = answer(failed(10));
    expect(one.headline).toMatch(/^1 life of seals is too few to choose a family .* no other family can be fitted/);
    expect(column(one, "families", "family")).not.toContain(RANK);
    expect(answer(failed(10, 10)).headline).toContain("too few to choose a family");
  });

  it("two lives at two ages, and failures all between looks", () => {
    expect(answer(failed(10, 20)).headline).toContain("2 lives of seals are too few to choose a family");
    answer([{lower: 0, upper: 100}]);
    answer([{lower: 50, upper: 100}, {lower: 50, upper: 100}, {lower: 100}]);
    answer(Array.from({length: 12}, (_, i) => ({lower: 10 * i, upper: 10 * i + 40})));
  });

  it("exponential is best where nothing ages", () => {
    const ages = Array.from({length: 30}, (_, i) => -300 * Math.log(1 - (i + 0.5) / 30));
    const presentation = answer(failed(...ages));
    expect(presentation.headline).toMatch(/^Exponential describes the seals best of 4 families/);
    expect(residuals(presentation).chart.name).toBe("exponential");
  });
});

describe("cell families, simulated check", () => {
  it("is off by default; asked for, it reports progress to its end and says its p", () => {
    const off = effects();
    answer(NIST, "", off);
    expect(off.reported).toEqual([]);
    const on = effects();
    const {headline} = answer(NIST, "check: simulated\n", on);
    expect(on.reported.map(([done]) => done)).toEqual([20, 40, 60, 80, 100, 120, 140, 160, 180, 200]);
    expect(on.reported.every(([, total]) => total === 200)).toBe(true);
    expect(headline).toMatch(/\(p [\d.]+ from \d+ simulated sets\)\.$/);
  });

  it("stops when asked to: no set is drawn after the stop, and the stop is thrown on", () => {
    const stop = new AbortController();
    const reported: number[] = [];
    const own = {
      reported: [],
      signal: stop.signal,
      progress: (done: number) => {
        reported.push(done);
        if (done >= 40) stop.abort();
      },
    };
    expect(() => evaluate("component: seals\ncheck: simulated\n", NIST, own)).toThrow();
    expect(reported).toEqual([20, 40]);
  });
});
