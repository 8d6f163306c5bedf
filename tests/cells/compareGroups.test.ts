/** The cells that compare groups: answers worked by hand, the trade's example, and logs that say little. */
import {describe, expect, it} from "vitest";
import {CELL_KINDS, type CellKind, type Presentation} from "../../src/cells/index.ts";
import {evaluateCell} from "../../src/notebook/index.ts";
import {effects, inputsOf, type FailureRow, type RebuildRow, type Rows, type RunRow} from "./inputs.ts";

const COMPARING = [
  "fair",
  "gap",
  "side-by-side",
  "hours-per-failure",
  "early",
  "over-time",
  "spacing",
  "worth",
] as const;

function show(kind: string, body: string, rows: Rows): Presentation {
  const result = evaluateCell({kind, body, bodyLine: 2}, inputsOf(rows), effects());
  if ("problem" in result) throw new Error(result.problem.message);
  return result.presentation;
}

const column = (presentation: Presentation, table: number, name: string) =>
  presentation.tables[table]!.columns.find((c) => c.name === name)!.values;

/** Runs of `hours` each of some tools of a fleet, one a day from the first of 2024 on. */
const runsOf = (fleet: string, tools: number, each: number, hours: number): RunRow[] =>
  Array.from({length: tools * each}, (_, i) => ({
    fleet,
    tool: `${fleet}-${i % tools}`,
    hours,
    end: new Date(Date.UTC(2024, 0, 1 + i)).toISOString().slice(0, 10),
  }));
const failing = (runs: readonly RunRow[], at: readonly number[], row: Partial<FailureRow> = {}): FailureRow[] =>
  at.map((run) => ({
    component: "SEAL",
    mode: "SEAL-ABR",
    ...row,
    fleet: runs[run]!.fleet ?? "Alder",
    tool: runs[run]!.tool ?? "T1",
    date: runs[run]!.end ?? "2024-06-01",
    run,
  }));

describe("hours-per-failure", () => {
  it("gives the trade's example: 8 failures in 12,000 h are 1,500 h each, 831 to 3,014", () => {
    // time-truncated chi-square bounds at 90 %: 2T/χ²(0.95, 18) and 2T/χ²(0.05, 16), computed for the trade notes
    const runs = runsOf("Alder", 4, 30, 100);
    const told = show("hours-per-failure", "", {runs, failures: failing(runs, [3, 9, 20, 31, 44, 58, 71, 90])});
    expect(told.headline).toContain("Alder 1,500 h (831 to 3,014; 8 failures in 12,000 h)");
    expect(column(told, 0, "class")).toEqual(["F1 to F3", "F1", "F2", "F3", "F4", "F5", "X", "shop"]);
    expect(column(told, 0, "failures").slice(0, 2)).toEqual([8, 8]);
  });

  it("counts a run once, puts plugging with much lost-circulation material apart, and bounds no failure from below", () => {
    const runs = runsOf("Alder", 2, 10, 50);
    const twice = [...failing(runs, [4]), ...failing(runs, [4], {component: "LINR", mode: "LINR-ERO"})];
    const inputs = inputsOf({runs, failures: [...twice, ...failing(runs, [7], {component: "HLXS", mode: "HLXS-PLG"})]});
    inputs.runs.columns.lcm_kgm3[7] = 150;
    const result = evaluateCell({kind: "hours-per-failure", body: "", bodyLine: 2}, inputs, effects());
    if ("problem" in result) throw new Error(result.problem.message);
    const told = result.presentation;
    const count = (name: string) => column(told, 0, "failures")[column(told, 0, "class").indexOf(name)];
    expect([count("F1"), count("X"), count("F1 to F3")]).toEqual([1, 1, 1]);
    const none = show("hours-per-failure", "", {runs});
    expect(none.headline).toMatch(/Alder above \d+ h \(above \d+; no failures in 1,000 h\)/);
  });
});

