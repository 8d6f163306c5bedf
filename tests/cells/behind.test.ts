/** What stands behind a mark: the rows of the log that tell of its lives, failures and runs. */
import {beforeAll, describe, expect, it} from "vitest";
import {modeLabel} from "../../shared/vocabulary/index.ts";
import {failuresBehind, livesBehind, partsInTools, runsBehind, stepsBehind} from "../../src/cells/behind.ts";
import {LIFE_ENDINGS} from "../../src/lives/index.ts";
import {openLogs, type OpenLogs} from "../../src/workspace/openLogs.ts";
import {rowsTold} from "../../src/workspace/rowsTold.ts";
import {workbook} from "../logs/workbook.ts";

// flow in gallons a minute, so that what is read differs from what is written: 450 gpm are 1703.4 L/min
const RUNS =
  "run,tool,end,circulating_h,mud,outcome,failed_at_h,Flow rate [gpm]\n" +
  "R1,T1,2024-01-06,60,OBM,completed,,450\n" +
  "R2,T1,2024-01-14,70,OBM,failed downhole,50,450\n" +
  "R3,T1,2024-02-05,40,OBM,completed,,450\n";
const REBUILDS =
  "tool,date,component,found,mode,ended_run,action\n" +
  "T1,2024-01-01,SEAL,good,,no,renewed\n" +
  "T1,2024-01-20,SEAL,failed,SEAL-ABR,yes,renewed\n" +
  "T1,2024-01-21,SEAL,good,,no,lost to the cat\n";

const bytes = (text: string) => new TextEncoder().encode(text);
const FILES = [
  {name: "runs.csv", bytes: bytes(RUNS)},
  {name: "rebuilds.csv", bytes: bytes(REBUILDS)},
];

let logs: OpenLogs;
beforeAll(async () => {
  const opened = await openLogs(FILES, false, () => undefined);
  if (!opened.opened) throw new Error(opened.message);
  logs = opened.logs;
});

const lifeThat = (ending: string) => logs.lives.ending.findIndex((code) => LIFE_ENDINGS[code] === ending);

describe("livesBehind(logs, lives, rows, told)", () => {
  it("of one life names part, tool, mode and end, and every row from the fitting over each run to the end", () => {
    // lines count the header: the seal went in on line 2 of the rebuild log and came out on line 3, after two runs
    expect(livesBehind(logs, logs.lives, [lifeThat("failed in run")], {mark: "a point"})).toEqual({
      mark: "a point",
      counted: "1 life",
      first: ["seal of tool T1, SEAL-ABR, failed in run"],
      more: 0,
      places: [
        {file: "rebuilds.csv", lines: [2, 3]},
        {file: "runs.csv", lines: [2, 3]},
      ],
      left: 0,
    });
  });

  it("of many lives keeps to the rows that ended them, each once, and names three", () => {
    const row = lifeThat("failed in run");
    const behind = livesBehind(logs, logs.lives, [row, row, row, row, row], {mark: "all"});
    expect(behind).toMatchObject({counted: "5 lives", more: 2});
    expect(behind!.first).toHaveLength(3);
    expect(behind!.places).toEqual([
      {file: "rebuilds.csv", lines: [3]},
      {file: "runs.csv", lines: [3]},
    ]);
  });

  it("of no life is nothing", () => {
    expect(livesBehind(logs, logs.lives, [], {mark: "none"})).toBeUndefined();
  });
});

it("failuresBehind(logs, failures, rows, told) leads to the rebuild row that tells of it and the run that it ended", () => {
  expect(failuresBehind(logs, logs.failures, [0], {mark: "x"})).toMatchObject({
    counted: "1 failure",
    first: [`seal, ${modeLabel("SEAL-ABR")}, of tool T1 on 2024-01-14`],
    places: [
      {file: "rebuilds.csv", lines: [3]},
      {file: "runs.csv", lines: [3]},
    ],
  });
});

