/** The batch runner on workbooks and Parquet. */
import {join} from "node:path";
import {strToU8, zipSync} from "fflate";
import {parquetWriteBuffer} from "hyparquet-writer";
import {describe, expect, it} from "vitest";
import type {RowCount} from "../../shared/findings.ts";
import {dayOf, workbook} from "../logs/workbook.ts";
import {folderOf, wearbook} from "./terminal.ts";

const RUNS = {
  name: "2024 runs",
  rows: [
    ["run", "tool", "end", "circulating_h"],
    ["1", "A", {day: dayOf("2024-03-05")}, 40],
  ],
};
const REBUILDS = {
  name: "Teardowns",
  rows: [
    ["tool", "date", "component", "found", "action"],
    ["A", {day: dayOf("2024-04-01")}, "SEAL", "worn", "renewed"],
  ],
};

async function countsOf(folder: string): Promise<string[]> {
  const {out} = await wearbook("check", folder, "--json");
  const {counts} = JSON.parse(out) as {counts: RowCount[]};
  return counts.map(({file, log, read}) => `${file} ${log} ${read}`);
}

describe("check FOLDER", () => {
  it("reads one workbook of any name that holds both logs", async () => {
    const folder = await folderOf({"Alder shop.xlsx": workbook([RUNS, REBUILDS]), "~$Alder shop.xlsx": "lock"});
    expect(await countsOf(folder)).toEqual([
      "Alder shop.xlsx [2024 runs] runs 1",
      "Alder shop.xlsx [Teardowns] rebuilds 1",
    ]);
  });

  it("leaves other workbooks alone where the folder has logs of its own", async () => {
    const folder = await folderOf({
      "runs.xlsx": workbook([RUNS]),
      "rebuilds.xlsx": workbook([REBUILDS]),
      "phones.xlsx": workbook([{name: "x", rows: [["who"], ["KV"]]}]),
    });
    expect(await countsOf(folder)).toEqual(["rebuilds.xlsx rebuilds 1", "runs.xlsx runs 1"]);
  });

  it("asks about running totals, and turns them into hours where mapping.yaml says so", async () => {
    const readings = [60, 130, 190, 245].map((h, i) => `${i},A,2024-03-0${2 * i + 1},2024-03-0${2 * i + 2},${h}`);
    const logs = {
      "runs.csv": ["run,tool,start,end,circulating_h", ...readings].join("\n").replaceAll(",60", ",40"),
      "rebuilds.xlsx": workbook([REBUILDS]),
    };
    const asked = await wearbook("check", await folderOf(logs));
    expect(asked.out).toContain("circulating_h looks like the running total of a meter");
    expect(asked.out).toContain("write totals: {circulating_h: all tools} (or no tool)");
    const mapping = "files:\n  runs*.csv:\n    totals: {circulating_h: all tools}\n    meterStart: from 0\n";
    const {out} = await wearbook("check", await folderOf({...logs, "mapping.yaml": mapping}));
    expect(out).toContain("circulating_h 190 is a running total: 60 h since 130 in line 3");
  });

  it("uses the answers in mapping.yaml and tells of what it cannot use", async () => {
    const folder = await folderOf({
      "runs.csv": "run,tool,end,pump time\n1,A,2024-03-05,40\n",
      "rebuilds.xlsx": workbook([REBUILDS]),
      "mapping.yaml": "files:\n  runs.csv:\n    columns: {pump time: circulating_h}\n    weather: fine\n",
    });
    const {out, code} = await wearbook("check", folder, "--json");
    const {counts, findings} = JSON.parse(out) as {counts: RowCount[]; findings: {rule: string; line: number}[]};
    expect(code).toBe(0);
    expect(counts.map(({accepted, repaired}) => accepted + repaired)).toEqual([1, 1]);
    expect(findings.filter(({rule}) => rule === "mapping")).toMatchObject([{line: 4}]);
  });
});

describe("a folder packed into one file", () => {
  const FILES = {
    "runs.csv": "run,tool,end,circulating_h\n1,A,2024-03-05,40\n",
    "rebuilds.csv": "tool,date,component,found,action\nA,2024-04-01,SEAL,worn,renewed\n",
    "settings.yaml": "levle: 0.8\n",
  };

  it("is read like the folder", async () => {
    const packed = zipSync(Object.fromEntries(Object.entries(FILES).map(([name, text]) => [name, strToU8(text)])));
    const folder = await folderOf({...FILES, "wearbook-2026-11-26.zip": packed});
    const [plain, zipped] = await Promise.all([
      wearbook("check", folder, "--json"),
      wearbook("check", join(folder, "wearbook-2026-11-26.zip"), "--json"),
    ]);
    expect(zipped).toEqual(plain);
    expect(plain.out).toContain("there is no setting levle");
  });

  it("gets a sentence when it is damaged or holds no log", async () => {
    const folder = await folderOf({"bad.zip": "PK", "empty.zip": zipSync({"notes.txt": new Uint8Array(1)})});
    expect(await wearbook("check", join(folder, "bad.zip"))).toMatchObject({code: 1});
    expect((await wearbook("check", join(folder, "empty.zip"))).err).toContain("no run or rebuild log");
  });
});

describe("fit FILE", () => {
  it("fits a life table from Parquet", async () => {
    const time = Float64Array.of(120, 180, 240, 260, 300, 320, 410, 450);
    const lives = parquetWriteBuffer({columnData: [{name: "time", data: time}]});
    const folder = await folderOf({"lives.parquet": new Uint8Array(lives)});
    const {code, out} = await wearbook("fit", `${folder}/lives.parquet`, "--json");
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject([{lives: 8, failures: 8, family: "weibull"}]);
  });
});
