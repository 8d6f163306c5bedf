import {describe, expect, it} from "vitest";
import {DEFAULT_SETTINGS} from "../../shared/settings.ts";
import {fixList, type FixList} from "../../src/cells/fixList.ts";
import {findings} from "../../src/cells/findings.ts";
import {cellInputs} from "../../src/workspace/cellInputs.ts";
import {openLogs} from "../../src/workspace/openLogs.ts";
import {bytesOf, rebuilds, runs} from "../logs/logFiles.ts";

const FILES = {
  "runs.csv": runs(
    "1,A,2024-02-01,2024-02-05,40,60",
    "2,A,2024-02-10,2024-02-08,40,60",
    "3,A,2024-02-20,2024-02-24,40,60",
  ),
  "rebuilds.csv": rebuilds(
    "R1,A,2024-01-20,LINR,not inspected,,renewed,,",
    "R2,A,2024-03-05,LINR,worn,,renewed,,140",
    "R3,A,2024-03-05,TIPP,good,,,,",
  ),
};

async function inputs(files: Readonly<Record<string, string>> = FILES) {
  const given = Object.entries(files).map(([name, text]) => ({name, bytes: bytesOf(text)}));
  const outcome = await openLogs(given, false, () => undefined);
  if (!outcome.opened) throw new Error(outcome.message);
  return cellInputs(outcome.logs, {});
}

const FILES_EACH = {by: "file"} as const;
const EFFECTS = {progress: () => undefined, signal: new AbortController().signal};

describe("fix-list", () => {
  it("names what to do, in which rows, how many rows are left out and how many lives are in doubt", async () => {
    const given = await inputs();
    expect(given.settings.exposure).toBe(DEFAULT_SETTINGS.exposure);
    const found = (await fixList.compute(given, FILES_EACH, EFFECTS)) as FixList;
    const list = found.corrections;
    const of = (rule: string): unknown => list.find((one) => one.rule === rule);
    expect(of("run-end-before-start")).toMatchObject({
      file: "runs.csv",
      lines: [3],
      rowsLost: 1,
      livesMissing: 0,
      // the liner in the tool at the time
      livesInDoubt: 1,
    });
    // the liner fitted at R1 and renewed at R2, and the one fitted then
    expect(of("run-unlogged")).toMatchObject({file: "rebuilds.csv", lines: [3], rowsLost: 0, livesInDoubt: 2});
    expect(of("row-incomplete")).toMatchObject({lines: [4], rowsLost: 1, livesMissing: 1, livesInDoubt: 0});
    // the dearest first
    expect(list.map(({rule}) => rule)).toEqual([
      "row-incomplete",
      "run-unlogged",
      "hours-disagree",
      "run-end-before-start",
    ]);
    expect(found.total).toEqual({rowsLost: 2, livesMissing: 1, livesInDoubt: 2});
    const {headline, tables} = fixList.present(found, FILES_EACH, given);
    expect(headline).toMatch(/to correct in 2 files; until then 2 rows are left out and up to 1 life is missing/);
    expect(tables.map(({title}) => title).sort()).toEqual(["rebuilds.csv", "runs.csv"]);
  });

  it("makes a list for each of those who keep the logs, and for each tool", async () => {
    const files = {
      "runs.csv": "run,tool,fleet,end,circulating_h\n1,A,North,2024-02-05,40\n2,B,South,2024-02-08,x\n",
      "rebuilds.csv":
        "tool,date,shop,component,found,action\nA,2024-03-05,Kiel,SEAL,good,zapped\nB,2024-03-05,,SEAL,good,zapped\n",
    };
    const given = await inputs(files);
    const lists = async (by: "keeper" | "tool", where = {}): Promise<string[]> => {
      const {corrections} = (await fixList.compute({...given, where}, {by}, EFFECTS)) as FixList;
      return corrections.map(({list, rule}) => `${list}: ${rule}`);
    };
    expect((await lists("keeper")).filter((one) => /word|unreadable/.test(one)).sort()).toEqual([
      "Fleet South: cell-unreadable",
      "Fleet South: word-unknown",
      "Shop Kiel: word-unknown",
    ]);
    expect(await lists("tool", {fleet: ["North"]})).toContain("Tool A: word-unknown");
    expect((await lists("tool", {fleet: ["North"]})).filter((one) => one.startsWith("Tool B"))).toEqual([]);
  });

  it("says so when there is nothing to correct", async () => {
    const given = await inputs();
    const {headline} = fixList.present(
      (await fixList.compute({...given, findings: []}, FILES_EACH, EFFECTS)) as FixList,
      FILES_EACH,
      given,
    );
    expect(headline).toBe("Nothing in the logs asks to be corrected.");
  });
});

describe("findings", () => {
  it("shows rows that speak against each other below one another", async () => {
    const given = await inputs();
    const {tables} = findings.present(findings.compute(given, {show: "all"}, EFFECTS), {show: "all"}, given);
    const beside = tables.find(({name}) => name === "beside");
    expect(beside?.columns.find(({name}) => name === "row")?.values).toContain(
      "rebuild R2 · tool A · date 2024-03-05 · component LINR · found worn · action renewed · hours on part 140",
    );
  });
});
