import {describe, expect, it} from "vitest";
import {evaluateCell} from "../../src/notebook/index.ts";
import {reference} from "./reference.ts";
import {effects, inputsOf, type LifeRow, type Rows} from "./inputs.ts";

const answer = (kind: string, body: string, rows: Rows) => {
  const result = evaluateCell({kind, body, bodyLine: 2}, inputsOf(rows), effects());
  if ("problem" in result) throw new Error(result.problem.message);
  expect(JSON.stringify(result)).not.toMatch(/NaN|Infinity/);
  return result.presentation;
};
const column = ({tables}: ReturnType<typeof answer>, name: string, table = 0) =>
  tables[table]?.columns.find((c) => c.name === name)?.values ?? [];

// NIST/SEMATECH e-Handbook of Statistical Methods, section 8.4.1.3: 10 failures, 10 units removed unfailed at 500 h
const nist = reference("nist-weibull-censored");
const NIST: LifeRow[] = nist
  .list("time")
  .map((age, i) => (nist.list("status")[i] === 1 ? {lower: age, upper: age, mode: "SEAL-ABR"} : {lower: age}));

describe("cell life", () => {
  it("agrees with the NIST handbook on shape and scale, and says the life in a sentence", () => {
    const presentation = answer("life", "component: seals\nat: 100\n", {lives: NIST});
    expect(column(presentation, "shape")[0]).toBeCloseTo(nist.value("shape"), 6);
    expect(column(presentation, "scale")[0]).toBeCloseTo(nist.value("scale"), 4);
    // B10 = scale (-log 0.9)^(1/shape), from the values above
    expect(column(presentation, "B10")[0]).toBeCloseTo(606.527558 * (-Math.log(0.9)) ** (1 / 1.72079726), 3);
    expect(presentation.headline).toMatch(
      /^One in ten seals has failed by 164 h \(B10 life; 90 % limits \d+(\.\d)? to \d+ h\), half by 490 h; shape 1\.72 /,
    );
    expect(presentation.headline).toContain("10 failures by wear among 20 lives");
  });

  it("tells reliability at the ages asked for, inside its limits", () => {
    const presentation = answer("life", "component: seals\nat: [100, 400]\n", {lives: NIST});
    const [at100, at400] = column(presentation, "reliability", 1) as number[];
    expect(at100).toBeCloseTo(Math.exp(-((100 / 606.527558) ** 1.72079726)), 8);
    expect(at400).toBeLessThan(at100!);
    expect(column(presentation, "lower", 1)[0]).toBeLessThan(at100!);
    expect(column(presentation, "upper", 1)[0]).toBeGreaterThan(at100!);
  });

  it("draws every failure at its Kaplan-Meier half step and every suspension as a tick", () => {
    const [figure] = answer("life", "component: seals\n", {lives: NIST}).figures;
    if (figure?.chart.kind !== "probability") throw new Error("no probability plot");
    const [series] = figure.chart.series;
    expect(series!.points).toHaveLength(10);
    expect(series!.suspensions).toHaveLength(10);
    // before the first suspension the half step of the i-th of n is (i - 0.5) / n
    expect(series!.points.map(({failed}) => failed)).toEqual(
      series!.points.map((_, i) => expect.closeTo((i + 0.5) / 20, 12)),
    );
    for (const {estimate, lower, upper} of series!.line) {
      expect(lower!).toBeLessThanOrEqual(estimate);
      expect(upper!).toBeGreaterThanOrEqual(estimate);
    }
  });

  it("places a failure found at a teardown on the curve that assumes no distribution, and draws its range", () => {
    const [figure] = answer("life", "component: seals\n", {lives: [...NIST, {lower: 100, upper: 300}]}).figures;
    if (figure?.chart.kind !== "probability") throw new Error("no probability plot");
    const point = figure.chart.series[0]!.points.find(({from}) => from === 100)!;
    expect(point.to).toBe(300);
    // Turnbull by hand: the failure in (100, 300] can only share the mass of the failures at 187, 216, 240 and 244, which so
    // carry 5/4 each of 21; half way between 1/21 at 100 h and 6/21 at 300 h is 3.5/21, passed at the second of them
    expect(point.failed).toBeCloseTo(3.5 / 21, 6);
    expect(point.age).toBe(216);
  });

  it("gives bootstrap limits from tools drawn whole, the same on every call", () => {
    const lives = NIST.map((life, i) => ({...life, tool: `T${i % 10}`}));
    const limits = () =>
      column(answer("life", "component: seals\nlimits: bootstrap\n", {lives}), "B10_lower")[0] as number;
    const lower = limits();
    expect(lower).toBe(limits());
    expect(lower).toBeGreaterThan(20);
    expect(lower).toBeLessThan(164);
  });

  it("with a known shape and no failure gives the zero-failure bound", () => {
    // 20 lives of 500 h, shape 2, 95 % one-sided: scale (20 · 500² / -ln 0.05)^(1/2) = 1292 h, B10 = scale (-ln 0.9)^(1/2) = 419 h
    const {headline} = answer("life", "component: seals\nshape: 2\n", {
      lives: Array.from({length: 20}, () => ({lower: 500})),
    });
    expect(headline).toBe(
      "None of the 20 lives of seals failed by what is counted; if the shape is 2, the B10 life is at least 419 h with 95 % confidence.",
    );
  });

  it("counts by default only wear; the shop's and chance failures are suspensions", () => {
    const lives: LifeRow[] = [
      ...NIST,
      {lower: 20, upper: 20, mode: "SEAL-REV", shop: true},
      {lower: 30, upper: 30, mode: "SEAL-GEN"},
    ];
    expect(column(answer("life", "component: seals\n", {lives}), "failures")).toEqual([11]);
    expect(column(answer("life", "component: seals\nmodes: all\n", {lives}), "failures")).toEqual([12]);
    expect(column(answer("life", "component: seals\nmodes: SEAL-REV\n", {lives}), "failures")).toEqual([1]);
    expect(column(answer("life", "component: seals\nmodes: chance\n", {lives}), "failures")).toEqual([0]);
  });

  it("by group gives each its model, and says how many lives stand in none", () => {
    const inObm = NIST.map((life) => ({
      ...life,
      spent: [{mud: "OBM", regime: "high", hours: life.upper ?? life.lower}],
    }));
    const mixed: LifeRow = {
      lower: 200,
      spent: [
        {mud: "OBM", regime: "high", hours: 100},
        {mud: "KCL", regime: "low", hours: 100},
      ],
    };
    const presentation = answer("life", "component: seals\nby: mud\n", {lives: [...NIST, ...inObm, mixed]});
    expect(column(presentation, "group")).toEqual(["KCL", "OBM"]);
    expect(column(presentation, "failures")).toEqual([10, 10]);
    expect(presentation.cautions.join(" ")).toContain("1 life was spent in several conditions");
    expect(
      column(answer("life", "component: seals\ncondition: OBM high\n", {lives: [...NIST, ...inObm]}), "lives"),
    ).toEqual([20]);
  });

  it("says in words why there is no model: no failures, all at one age, no lives", () => {
    expect(answer("life", "component: seals\n", {lives: [{lower: 10}, {lower: 20}]}).headline).toContain(
      "No life model of seals: none of the 2 lives",
    );
    expect(
      answer("life", "component: seals\n", {
        lives: [
          {lower: 10, upper: 10},
          {lower: 10, upper: 10},
        ],
      }).headline,
    ).toContain("No life model of seals");
    expect(answer("life", "component: liner\n", {lives: NIST}).headline).toContain("The logs hold no lives of liners.");
  });

  it("does not call a part worn out when the limits of the shape hold 1", () => {
    // exponential quantiles: the shape is near 1
    const lives = Array.from({length: 9}, (_, i) => ({lower: -300 * Math.log(1 - (i + 0.5) / 9)})).map(({lower}) => ({
      lower,
      upper: lower,
    }));
    expect(answer("life", "component: seals\n", {lives}).headline).toContain(
      "wear-out is not shown, since the limits hold 1",
    );
  });
});

