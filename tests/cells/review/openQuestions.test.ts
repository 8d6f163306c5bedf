/** Which findings touch a review: by their lines, by the lines and the tool they name. The demo's planted stories show. */
import {readFileSync} from "node:fs";
import {beforeAll, describe, expect, it} from "vitest";
import type {Finding} from "../../../shared/findings.ts";
import {wordAt} from "../../../shared/columnar.ts";
import type {CellInputs} from "../../../src/cells/contract.ts";
import {dataQuestions} from "../../../src/cells/dataQuestions.ts";
import {cellInputs} from "../../../src/workspace/cellInputs.ts";
import {openLogs} from "../../../src/workspace/openLogs.ts";
import {answer, fit, inputsFrom, look, run} from "./reviewed.ts";

const ALL = {job: null, run: null, tool: null, show: "all"} as const;

function finding(more: Partial<Finding>): Finding {
  return {
    kind: "asked",
    rule: "test",
    file: "runs.csv",
    line: 2,
    column: null,
    found: null,
    taken: null,
    message: "is doubtful",
    remedy: "look",
    ...more,
  };
}

describe("findings that touch a review", () => {
  const log = {
    // lines 2 and 3 of runs.csv; lines 2 to 4 of rebuilds.csv
    runs: [run("01-20", {lost_time_h: 5}), run("03-20")],
    rebuilds: [
      fit("01-01"),
      look("01-25", {found: "good", action: "kept"}),
      look("04-01", {found: "good", action: "kept"}),
    ],
  };
  const tiers = (found: Finding) => {
    const {tables} = answer(dataQuestions, inputsFrom({...log, findings: [found]}), ALL);
    return tables[0]?.columns.find(({name}) => name === "touches")?.values ?? [];
  };

  it.each<[string, Partial<Finding>, readonly string[]]>([
    ["the run's own line", {line: 2}, ["this run"]],
    ["the rebuild after it", {file: "rebuilds.csv", line: 3}, ["around it"]],
    ["a rebuild of another time", {file: "rebuilds.csv", line: 4}, ["the tool at another time"]],
    [
      "the run's line, named by another row",
      {file: "rebuilds.csv", line: 99, message: "unlike line 2 of runs.csv"},
      ["this run"],
    ],
    ["a list of lines of its own file", {line: 99, message: "runs: line 7, line 2, line 8"}, ["this run"]],
    [
      "the tool, named",
      {file: "other.csv", line: 1, message: "the parts of T-1's shaft"},
      ["the tool at another time"],
    ],
    ["another tool", {file: "other.csv", line: 1, message: "T-11 and T-12"}, []],
    ["the same line of another file", {file: "other.csv", line: 2}, []],
    ["a row that was mended", {line: 2, kind: "repaired"}, []],
  ])("%s", (_what, found, expected) => {
    expect(tiers(finding(found))).toEqual(expected);
  });

  it("none, is a sentence", () => {
    const {headline, tables} = answer(dataQuestions, inputsFrom(log), ALL);
    expect(headline).toBe("Nothing is open in the logs about run R-01-20, the rebuilds around it or T-1 at any time.");
    expect(tables).toEqual([]);
  });
});

describe("the demo's planted stories, in the reviews of their tools", () => {
  let inputs: CellInputs;

  beforeAll(async () => {
    const names = ["alder", "basalt", "cobalt"].flatMap((fleet) => [`runs.${fleet}.csv`, `rebuilds.${fleet}.csv`]);
    const opened = await openLogs(
      [...names, "settings.yaml"].map((name) => ({name, bytes: new Uint8Array(readFileSync(`data/${name}`))})),
      true,
      () => undefined,
    );
    if (!opened.opened) throw new Error(opened.message);
    inputs = cellInputs(opened.logs, {});
  }, 30_000);

  /** Rules told near the run or anywhere about the tool, for the run of a tool that ended last before a day. */
  const rules = (tool: string, before: string, show: "near" | "all") => {
    const {columns, rows} = inputs.runs;
    let last = -1;
    for (let row = 0; row < rows; row++)
      if (
        wordAt(columns.tool, row) === tool &&
        columns.end[row]! < Date.parse(before) &&
        (last < 0 || columns.end[row]! > columns.end[last]!)
      )
        last = row;
    const {tables} = answer(dataQuestions, inputs, {...ALL, run: wordAt(columns.run, last), tool, show});
    return tables[0]?.columns.find(({name}) => name === "message")?.values ?? [];
  };

  it("3: two serials swapped for three months", () => {
    for (const tool of ["K2-107", "K2-135"])
      expect(rules(tool, "2025-03-01", "all")).toContainEqual(
        expect.stringContaining("exchanging the serials of K2-107 and K2-135"),
      );
    expect(rules("K2-107", "2025-03-01", "near")).toContainEqual(expect.stringContaining("exchanging the serials"));
  });

  it("4: a shaft claimed by a second tool, told to both", () => {
    for (const tool of ["K3-177", "K3-142"])
      expect(rules(tool, "2025-06-01", "all")).toContainEqual(expect.stringContaining("CSH-1007 is in K3-142"));
  });

  it("6: a run that nobody logged, told in the review of the run before the rebuild that shows it", () => {
    expect(rules("K1-226", "2024-10-08", "near")).toContainEqual(
      expect.stringContaining("the shop counted 266.5 h on 9 parts of K1-226"),
    );
  });
});
