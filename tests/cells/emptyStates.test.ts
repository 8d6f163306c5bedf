/**
 * Every kind of cell on logs that lack something: each says in plain words what is missing and what to do next, and shows no
 * figure or table without anything in it.
 */
import {beforeAll, describe, expect, it} from "vitest";
import {CELL_KINDS} from "../../src/cells/index.ts";
import type {Presentation, Where} from "../../src/cells/contract.ts";
import {chartTable} from "../../src/charts/index.ts";
import {createMemo, evaluateCell} from "../../src/notebook/index.ts";
import {cellInputs} from "../../src/workspace/cellInputs.ts";
import {openLogs} from "../../src/workspace/openLogs.ts";
import {effects} from "./inputs.ts";

interface Fleet {
  readonly tools: number;
  /** runs of each tool, a rebuild after each */
  readonly runs: number;
  readonly failing: boolean;
  /** whether runs name mud, flow, bore and tool diameter */
  readonly conditions: boolean;
}

const WHOLE: Fleet = {tools: 6, runs: 4, failing: true, conditions: true};

const day = (n: number): string => new Date(Date.UTC(2024, 0, 1 + n)).toISOString().slice(0, 10);
const fails = ({failing}: Fleet, tool: number, run: number): boolean => failing && (tool + run) % 3 === 2;
const each = (fleet: Fleet, line: (tool: number, run: number) => readonly string[]): string[] =>
  Array.from({length: fleet.tools * fleet.runs}, (_, i) => line(Math.floor(i / fleet.runs), i % fleet.runs)).flat();

function runLog(fleet: Fleet): string {
  const {conditions} = fleet;
  const head = "run,tool,job,fleet,start,end,circulating_h,outcome,failed_at_h,lost_time_h";
  const lines = each(fleet, (t, r) => {
    const ended = fails(fleet, t, r) ? ["failed downhole", 40 + t, 12] : ["completed", "", ""];
    const told = [
      `R${t}-${r}`,
      `T${t}`,
      `J${t}-${r}`,
      t % 2 === 1 ? "Alder" : "Basalt",
      day(30 * r + t),
      day(30 * r + t + 5),
    ];
    const mud = conditions ? [t % 2 === 1 ? "KCL" : "OBM", 1200, 20, 8, 1500 + 100 * t, 82, 47] : [];
    return [[...told, 60 + 5 * t + 3 * r, ...ended, ...mud].join(",")];
  });
  return [head + (conditions ? ",mud,density_kgm3,pv_mPas,yp_Pa,flow_lpm,bore_mm,tool_od_mm" : ""), ...lines, ""].join(
    "\n",
  );
}

function rebuildLog(fleet: Fleet): string {
  const head =
    "rebuild,tool,date,shop,technician,component,position,found,mode,ended_run,action,measure,measured_mm,limit_mm";
  const row = (t: number, on: number, rest: string) => `B${t}-${on},T${t},${day(on)},Yard,AB,${rest}`;
  const fitted = Array.from({length: fleet.tools}, (_, t) => [
    row(t, t - 5, "SEAL,1,good,,no,renewed,,,"),
    row(t, t - 5, "LINR,1,good,,no,renewed,bore,40,41"),
  ]).flat();
  const looked = each(fleet, (t, r) => [
    row(t, 30 * r + t + 8, fails(fleet, t, r) ? "SEAL,1,failed,SEAL-ABR,yes,renewed,,," : "SEAL,1,good,,no,renewed,,,"),
    row(t, 30 * r + t + 8, `LINR,1,good,,no,kept,bore,${(40 + 0.05 * r).toFixed(2)},41`),
  ]);
  return [head, ...fitted, ...looked, ""].join("\n");
}

const COSTS = "components:\n  seal: {planned_cost: 300, failure_cost: 42000, current_interval_h: 140}\n";

interface Case {
  readonly files: Readonly<Record<string, string>>;
  readonly where?: Where;
}

const both = (fleet: Fleet) => ({"runs.csv": runLog(fleet), "rebuilds.csv": rebuildLog(fleet), "settings.yaml": COSTS});

const CASES = {
  "no failures": {files: both({...WHOLE, failing: false})},
  "one run only": {files: both({...WHOLE, tools: 1, runs: 1, failing: false})},
  "a filter that matches nothing": {files: both(WHOLE), where: {fleet: ["Dolomite"]}},
  "no rebuild log": {files: {"runs.csv": runLog(WHOLE), "settings.yaml": COSTS}},
  "no run log": {files: {"rebuilds.csv": rebuildLog(WHOLE), "settings.yaml": COSTS}},
  "no mud and no flow": {files: both({...WHOLE, conditions: false})},
  "no costs in the settings": {files: {"runs.csv": runLog(WHOLE), "rebuilds.csv": rebuildLog(WHOLE)}},
} satisfies Record<string, Case>;

type CaseName = keyof typeof CASES;

const answers = new Map<CaseName, ReadonlyMap<string, Presentation>>();

