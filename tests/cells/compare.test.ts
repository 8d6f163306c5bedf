import {describe, expect, it} from "vitest";
import {DEFAULT_SETTINGS} from "../../shared/settings.ts";
import {evaluateCell} from "../../src/notebook/index.ts";
import {effects, inputsOf, type RebuildRow, type Rows} from "./inputs.ts";
import {reference} from "./reference.ts";

const answer = (kind: string, body: string, rows: Rows) => {
  const result = evaluateCell({kind, body, bodyLine: 2}, inputsOf(rows), effects());
  if ("problem" in result) throw new Error(result.problem.message);
  expect(JSON.stringify(result)).not.toMatch(/NaN|Infinity/);
  return result.presentation;
};
const column = ({tables}: ReturnType<typeof answer>, name: string, table = 0) =>
  tables[table]?.columns.find((c) => c.name === name)?.values ?? [];

describe("cell rates", () => {
  // Gu, Ng, Tang & Schucany, Biometrical Journal 50 (2008), example 1; limits from SciPy and statsmodels, see the entry
  const gu = reference("two-poisson-rates-gu-1");
  const failures = (fleet: string, count: number, from: number) =>
    Array.from({length: count}, (_, i) => ({component: "SEAL", fleet, run: from + i}));
  const rows: Rows = {
    runs: [
      {fleet: "Alder", hours: 51477.5},
      {fleet: "Basalt", hours: 54308.7},
    ],
    failures: [...failures("Alder", 60, 10), ...failures("Basalt", 30, 200)],
    settings: {...DEFAULT_SETTINGS, level: 0.95},
  };

  it("compares two rates exactly, as published", () => {
    const presentation = answer("rates", "by: fleet\n", rows);
    const [lower, upper] = gu.values("ratio_limits_95_central");
    expect(column(presentation, "lower", 1)[0]).toBeCloseTo(lower!, 9);
    expect(column(presentation, "upper", 1)[0]).toBeCloseTo(upper!, 9);
    expect(column(presentation, "ratio", 1)[0]).toBeCloseTo(60 / 51477.5 / (30 / 54308.7), 12);
    expect(presentation.headline).toContain("Alder fails 2.11 times as often as Basalt (95 % limits 1.34 to 3.39)");
  });

  it("calls no one apart when counts are what chance would give", () => {
    const equal = {...rows, failures: [...failures("Alder", 30, 10), ...failures("Basalt", 31, 200)]};
    expect(answer("rates", "by: fleet\n", equal).headline).toContain(
      "None of them differs from the rest by more than chance would",
    );
  });

  it("holds down false calls among many: one tool of forty with a middling excess is not called apart", () => {
    const runs = Array.from({length: 40}, (_, i) => ({tool: `T${i}`, hours: 1000}));
    // two failures each, six on T0: alone that has a p of about 0.02, which forty comparisons make ordinary
    const failed = runs.flatMap(({tool}, t) =>
      Array.from({length: t === 0 ? 6 : 2}, (_, i) => ({component: "SEAL", tool, run: 100 + 10 * t + i})),
    );
    const presentation = answer("rates", "by: tool\n", {runs, failures: failed});
    expect(column(presentation, "failures").slice(0, 2)).toEqual([6, 2]);
    expect(Number(column(presentation, "p")[0])).toBeLessThan(0.05);
    expect(new Set(column(presentation, "apart"))).toEqual(new Set(["no"]));
    expect(presentation.figures[0]!.title).toContain("Chance alone");
  });

  it("counts a run once, however many parts are blamed for it", () => {
    const twice: Rows = {
      runs: [{hours: 1000}],
      failures: [
        {component: "SEAL", run: 0},
        {component: "LINR", run: 0},
      ],
    };
    expect(column(answer("rates", "by: fleet\n", twice), "failures")).toEqual([1]);
    expect(column(answer("rates", "by: fleet\ncount: all\n", twice), "failures")).toEqual([2]);
  });

  it("with one fleet has nothing to compare, with none a sentence", () => {
    expect(answer("rates", "", {runs: [{hours: 10}]}).headline).toContain("there is nothing to compare Alder with");
    expect(answer("rates", "", {}).headline).toContain("The logs hold no fleets with exposure.");
  });
});