describe("gap", () => {
  const runs = [...runsOf("Cobalt", 5, 20, 50), ...runsOf("Basalt", 5, 20, 50)];
  const failures = [
    ...failing(runs, [2, 13, 24, 31, 47, 58, 66, 79], {shop: true, mode: "SEAL-REV", sinceRebuild: 20}),
    ...failing(runs, [5, 16], {shop: true, mode: "SEAL-REV", sinceRebuild: 120}),
    ...failing(runs, [102, 113, 124], {sinceRebuild: 130}),
  ];

  it("puts what was caused at service into its own parts, and all parts add up", () => {
    const told = show("gap", "", {runs, failures});
    const part = column(told, 0, "part");
    const adds = column(told, 0, "adds") as number[];
    const at = (name: string) => adds[part.indexOf(name)]!;
    expect(at("caused at service, first 50 h")).toBeCloseTo(1.6, 9); // 8 in 5,000 h
    expect(at("caused at service, later")).toBeCloseTo(0.4, 9);
    expect(at("the rest, at an equal mix")).toBeCloseTo(-0.6, 9);
    expect(adds.slice(0, 6).reduce((a, b) => a + b, 0)).toBeCloseTo(at("the whole gap"), 9);
    expect(at("the whole gap")).toBeCloseTo(1.4, 9);
    expect(told.figures[0]!.title).toContain("Damage done at service");
    expect(told.asks?.map(({name, value}) => [name, value])).toEqual([
      ["first", "Cobalt"],
      ["second", "Basalt"],
    ]);
  });

  it("takes the two that are asked for, turns round with them, and says when one is not there", () => {
    const told = show("gap", "first: Basalt\nsecond: Cobalt\n", {runs, failures});
    expect(told.headline).toMatch(/^Basalt has 1.4 failures per 1,000 h less than Cobalt/);
    expect(show("gap", "first: Dolomite\n", {runs, failures}).cautions.join(" ")).toContain("called Dolomite");
  });

  it("before and after a day: the later time is asked about", () => {
    const told = show("gap", "by: period\non: 2024-02-15\n", {runs, failures});
    expect(told.headline).toMatch(/^The time from 2024-02-15 has/);
  });
});

describe("fair", () => {
  it("leaves rates alone where all ran in the same mix, and calls none worse among equals", () => {
    const runs = [...runsOf("Cobalt", 4, 25, 40), ...runsOf("Basalt", 4, 25, 40)];
    const failures = failing(runs, [5, 30, 55, 71, 90, 105, 130, 155, 171, 190]);
    const told = show("fair", "", {runs, failures});
    expect(column(told, 0, "at_mix")).toEqual(column(told, 0, "rate"));
    expect(column(told, 0, "apart")).toEqual(["no", "no"]);
    expect(told.headline).toContain("none of the fleets differs from the rest");
    expect(column(told, 0, "covered")).toEqual([1, 1]);
  });

  it("calls a fleet worse that fails five times as often in the same conditions", () => {
    const runs = [...runsOf("Cobalt", 4, 25, 40), ...runsOf("Basalt", 4, 25, 40)];
    const many = Array.from({length: 25}, (_, i) => 4 * i);
    const told = show("fair", "", {runs, failures: failing(runs, [...many, 105, 130, 155, 171, 190])});
    expect(column(told, 0, "apart")).toEqual(["worse", "better"]);
    expect(told.headline).toContain("worse: Cobalt");
  });
});

describe("side-by-side", () => {
  it("agrees with R poisson.test on 11 in 800 against 21 in 3,011 (published.json two-poisson-rates-eba)", () => {
    const runs = [...runsOf("Cobalt", 1, 40, 20), ...runsOf("Basalt", 1, 40, 75.275)];
    const first = Array.from({length: 11}, (_, i) => i);
    const second = Array.from({length: 21}, (_, i) => 40 + i);
    const told = show("side-by-side", "", {runs, failures: failing(runs, [...first, ...second])});
    expect(column(told, 0, "ratio")[0]).toBeCloseTo(1.971488, 5);
    expect(column(told, 0, "p")[0]).toBe("0.08");
  });
});

describe("worth", () => {
  it("prices a cause by the fleet's own failure cost and takes the share that a fix prevents", () => {
    const runs = runsOf("Cobalt", 3, 122, 10); // 366 days
    const failures = failing(runs, [10, 50, 90, 130, 170, 365]);
    const told = show("worth", "prevents: 25\n", {runs, failures});
    // six failures at the default 20,000 over 365 days
    const aYear = (6 * 20_000) / (365 / 365.25);
    expect(column(told, 0, "a_year")[0]).toBeCloseTo(aYear, 6);
    expect(column(told, 0, "worth")[0]).toBeCloseTo(aYear / 4, 6);
    expect(told.asks?.[0]).toMatchObject({name: "prevents", value: "25"});
  });
});

describe("early", () => {
  it("splits the hours of a run at the early edge and puts it to the shop of the rebuild before", () => {
    const runs: RunRow[] = [
      {tool: "T1", hours: 30, end: "2024-01-10"},
      {tool: "T1", hours: 40, end: "2024-01-20"},
      {tool: "T1", hours: 60, end: "2024-02-10"},
    ];
    const rebuilds: RebuildRow[] = [
      {tool: "T1", date: "2024-01-01"},
      {tool: "T1", date: "2024-02-01"},
    ];
    const told = show("early", "by: fleet\n", {
      runs,
      rebuilds,
      failures: failing(runs, [2], {sinceRebuild: 35}),
    });
    expect(column(told, 0, "early_exposure")).toEqual([100]); // 30 + 20, then 50
    expect(column(told, 0, "later_exposure")).toEqual([30]);
    expect(column(told, 0, "early_failures")).toEqual([1]);
  });
});

