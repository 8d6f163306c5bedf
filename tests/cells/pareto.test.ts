import {describe, expect, it} from "vitest";
import {evaluateCell} from "../../src/notebook/index.ts";
import {effects, inputsOf, type Rows} from "./inputs.ts";

const answer = (body: string, rows: Rows, kind = "pareto") => {
  const result = evaluateCell({kind, body, bodyLine: 2}, inputsOf(rows), effects());
  if ("problem" in result) throw new Error(result.problem.message);
  return result.presentation;
};
const values = (presentation: ReturnType<typeof answer>, name: string, table = 0) =>
  presentation.tables[table]?.columns.find((column) => column.name === name)?.values;

const ROWS: Rows = {
  runs: [
    {hours: 6000, fleet: "Alder", mud: "KCL"},
    {hours: 6000, fleet: "Cobalt", mud: "SBM", regime: "high"},
  ],
  failures: [
    ...Array.from({length: 8}, (_, i) => ({component: "SEAL", mode: "SEAL-ABR", lost: 10, run: i, sinceRebuild: 100})),
    {
      component: "SEAL",
      mode: "SEAL-REV",
      shop: true,
      fleet: "Cobalt",
      run: 20,
      sinceRebuild: 10,
      mud: "SBM",
      regime: "high",
    },
    {component: "LINR", mode: "LINR-ERO", what: "F5", run: 21},
    {component: "LINR", mode: "LINR-CLM", what: "shop", shop: true, run: -1},
    {component: null, run: 22, lost: 30},
  ],
};

describe("cell pareto", () => {
  it("ranks by count and names the leader with rate, limits and counts", () => {
    const presentation = answer("rank: count\n", ROWS);
    // 8 in 12,000 h: two-sided 90 % limits of the exposure per failure 831 to 3,014 h, so 0.332 to 1.203 per 1,000 h
    // (trade notes, section 5: 2T/chi2(0.95, 2r+2) and 2T/chi2(0.05, 2r); recomputed there)
    expect(presentation.headline).toBe(
      "Seal: lip flattened or scored by grit leads: 8 of 12 failures, 0.667 per 1,000 h (90 % limits 0.332 to 1.2), in 12,000 h; the shop caused 2 of the 12 (17 %).",
    );
    expect(values(presentation, "failures")).toEqual([8, 1, 1, 1, 1]);
    expect(values(presentation, "rate_upper")![0]).toBeCloseTo(1.203, 3);
    expect(values(presentation, "rate_lower")![0]).toBeCloseTo(0.3317, 4);
  });

  it("tells apart in the chart what the shop caused", () => {
    const [figure] = answer("rank: count\n", ROWS).figures;
    if (figure?.chart.kind !== "bars") throw new Error("no bars");
    expect(
      figure.chart.bars
        .filter((bar) => bar.serviceInduced)
        .map((bar) => bar.name)
        .sort(),
    ).toEqual(["liner: cracked by vice, clamp or press", "seal: lip fitted the wrong way round"]);
    expect(figure.chart.bars.at(-1)!.runningShare).toBe(1);
  });

  it("by money prices a failure that ended a run dearer than one found at the bench", () => {
    const presentation = answer("rank: money\n", ROWS);
    const money = Object.fromEntries(
      (values(presentation, "code") ?? []).map((code, i) => [code, values(presentation, "money")![i]]),
    );
    // defaults: failure 20,000; liner change 1,900 part + 110 bench hour
    expect(money).toMatchObject({"SEAL-ABR": 160_000, "SEAL-REV": 20_000, "LINR-ERO": 2010, "LINR-CLM": 2010, none: 0});
    expect(presentation.cautions.join(" ")).toContain("stand without a cost");
  });

  it("shares the cost of a run between the parts blamed for it", () => {
    const presentation = answer("rank: money\n", {
      runs: [{hours: 100}],
      failures: [
        {component: "SEAL", run: 0},
        {component: "LINR", run: 0},
      ],
    });
    expect(values(presentation, "money")).toEqual([10_000, 10_000]);
  });

  it("by lost hours adds up the rig time of the run log, with runs for which no part was blamed", () => {
    const presentation = answer("rank: hours lost\n", ROWS);
    expect(values(presentation, "lost_hours")).toEqual([80, 30, 0, 0, 0]);
    expect(presentation.headline).toContain("80 h (73 % of all)");
  });

  it("by fleet gives each fleet its own chart and its own exposure", () => {
    const presentation = answer("rank: rate\nby: fleet\n", ROWS);
    expect(presentation.figures.map((figure) => figure.name)).toEqual(["pareto-Alder", "pareto-Cobalt"]);
    expect(values(presentation, "rate", 1)![0]).toBeCloseTo(1 / 6, 12);
  });

  it("of components, and of one component only", () => {
    expect(values(answer("of: component\n", ROWS), "cause")).toEqual([
      "seal",
      "liner",
      "liner, caused at service",
      "seal, caused at service",
      "no part blamed",
    ]);
    expect(values(answer("component: liners\n", ROWS), "code")).toEqual(["LINR-CLM", "LINR-ERO"]);
  });

  it("keeps to the page's filters", () => {
    expect(values(answer("rank: count\n", {...ROWS, where: {mud: ["SBM"]}}), "failures")).toEqual([1]);
    expect(values(answer("rank: count\n", {...ROWS, where: {component: ["LINR"]}}), "failures")).toEqual([1, 1]);
    expect(answer("rank: count\n", {...ROWS, where: {fleet: ["Dolomite"]}}).headline).toContain(
      "No failures match the filters (fleet Dolomite).",
    );
  });

  it("says so when there is nothing, and gives no rate without exposure", () => {
    expect(answer("rank: rate\n", {}).headline).toContain("The logs hold no failures.");
    const presentation = answer("rank: rate\n", {failures: [{component: "SEAL"}], runs: [{hours: NaN}]});
    expect(values(presentation, "rate")).toEqual([null]);
    expect(presentation.cautions.join(" ")).toContain("there is no rate");
    expect(JSON.stringify(presentation)).not.toMatch(/NaN|Infinity/);
  });
});