describe("cell recurrence", () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, section 8.2.3.4: one system, ten failures in 1,500 h
  const nist = reference("nist-trend-tests");
  const times = nist.list("times");
  const ends = [...times, 1500];
  const start = Date.parse("2024-01-01");
  const rows: Rows = {
    runs: ends.map((time, i) => ({hours: time - (ends[i - 1] ?? 0), end: new Date(start + time * 36e5).toISOString()})),
    failures: times.map((time, run) => ({component: "SEAL", run, date: new Date(start + time * 36e5).toISOString()})),
  };

  it("agrees with the NIST handbook on the power law and the trend tests", () => {
    const presentation = answer("recurrence", "by: none\n", rows);
    expect(column(presentation, "shape")[0]).toBeCloseTo(nist.value("beta_mle"), 8);
    // printed to two digits: two-sided Laplace p, and twice the upper tail of the handbook's chi-square
    expect(column(presentation, "laplace")).toEqual(["0.18"]);
    expect(column(presentation, "handbook")).toEqual([
      String(Number((2 * nist.value("milhdbk_p_no_trend_upper_tail")).toPrecision(2))),
    ]);
    expect(presentation.headline).toContain("failures come less and less often (shape 0.537");
  });

  it("draws one step a failure from zero up to their mean per tool", () => {
    const [figure] = answer("recurrence", "by: none\n", rows).figures;
    if (figure?.chart.kind !== "recurrence") throw new Error("no curve");
    expect(figure.chart.series[0]!.curve.map(({age, estimate}) => [age, estimate])).toEqual([
      [0, 0],
      ...times.map((time, i) => [expect.closeTo(time, 9), i + 1]),
    ]);
  });

  it("says so when nothing failed and when there are no tools", () => {
    expect(answer("recurrence", "", {runs: [{hours: 100}]}).headline).toContain(
      "No failures that ended a run in 100 h of 1 tool.",
    );
    expect(answer("recurrence", "", {}).headline).toContain("The logs hold no tools with exposure.");
  });
});

describe("cell wear", () => {
  // two liners measured at the end of each of three runs of 100 h; wear of 0.1 and 0.3 mm per 100 h from 40 mm
  const runs = ["T1", "T2"].flatMap((tool) =>
    ["2024-02-01", "2024-03-01", "2024-04-01"].map((end) => ({tool, end, hours: 100})),
  );
  const lives = ["T1", "T2"].map((tool, t) => ({
    component: "LINR",
    tool,
    lower: 300,
    spent: [0, 1, 2].map((i) => ({mud: "KCL", regime: "medium", hours: 100, run: 3 * t + i})),
  }));
  const rebuilds: RebuildRow[] = ["T1", "T2"].flatMap((tool, t) =>
    ["2024-02-02", "2024-03-02", "2024-04-02"].map((date, i) => ({
      tool,
      date,
      measured: 40 + (t === 0 ? 0.1 : 0.3) * (i + 1) + (i === 1 ? 0.002 : -0.001),
      limit: 41,
    })),
  );

  it("reads each part's age from its runs and finds the mean path", () => {
    const presentation = answer("wear", "component: liners\n", {runs, lives, rebuilds});
    expect(column(presentation, "readings")).toEqual([6]);
    expect(column(presentation, "slope")[0]).toBeCloseTo(2, 1);
    expect(column(presentation, "start")[0]).toBeCloseTo(40, 1);
    const [figure] = presentation.figures;
    if (figure?.chart.kind !== "wear") throw new Error("no wear path");
    expect(figure.chart.parts.map(({points}) => points.map(({age}) => age))).toEqual([
      [100, 200, 300],
      [100, 200, 300],
    ]);
    expect(figure.chart.limit).toBe(41);
  });

  it("shows inches where the page asks for oilfield units", () => {
    const presentation = answer("wear", "component: liners\n", {runs, lives, rebuilds, settings: {units: "oilfield"}});
    expect(column(presentation, "limit")[0]).toBeCloseTo(41 / 25.4, 12);
    expect(presentation.headline).toContain("limit 1.614 in");
  });

  it("counts readings without a limit or an age, and names other dimensions", () => {
    const presentation = answer("wear", "component: liners\n", {
      runs,
      lives,
      rebuilds: [
        ...rebuilds,
        {date: "2024-03-02", measured: 40.2},
        {date: "2020-01-01", measured: 40, limit: 41},
        {date: "2024-03-02", measured: 0.1, limit: 0.3, measure: "ovality"},
      ],
    });
    const cautions = presentation.cautions.join(" ");
    expect(cautions).toContain("1 reading without a limit is left out");
    expect(cautions).toContain("1 reading of parts whose age is not known is left out");
    expect(cautions).toContain("Also measured: ovality");
  });

  it("says what is missing: readings, that dimension, a limit", () => {
    expect(answer("wear", "component: liners\n", {runs, lives}).headline).toContain(
      "The logs hold no measured dimensions of liners.",
    );
    expect(answer("wear", "component: liners\nmeasure: length\n", {runs, lives, rebuilds}).headline).toContain(
      "No reading of liners is called “length”; the log has bore.",
    );
    const bare = rebuilds.map(({limit: _limit, ...row}) => row);
    expect(answer("wear", "component: liners\n", {runs, lives, rebuilds: bare}).headline).toContain(
      "no row names the shop's limit",
    );
  });
});