it("a mark carries 2,000 rows at most, and says how many it left", () => {
  const many = 2500;
  const runs = {
    ...logs.runs,
    file: {codes: new Int32Array(many), words: ["runs.csv"]},
    line: Int32Array.from({length: many}, (_, i) => i + 2),
  };
  const rows = Array.from({length: many}, (_, i) => i);
  const behind = runsBehind({...logs, runs}, rows, {mark: "all"});
  expect(behind).toMatchObject({counted: "2,500 runs", left: 500});
  expect(behind!.places[0]!.lines).toHaveLength(2000);
});

it("stepsBehind(curve, events, make) gives each step the events since the step before", () => {
  const curve = [10, 20, 30].map((age) => ({age}));
  const events = [
    {age: 20, row: 3},
    {age: 12, row: 1},
    {age: 10 + 1e-12, row: 7},
  ];
  const found: (readonly number[])[] = [];
  stepsBehind(curve, events, (rows) => {
    found.push(rows);
    return undefined;
  });
  expect(found).toEqual([[7], [1, 3]]);
});

it("partsInTools(lives) finds the life of the part that is in a tool now", () => {
  const find = partsInTools(logs.lives);
  expect(find("T1", "SEAL", null)).toEqual([lifeThat("still running")]);
  expect(find("T1", "LINR", null)).toEqual([]);
});

describe("rowsTold(logs, files, places)", () => {
  it("shows cells as written, what each was read as, and what became of the row", async () => {
    const [sheet] = await rowsTold(logs, FILES, [{file: "runs.csv", lines: [3]}]);
    expect(sheet).toMatchObject({file: "runs.csv", log: "runs", changed: false});
    const [row] = sheet!.rows;
    const at = sheet!.columns.findIndex(({header}) => header === "Flow rate [gpm]");
    expect(sheet!.columns[at]!.column).toBe("flow_lpm");
    expect(row).toMatchObject({line: 3, fate: "used as it stands"});
    expect(row!.written[at]).toBe("450");
    // 1 US gallon is 3.785411784 L by definition
    expect(row!.read[at]).toBe("1,703.4 L/min");
    expect(row!.read[sheet!.columns.findIndex(({header}) => header === "end")]).toBe("2024-01-14");
  });

  it("says of a row that is not in use why it is not", async () => {
    const [sheet] = await rowsTold(logs, FILES, [{file: "rebuilds.csv", lines: [4]}]);
    expect(sheet!.rows[0]).toMatchObject({fate: "not in use"});
    expect(sheet!.rows[0]!.said[0]!.message).toContain("lost to the cat");
  });

  it("finds the rows of a sheet of a workbook", async () => {
    const cells = (text: string) =>
      text
        .trim()
        .split("\n")
        .map((line) => line.split(","));
    const books = [
      {
        name: "shop.xlsx",
        bytes: workbook([
          {name: "Runs", rows: cells(RUNS)},
          {name: "Rebuilds", rows: cells(REBUILDS)},
        ]),
      },
    ];
    const opened = await openLogs(books, false, () => undefined);
    if (!opened.opened) throw new Error(opened.message);
    const behind = failuresBehind(opened.logs, opened.logs.failures, [0], {mark: "x"})!;
    const told = await rowsTold(opened.logs, books, behind.places);
    expect(told.map(({file, log, changed, rows}) => [file, log, changed, rows.map(({line}) => line)])).toEqual([
      ["shop.xlsx [Runs]", "runs", false, [3]],
      ["shop.xlsx [Rebuilds]", "rebuilds", false, [3]],
    ]);
  });

  it("tells that a file has changed since, and that one is gone", async () => {
    const grown = [{name: "runs.csv", bytes: bytes(`${RUNS}R4,T1,2024-03-01,9,OBM,completed,,450\n`)}];
    const told = await rowsTold(logs, grown, [
      {file: "runs.csv", lines: [2]},
      {file: "rebuilds.csv", lines: [2]},
    ]);
    expect(told.map(({file, changed, rows}) => [file, changed, rows.length])).toEqual([
      ["runs.csv", true, 1],
      ["rebuilds.csv", true, 0],
    ]);
  });
});
