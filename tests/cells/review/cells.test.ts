/** Every cell of the review on logs that lack what it looks for, and its figures on logs small enough to count. */
import * as v from "valibot";
import {describe, expect, it} from "vitest";
import type {CellInputs, CellKind, Presentation} from "../../../src/cells/contract.ts";
import {CELL_KINDS} from "../../../src/cells/index.ts";
import {failedPart} from "../../../src/cells/failedPart.ts";
import {jobActions} from "../../../src/cells/jobActions.ts";
import {openActions} from "../../../src/cells/openActions.ts";
import {runConditionsCell} from "../../../src/cells/runConditionsCell.ts";
import {runHydraulics} from "../../../src/cells/runHydraulics.ts";
import {runWear} from "../../../src/cells/runWear.ts";
import {sisterFailures} from "../../../src/cells/sisterFailures.ts";
import {toolHistory} from "../../../src/cells/toolHistory.ts";
import {annulusVelocity} from "../../../src/hydraulics/index.ts";
import {draw} from "../../charts/draw.ts";
import {effects} from "../inputs.ts";
import {answer, failed, fit, inputsFrom, look, run, type Log} from "./reviewed.ts";

const NOTHING = {job: null, run: null, tool: null};
const REVIEW = [
  "job-verdict",
  "tool-history",
  "run-conditions",
  "run-hydraulics",
  "run-wear",
  "failed-part",
  "sister-failures",
  "renew-now",
  "data-questions",
  "job-actions",
].map((name) => CELL_KINDS.find(({kind}) => kind === name)!);

function whole(kind: CellKind, inputs: CellInputs, given: object = {}): Presentation {
  const params = v.parse(kind.schema, given) as never;
  return kind.present(kind.compute(inputs, params, effects()), params, inputs);
}

describe("a poor log leaves every cell a sentence", () => {
  const bare = {run: "1", tool: "T-1", end: "2024-01-20"};
  it.each<[string, Log, object]>([
    ["no run", {runs: [], rebuilds: [fit("01-01")]}, {}],
    ["a run without anything", {runs: [bare], rebuilds: []}, {}],
    ["a run without a tool of its own", {runs: [{run: "1", end: "2024-01-20", circulating_h: 5}], rebuilds: []}, {}],
    ["a tool with no rebuild", {runs: [run("01-20", {outcome: "failed downhole", lost_time_h: 4})], rebuilds: []}, {}],
    [
      "a failure with no component",
      {
        runs: [run("01-20", {outcome: "failed downhole"})],
        rebuilds: [fit("01-01"), look("01-25", {found: "good", action: "kept"})],
      },
      {},
    ],
    [
      "nothing failed anywhere",
      {runs: [run("01-20")], rebuilds: [fit("01-01"), look("01-25", {found: "good", action: "renewed"})]},
      {},
    ],
    ["a job that is not there", {runs: [run("01-20")], rebuilds: [fit("01-01")]}, {job: "W-11"}],
    ["lost in hole", {runs: [run("01-20", {outcome: "lost in hole"})], rebuilds: [fit("01-01")]}, {}],
    [
      "a run without hours",
      {runs: [run("01-20", {circulating_h: undefined})], rebuilds: [fit("01-01"), failed("01-25", "SEAL-ABR")]},
      {},
    ],
  ])("%s", async (_what, log, given) => {
    const inputs = inputsFrom(log);
    for (const kind of REVIEW) {
      const shown = whole(kind, inputs, given);
      expect(shown.headline, kind.kind).toMatch(/^[A-Z0-9“].*[.?]$/s);
      expect(JSON.stringify(shown), kind.kind).not.toMatch(/NaN|Infinity|undefined/);
      for (const figure of shown.figures)
        expect((await draw(figure.chart, 600)).text, figure.name).not.toMatch(/NaN|undefined/);
    }
  });
});

describe("the history of a tool", () => {
  const inputs = inputsFrom({
    runs: [
      run("01-10"),
      run("01-20", {outcome: "failed downhole", lost_time_h: 3, failed_at_h: 20}),
      run("02-20"),
      run("09-01"),
    ],
    rebuilds: [fit("01-01"), failed("01-25", "SEAL-ABR"), fit("01-01", {component: "LINR"})],
  });

  it("draws runs, lives and visits of the time around the run, and marks it", async () => {
    const {figures, headline} = answer(toolHistory, inputs, {...NOTHING, span: "run"});
    const chart = figures[0]!.chart;
    if (chart.kind !== "history") throw new Error(chart.kind);
    expect(chart.lanes).toEqual(["runs", "seal", "liner"]);
    expect(chart.spans.filter(({lane}) => lane === "seal").map(({end, note}) => [end, note])).toEqual([
      ["failed", "70 h"],
      ["open", "100 h"],
    ]);
    expect(chart.focus?.label).toBe("run R-01-20");
    expect(headline).toContain("T-1 had 3 runs, 1 of them failed, and 2 visits to the bench");
    const {count} = await draw(chart, 720);
    expect(count("[aria-description='runs that ended in failure'] rect")).toBe(1);
    // the liner goes on behind the edge: no age is printed for it
    expect(count("[aria-description='ages reached'] text")).toBe(1);
  });

  it("over the whole log has every run", () => {
    expect(answer(toolHistory, inputs, {...NOTHING, span: "log"}).headline).toContain("T-1 had 4 runs");
  });
});