describe("spacing", () => {
  it("finds a stretch that a steady rate would not give", () => {
    const runs = runsOf("Cobalt", 2, 200, 10);
    // a failure every 200 h, then six in 60 h
    const at = [...Array.from({length: 14}, (_, i) => 19 + 20 * i), 300, 301, 302, 303, 304, 305, 390];
    const told = show("spacing", "events: 3\nfalse_alarms: 5\n", {runs, failures: failing(runs, at)});
    expect(told.headline).toMatch(/Cobalt: \d stretch(es)? shorter than chance gives/);
  });
});

describe("over-time", () => {
  it("calls a change where one is, and none where rates stay", () => {
    const runs = runsOf("Cobalt", 3, 120, 20);
    const steady = Array.from({length: 24}, (_, i) => 15 * i);
    const rising = [...Array.from({length: 3}, (_, i) => 50 * i), ...Array.from({length: 30}, (_, i) => 260 + 3 * i)];
    expect(show("over-time", "", {runs, failures: failing(runs, steady)}).headline).toContain(
      "no rate is shown to have changed",
    );
    expect(show("over-time", "", {runs, failures: failing(runs, rising)}).headline).toContain(
      "periods differ beyond chance in Cobalt",
    );
  });
});

describe("logs that say little get a sentence and whatever can still be shown", () => {
  const one = runsOf("Alder", 2, 10, 40);
  const five = ["A", "B", "C", "D", "E"].flatMap((fleet) => runsOf(fleet, 2, 10, 40));
  const cases: readonly (readonly [what: string, rows: Rows])[] = [
    ["nothing at all", {}],
    ["one fleet only", {runs: one, failures: failing(one, [3, 8])}],
    ["five fleets with no failures", {runs: five}],
    ["a failure with no component", {runs: five, failures: [{component: null, fleet: "A", run: 3}]}],
    ["no rebuild log", {runs: five, failures: failing(five, [3, 25, 44])}],
    [
      "all dates missing",
      {
        runs: five.map((run) => ({...run, end: "no day"})),
        failures: failing(five, [3, 25]).map((f) => ({...f, date: "no day"})),
      },
    ],
    ["no fleet named", {runs: one.map((run) => ({...run, fleet: null})), failures: failing(one, [2])}],
    ["no hours", {runs: one.map((run) => ({...run, hours: NaN})), failures: failing(one, [2])}],
  ];
  const bodies = (kind: string): string[] =>
    kind === "early"
      ? ["", "by: wait\n", "by: technician\n"]
      : kind === "fair" || kind === "gap" || kind === "side-by-side"
        ? ["", "by: shop\n", "by: period\n", "by: quarter\n", ...(kind === "side-by-side" ? ["by: lot\n"] : [])]
        : ["", ...(kind === "over-time" || kind === "worth" ? ["by: none\n"] : [])];

  it.each(cases)("%s", (_what, rows) => {
    for (const kind of COMPARING)
      for (const body of bodies(kind)) {
        const told = show(kind, body, rows);
        expect(told.headline, `${kind} ${body}`).toMatch(/^[A-Z0-9].*\.$/s);
        expect(JSON.stringify(told), `${kind} ${body}`).not.toMatch(/NaN|Infinity|undefined|Invalid/);
      }
  });

  it("say what is missing", () => {
    const rows = Object.fromEntries(cases);
    expect(show("gap", "", rows["one fleet only"]!).headline).toBe(
      "Only Alder is in view, so there is no gap between two fleets to explain. Widen the filters, or compare by something else.",
    );
    expect(show("gap", "", rows["five fleets with no failures"]!).headline).toContain("no gap to explain");
    expect(show("fair", "", rows["five fleets with no failures"]!).cautions.join(" ")).toContain("too few to rank");
    expect(show("worth", "", rows["a failure with no component"]!).headline).toContain("none with a cost");
    expect(show("early", "", rows["no rebuild log"]!).headline).toContain("No rebuild log was read");
    expect(show("over-time", "", rows["all dates missing"]!).headline).toContain("no date");
    expect(show("spacing", "", rows["all dates missing"]!).headline).toContain("none with a date");
    expect(show("fair", "by: fleet\n", rows["all dates missing"]!).tables).toHaveLength(1);
  });
});

it("every comparing cell is offered to a reader, with a summary", () => {
  const kinds = new Map<string, CellKind>(CELL_KINDS.map((kind) => [kind.kind, kind]));
  for (const kind of COMPARING) expect(kinds.get(kind)?.summary, kind).toMatch(/\.$|\?$/);
});