describe("cell families", () => {
  it("agrees with the NIST handbook on the AIC of Weibull and lognormal", () => {
    const presentation = answer("families", "component: seals\n", {lives: NIST});
    const families = column(presentation, "family");
    const aicc = column(presentation, "aicc") as number[];
    // AICc = AIC + 2k(k+1)/(n-k-1), k = 2, n = 20 (Hurvich & Tsai, Biometrika 76, 1989)
    const correction = 12 / 17;
    expect(aicc[families.indexOf("Weibull")]! - correction).toBeCloseTo(nist.value("AIC"), 5);
    expect(aicc[families.indexOf("lognormal")]! - correction).toBeCloseTo(nist.value("lognormal_AIC"), 5);
    expect(presentation.headline).toContain(
      "no better than Weibull, lognormal and exponential as far as 10 failures can tell",
    );
  });
});

describe("cell contour", () => {
  it("holds the best pair, and the inner ring inside the outer", () => {
    const presentation = answer("contour", "component: seals\n", {lives: NIST});
    const [figure] = presentation.figures;
    if (figure?.chart.kind !== "contour") throw new Error("no contour");
    const [series] = figure.chart.series;
    const [inner, outer] = series!.rings;
    const span = (ring: typeof inner) =>
      Math.max(...ring!.points.map((p) => p.scale)) - Math.min(...ring!.points.map((p) => p.scale));
    expect(series!.best.shape).toBeCloseTo(nist.value("shape"), 6);
    expect(span(inner)).toBeLessThan(span(outer));
    expect(inner!.level).toBe(0.5);
  });
});