describe("hydraulics of a run", () => {
  it("tells erosion as a ratio of velocities to the 2nd and 3rd power, against the fleet's other runs", () => {
    const inputs = inputsFrom({
      runs: [
        run("01-20", {lost_time_h: 1, flow_lpm: 1500}),
        run("02-20", {flow_lpm: 1000}),
        run("03-20", {flow_lpm: 1400}),
      ],
      rebuilds: [],
    });
    const {tables, headline} = answer(runHydraulics, inputs, NOTHING);
    const value = (name: string) => {
      const [names, values] = [tables[0]!.columns[0]!.values, tables[0]!.columns[1]!.values];
      return values[names.indexOf(name)] as number;
    };
    const size = {bore_mm: 82.55, tool_od_mm: 47.625};
    expect(value("velocity past the tool")).toBeCloseTo(annulusVelocity(1500, size), 10);
    expect(value("erosion by velocity, squared")).toBeCloseTo((1500 / 1200) ** 2, 10);
    expect(value("erosion by velocity, cubed")).toBeCloseTo((1500 / 1200) ** 3, 10);
    expect(headline).toContain("it erodes 1.6 to 2 times as fast by velocity alone");
    expect(headline).toContain("API RP 13D, 2006 and later form");
  });
});

describe("wear against limits", () => {
  const measured = (day: string, tool: string, mm: number) =>
    look(day, {
      tool,
      component: "LINR",
      found: "good",
      action: "kept",
      measure: "bore",
      measured_mm: Number(mm.toFixed(2)),
      limit_mm: 41,
    });
  // bores start at 40 mm and grow by 0.001, 0.002, 0.003 mm an hour, read to within 0.01 mm
  const inputs = inputsFrom({
    runs: ["T-1", "T-2", "T-3"].flatMap((tool, i) => [
      run("01-20", {tool, job: tool, run: `${tool}-a`, circulating_h: 100}),
      run("02-20", {tool, job: tool, run: `${tool}-b`, circulating_h: 100, ...(i === 2 ? {lost_time_h: 9} : {})}),
      run("03-20", {tool, job: tool, run: `${tool}-c`, circulating_h: 100}),
    ]),
    rebuilds: ["T-1", "T-2", "T-3"].flatMap((tool, i) => [
      fit("01-01", {tool, component: "LINR"}),
      measured("01-25", tool, 40 + 0.1 * (i + 1) + 0.01),
      measured("02-25", tool, 40 + 0.2 * (i + 1) - 0.01),
      measured("03-25", tool, 40 + 0.3 * (i + 1)),
    ]),
  });

  it("places the part of the run among its kin, by what was known after the run", () => {
    const {headline, tables, figures, cautions} = answer(runWear, inputs, NOTHING);
    expect(headline).toContain("By the teardown after run T-3-b, 1 of its parts had been measured");
    // 0.59 of 1 mm to the limit, the start being near 40
    expect(headline).toMatch(/with (58|59|60) % of the way from new to the limit used at 200 h/);
    expect(headline).toContain("faster than 100 % of the 2 other parts");
    expect(tables[0]!.columns.find(({name}) => name === "size")!.values).toEqual([40.31, 40.59]);
    expect(cautions.join(" ")).toContain("1 reading taken after later runs is left out");
    const chart = figures[0]!.chart;
    if (chart.kind !== "wear") throw new Error(chart.kind);
    expect(chart.parts.filter(({own}) => own === true)).toEqual([
      {
        name: "the liner of T-3",
        own: true,
        points: [expect.objectContaining({age: 100, size: 40.31}), expect.objectContaining({age: 200, size: 40.59})],
      },
    ]);
  });

  it("without a measurement is a sentence", () => {
    const none = inputsFrom({runs: [run("01-20")], rebuilds: [fit("01-01")]});
    expect(answer(runWear, none, NOTHING).headline).toContain("Nothing had been measured on the parts of T-1");
  });
});