describe("cell fleets", () => {
  it("gives rates with exact limits, hours per failure, the shop's share and the mix", () => {
    const presentation = answer("", ROWS, "fleets");
    expect(values(presentation, "fleet")).toEqual(["Alder", "Cobalt"]);
    expect(values(presentation, "failures")).toEqual([9, 1]);
    expect(values(presentation, "shop_caused")).toEqual([0, 1]);
    expect(values(presentation, "early")).toEqual([0, 1]);
    expect(values(presentation, "found")).toEqual([1, 0]);
    expect(values(presentation, "per_failure")).toEqual([6000 / 9, 6000]);
    expect(values(presentation, "condition", 1)).toEqual(["KCL, medium flow", "SBM, high flow"]);
    expect(presentation.headline).toContain("The shop caused 1 of 1 in Cobalt (100 %)");
  });

  it("does not rank below five failures without saying so", () => {
    const presentation = answer("", ROWS, "fleets");
    expect(presentation.figures[0]!.title).toBe("Too few failures to rank every fleet");
    expect(presentation.cautions.join(" ")).toContain("Cobalt has 1 failure");
  });

  it("with no failure gives only a lower limit of hours per failure", () => {
    const presentation = answer("", {runs: [{hours: 1000}]}, "fleets");
    expect(values(presentation, "per_failure")).toEqual([null]);
    expect(values(presentation, "per_failure_upper")).toEqual([null]);
    // no failure in T: exp(-T/m) = 0.05 gives m = T / 2.996 (chi-square with 2 degrees of freedom)
    expect(values(presentation, "per_failure_lower")![0]).toBeCloseTo(1000 / -Math.log(0.05), 8);
    expect(presentation.cautions.join(" ")).toContain("Only one fleet");
  });

  it("of nothing is a sentence", () => {
    expect(answer("", {}, "fleets")).toMatchObject({
      headline: "The logs hold no runs. No run log was read: add one on the page “Logs and findings”.",
      figures: [],
      tables: [],
    });
  });

  it("counts every failure on demand", () => {
    expect(values(answer("count: all\n", ROWS, "fleets"), "failures")).toEqual([11, 1]);
  });
});