describe("cell conditions", () => {
  it("of one condition is the plain life model", () => {
    const plain = answer("life", "component: seals\n", {lives: NIST});
    const presentation = answer("conditions", "component: seals\n", {lives: NIST});
    expect(column(presentation, "age", 1)[0]).toBeCloseTo(column(plain, "B10")[0] as number, 3);
    expect(presentation.headline).toContain("All their hours were spent in one mud and flow");
  });

  // 200 lives at the quantiles of Weibull(2.5, 600 h), once as they are and once at twice the pace
  const quantiles = Array.from({length: 100}, (_, i) => 600 * (-Math.log(1 - (i + 0.5) / 100)) ** 0.4);
  const at = (regime: string, hours: number): LifeRow => ({
    lower: hours,
    upper: hours,
    spent: [{mud: "KCL", regime, hours}],
  });
  const LIVES = quantiles.flatMap((hours) => [at("medium", hours), at("high", hours / 2)]);

  it("finds the pace that was put in, within its limits", () => {
    const presentation = answer("conditions", "component: seals\n", {lives: LIVES});
    const levels = column(presentation, "level") as string[];
    const high = levels.findIndex((level) => level.startsWith("high"));
    const speed = levels[high]!.includes("reference")
      ? 1 / (column(presentation, "speed")[levels.findIndex((level) => level.startsWith("medium"))] as number)
      : (column(presentation, "speed")[high] as number);
    expect(speed).toBeGreaterThan(1.8);
    expect(speed).toBeLessThan(2.1);
    expect(column(presentation, "flow", 1)).toEqual(["high flow", "medium flow"]);
    // B10 = 600 (-log 0.9)^(1/2.5) = 243.9 h at medium flow, half of it at high flow
    expect(column(presentation, "lower", 1)[1]).toBeLessThan(243.9);
    expect(column(presentation, "upper", 1)[1]).toBeGreaterThan(243.9);
  });

  it("uses mixed lives, and shows only the conditions of the filter", () => {
    const mixed: LifeRow = {
      lower: 250,
      spent: [
        {mud: "KCL", regime: "medium", hours: 120},
        {mud: "KCL", regime: "high", hours: 130},
      ],
    };
    const presentation = answer("conditions", "component: seals\n", {
      lives: [...LIVES, mixed],
      where: {regime: ["high"]},
    });
    expect(presentation.headline).toContain("among 201 lives, those spent in several conditions included");
    expect(column(presentation, "flow", 1)).toEqual(["high flow"]);
  });

  it("says in words why there is nothing: no failures, no lives, no such condition", () => {
    expect(answer("conditions", "component: seals\n", {lives: [{lower: 10}]}).headline).toContain(
      "No condition effects of seals: the only life did not",
    );
    expect(answer("conditions", "component: seals\n", {}).headline).toContain("The logs hold no lives of seals.");
    expect(answer("conditions", "component: seals\n", {lives: LIVES, where: {mud: ["OBM"]}}).headline).toContain(
      "No conditions of seals match the filters (oil-base mud).",
    );
  });
});

describe("cell incidence", () => {
  it("agrees with R survival and cmprsk on the melanoma data", () => {
    // R boot::melanoma: 1 died of melanoma, 2 alive, 3 died of other causes; here two modes of a part
    const melanoma = reference("melanoma-cumulative-incidence");
    const status = melanoma.list("status");
    const lives: LifeRow[] = melanoma
      .list("time")
      .map((age, i) =>
        status[i] === 2 ? {lower: age} : {lower: age, upper: age, mode: status[i] === 1 ? "SEAL-ABR" : "SEAL-SWL"},
      );
    const times = melanoma.values("times");
    times.forEach((at, i) => {
      const presentation = answer("incidence", `component: seals\nat: ${at}\n`, {lives});
      const codes = column(presentation, "code");
      const shares = column(presentation, "share") as number[];
      expect(shares[codes.indexOf("SEAL-ABR")]).toBeCloseTo(melanoma.values("cif_mode1")[i]!, 8);
      expect(shares[codes.indexOf("SEAL-SWL")]).toBeCloseTo(melanoma.values("cif_mode3")[i]!, 8);
    });
  });

  it("puts rare modes together and adds up with the share still good", () => {
    const lives: LifeRow[] = ["ABR", "ABR", "ABR", "SWL", "SWL", "HRD", "EXT"].map((mode, i) => ({
      lower: 100 + i,
      upper: 100 + i,
      mode: `SEAL-${mode}`,
    }));
    const presentation = answer("incidence", "component: seals\nmost: 3\nat: 103.5\n", {
      lives: [...lives, {lower: 500}],
    });
    expect(column(presentation, "mode")).toContain("other modes");
    expect((column(presentation, "share") as number[]).reduce((a, b) => a + b, 0)).toBeCloseTo(4 / 8, 12);
  });

  it("of lives without failures is a sentence", () => {
    expect(answer("incidence", "component: seals\n", {lives: [{lower: 10}]}).headline).toContain(
      "no mode has taken any",
    );
  });
});