describe("sister failures", () => {
  it("leave out the one reviewed and hold the others against the exposure they share", () => {
    const tool = (name: string, lot: string, fails: boolean): Log => ({
      runs: [
        run("01-20", {
          tool: name,
          job: name,
          run: name,
          circulating_h: 100,
          ...(fails ? {outcome: "failed downhole", failed_at_h: 100} : {}),
          ...(name === "T-1" ? {lost_time_h: 5} : {}),
        }),
      ],
      rebuilds: [
        fit("01-01", {tool: name, lot}),
        fails
          ? failed("01-25", "SEAL-ABR", {tool: name})
          : look("01-25", {tool: name, found: "good", action: "renewed"}),
      ],
    });
    const logs = [tool("T-1", "L1", true), tool("T-2", "L1", true), tool("T-3", "L2", false), tool("T-4", "L2", true)];
    const inputs = inputsFrom({runs: logs.flatMap(({runs}) => runs), rebuilds: logs.flatMap(({rebuilds}) => rebuilds)});
    const {tables, headline} = answer(sisterFailures, inputs, NOTHING);
    expect(headline).toContain("3 such failures in 400 h of seals in view, 7.5 per 1,000 h");
    const column = (name: string) => tables[0]!.columns.find((one) => one.name === name)!.values;
    const lot = column("kin").indexOf("lot L1");
    expect([column("failures")[lot], column("exposure")[lot], column("ratio")[lot]]).toEqual([1, 200, 1]);
    expect(tables[1]!.columns.find(({name}) => name === "tool")!.values).toEqual(["T-2", "T-4"]);
  });
});

describe("conditions of a run", () => {
  it("say what was unusual, in the unit of the page", () => {
    const others = Array.from({length: 20}, (_, i) =>
      run(`02-${String(i + 1).padStart(2, "0")}`, {temperature_max_C: 80 + i}),
    );
    const log = {runs: [run("01-20", {lost_time_h: 1, temperature_max_C: 150}), ...others], rebuilds: []};
    expect(answer(runConditionsCell, inputsFrom(log), NOTHING).headline).toContain(
      "hottest 150 °C, higher than 100 % of them",
    );
    const oilfield = inputsFrom({...log, settings: {units: "oilfield"}});
    expect(answer(runConditionsCell, oilfield, NOTHING).headline).toContain("hottest 302 °F");
  });
});

describe("the failed part", () => {
  it("without a model is told with why, and nothing is drawn", () => {
    const inputs = inputsFrom({
      runs: [run("01-20", {outcome: "failed downhole", failed_at_h: 20, lost_time_h: 1})],
      rebuilds: [failed("01-25", "SEAL-ABR")],
    });
    const {headline, figures} = answer(failedPart, inputs, NOTHING);
    expect(headline).toContain("cannot be placed on a life model");
    expect(figures).toEqual([]);
  });
});

describe("actions", () => {
  const log: Log = {
    runs: [run("01-20", {outcome: "failed downhole", failed_at_h: 8, circulating_h: 20, lost_time_h: 1})],
    rebuilds: [fit("01-01"), failed("01-25", "SEAL-REV")],
  };
  const action = {
    id: "a",
    job: "w-1",
    run: null,
    tool: null,
    what: "Talk to the bench",
    owner: "KV",
    due: "2024-03-01",
    state: "open",
    history: [{on: "2024-02-01", what: "opened", by: "HT", note: null}],
  } as const;

  it("of the job are told with what is next, and offered for change", () => {
    const {headline, tables, records} = answer(
      jobActions,
      {...inputsFrom(log), actions: [action, {...action, id: "b", job: "W-9"}]},
      NOTHING,
    );
    expect(headline).toBe("1 action of job W-1: 1 open; the next is due on 2024-03-01, owner KV.");
    expect(tables[0]!.columns.map(({values}) => values[0])).toEqual([
      "Talk to the bench",
      "KV",
      "2024-03-01",
      "open",
      "2024-02-01 opened by HT",
    ]);
    expect(records?.[0]).toMatchObject({about: {job: "W-1", run: "R-01-20", tool: "T-1"}, actions: [{id: "a"}]});
  });

  it("are suggested from what was found, until they are taken", () => {
    const offer = (actions: CellInputs["actions"]) =>
      answer(jobActions, {...inputsFrom(log), ...(actions ? {actions} : {})}, NOTHING).records?.find(
        (one) => one.type === "review action",
      );
    const [first] = offer(undefined)!.suggestions;
    expect(first).toBe(
      "Go through how the seal was fitted (lip fitted the wrong way round) with those who rebuilt the tool at Quay",
    );
    expect(offer([{...action, job: "W-1", what: first!}])!.suggestions).not.toContain(first);
  });

  it("of all reviews are listed, the open ones first", () => {
    const done = {...action, id: "c", state: "done", what: "done already"} as const;
    const list = (show: "open" | "all") =>
      answer(openActions, {...inputsFrom(log), actions: [done, action]}, {show}).tables[0]!.columns.find(
        ({name}) => name === "what",
      )!.values;
    expect(list("open")).toEqual(["Talk to the bench"]);
    expect(list("all")).toEqual(["Talk to the bench", "done already"]);
    expect(answer(openActions, inputsFrom(log), {show: "open"}).headline).toContain("No action is kept yet.");
  });
});