beforeAll(async () => {
  for (const [name, {files, where}] of Object.entries<Case>(CASES)) {
    const named = Object.entries(files).map(([file, text]) => ({name: file, bytes: new TextEncoder().encode(text)}));
    const opened = await openLogs(named, false, () => undefined);
    if (!opened.opened) throw new Error(`${name}: ${opened.message}`);
    const inputs = cellInputs(opened.logs, where ?? {});
    const memo = createMemo();
    const told = CELL_KINDS.map(({kind, example}) => {
      const result = evaluateCell({kind, body: example, bodyLine: 1}, inputs, {...effects(), memo});
      if ("problem" in result) throw new Error(`${name}, ${kind}: ${result.problem.message}`);
      return [kind, result.presentation] as const;
    });
    answers.set(name as CaseName, new Map(told));
  }
}, 60_000);

/** Nothing to show is no lack here: nothing is due or open, nothing is wrong, nothing was decided, nothing failed. */
const WELL = [
  "due-list",
  "register",
  "fix-list",
  "data-questions",
  "job-actions",
  "open-actions",
  "failed-part",
  "sister-failures",
];

const NEXT =
  /\b([Ww]iden|[Ww]ider|[Aa]dd|[Ll]og|[Aa]sk|[Cc]hoose|[Ss]tate|[Gg]ive|With \d+ or more|there is a lower bound|nothing to|no gap|page “)/;

const said = ({headline, cautions}: Presentation): string => [headline, ...cautions].join(" ");

describe.each(Object.keys(CASES) as CaseName[])("%s", (name) => {
  it.each(CELL_KINDS.map(({kind}) => kind))("%s says it whole, and shows nothing empty", (kind) => {
    const presentation = answers.get(name)!.get(kind)!;
    const {headline, figures, tables} = presentation;
    expect(headline).toMatch(/^[A-Z0-9“].*\.$/s);
    expect(headline).not.toMatch(/ {2}|\? to \?|None of the 1 |\b1 (lives|failures|runs|comparisons)\b|e-\d|0\.0000/);
    expect(JSON.stringify(presentation)).not.toMatch(/NaN|Infinity|undefined/);
    for (const {title, chart} of figures) {
      // spans on a time line are drawn from days, all else from numbers
      const wanted = chart.kind === "history" ? "string" : "number";
      const drawn = chartTable(chart).flatMap(({values}) => values.filter((value) => typeof value === wanted));
      expect(drawn.length, `figure “${title}”`).toBeGreaterThan(0);
    }
    for (const {title, columns} of tables) expect(columns[0]?.values.length, `table “${title}”`).toBeGreaterThan(0);
    if (figures.length + tables.length === 0 && !WELL.includes(kind)) expect(headline).toMatch(NEXT);
  });
});

describe("what is missing is named where it matters", () => {
  it("service-plan without failures advises nothing, since a longer interval would always seem cheaper", () => {
    const {headline, figures, tables} = answers.get("no failures")!.get("service-plan")!;
    expect(headline).toMatch(/^No service plan can be advised for .+ yet: the lives of \d+ parts hold no failure/);
    expect([figures, tables]).toEqual([[], []]);
  });

  const LIVES = [
    "intervals",
    "tally",
    "service-plan",
    "due-list",
    "foretold",
    "life",
    "conditions",
    "incidence",
    "families",
    "contour",
    "wear",
    "lives",
    "early",
  ];

  it.each(LIVES)("%s without a rebuild log asks for one", (kind) => {
    expect(said(answers.get("no rebuild log")!.get(kind)!)).toMatch(/No rebuild log was read/);
  });

  it("causes without a rebuild log are ranked by count, not by money that nobody lost", () => {
    const {headline, figures} = answers.get("no rebuild log")!.get("pareto")!;
    expect(headline).toMatch(/^No part blamed leads: 8 of 8 failures.* ranked by count: none has a cost/s);
    expect(figures[0]!.title).toBe("No part blamed leads");
  });

  it.each([
    "fleets",
    "fair",
    "gap",
    "side-by-side",
    "rates",
    "recurrence",
    "over-time",
    "spacing",
    "hours-per-failure",
    "early",
  ])("%s without a run log asks for one", (kind) => {
    expect(said(answers.get("no run log")!.get(kind)!)).toMatch(/run log/);
  });

  it.each(["intervals", "conditions", "fair"])(
    "%s says that no run tells its mud or its flow, and which columns would",
    (kind) => {
      const told = /No run in view tells its mud or its flow regime.* log mud, flow rate, bore and tool diameter/;
      expect(said(answers.get("no mud and no flow")!.get(kind)!)).toMatch(told);
      expect(said(answers.get("no failures")!.get(kind)!)).not.toMatch(told);
    },
  );

  it.each(["intervals", "service-plan", "pareto", "worth"])(
    "%s says that its money rests on the program's own figures",
    (kind) => {
      expect(said(answers.get("no costs in the settings")!.get(kind)!)).toMatch(
        /No cost of a failure is set.* page “Settings”/,
      );
      expect(said(answers.get("no mud and no flow")!.get(kind)!)).not.toMatch(/No cost of a failure is set/);
    },
  );

  it("nothing under a filter names the filter", () => {
    for (const kind of ["intervals", "life", "pareto", "fleets", "over-time", "wear", "lives"])
      expect(answers.get("a filter that matches nothing")!.get(kind)!.headline).toMatch(
        /match the filters \(fleet Dolomite\)\. Widen/,
      );
  });
});
