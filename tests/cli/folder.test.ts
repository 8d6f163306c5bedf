/** The commands that take a folder of logs. */
import {readFile} from "node:fs/promises";
import {join} from "node:path";
import {fileURLToPath} from "node:url";
import {describe, expect, it} from "vitest";
import type {Finding, RowCount} from "../../shared/findings.ts";
import type {IntervalJson} from "../../src/decisions/index.ts";
import {folderOf, wearbook} from "./terminal.ts";

const demo = fileURLToPath(new URL("../../data", import.meta.url));

const RUNS = [
  "run,tool,fleet,start,end,circulating_h,mud,flow_lpm,bore_mm,tool_od_mm,outcome,failed_at_h",
  "R1,T1,North,2024-01-02,2024-01-06,60,OBM,1700,82.55,47.63,completed,",
  "R2,T1,North,2024-01-10,2024-01-14,70,OBM,1700,82.55,47.63,failed downhole,50",
  "R3,T1,North,2024-02-01,2024-02-05,40,OBM,1700,82.55,47.63,completed,",
].join("\n");
const REBUILDS = [
  "tool,date,component,found,mode,ended_run,action",
  "T1,2024-01-01,SEAL,good,,no,renewed",
  "T1,2024-01-20,SEAL,failed,SEAL-ABR,yes,renewed",
].join("\n");

describe("check FOLDER", () => {
  it("prints counts that add up and every finding of the demo fleet as JSON, exit 0", async () => {
    const {code, out} = await wearbook("check", demo, "--json");
    expect(code).toBe(0);
    const {counts, findings, costs} = JSON.parse(out) as {
      counts: RowCount[];
      findings: (Finding & {fleet: string | null})[];
      costs: {rule: string; rowsLost: number; livesInDoubt: number}[];
    };
    expect(counts).toHaveLength(6);
    for (const {read, accepted, repaired, held, setAside} of counts)
      expect(accepted + repaired + held + setAside).toBe(read);
    expect(findings.length).toBeGreaterThan(50);
    expect(findings.some(({fleet}) => fleet === "Alder")).toBe(true);
    expect(costs.every(({rowsLost, livesInDoubt}) => rowsLost >= 0 && livesInDoubt >= 0)).toBe(true);
    expect(costs.some(({livesInDoubt}) => livesInDoubt > 0)).toBe(true);
    expect(findings.some(({found}) => found === "erotion")).toBe(true);
  });

  it("saves the findings as CSV, one a line under a header", async () => {
    const folder = await folderOf({"runs.csv": RUNS.replace("70,OBM", "7o,OBM"), "rebuilds.csv": REBUILDS});
    const csv = join(folder, "findings.csv");
    const {code, out} = await wearbook("check", folder, "--csv", csv);
    expect(code).toBe(0);
    expect(out).toContain("runs.csv line 3");
    const lines = (await readFile(csv, "utf8")).trim().split("\r\n");
    expect(lines[0]).toBe(
      "kind,rule,file,line,column,found,taken,message,remedy,tool,fleet,shop,rows_left_out,lives_missing,lives_in_doubt",
    );
    expect(lines.some((line) => line.includes("runs.csv,3,"))).toBe(true);
  });

  it.each([
    ["an empty run log", {"runs.csv": "", "rebuilds.csv": REBUILDS}, /runs\.csv/],
    ["a rebuild log of another kind", {"runs.csv": RUNS, "rebuilds.csv": "%PDF-1.7 \u0000\u0001"}, /rebuilds\.csv/],
    ["a run log of headers only", {"runs.csv": RUNS.split("\n")[0]!, "rebuilds.csv": REBUILDS}, /runs\.csv/],
    [
      "a run log without a required column",
      {"runs.csv": RUNS.replaceAll("circulating_h", "pay"), "rebuilds.csv": REBUILDS},
      /runs\.csv/,
    ],
  ])("exits 1 on %s, after printing what it read", async (_, files, named) => {
    const {code, err, out} = await wearbook("check", await folderOf(files));
    expect(code).toBe(1);
    expect(err).toMatch(named);
    expect(out).toContain("read");
  });

  it("exits 1 with one sentence on a folder that is not there, is a file, or holds no log", async () => {
    const folder = await folderOf({"notes.txt": "hello"});
    for (const [path, why] of [
      [join(folder, "gone"), /no such file or folder/],
      [join(folder, "notes.txt"), /is a file/],
      [folder, /expected runs\.csv/],
    ] as const) {
      const {code, err} = await wearbook("check", path);
      expect(code).toBe(1);
      expect(err).toMatch(why);
    }
  });
});

describe("lives FOLDER", () => {
  it("saves a life table that fit reads back", async () => {
    const folder = await folderOf({"runs.csv": RUNS, "rebuilds.csv": REBUILDS});
    const csv = join(folder, "out.csv");
    expect((await wearbook("lives", folder, "--csv", csv)).code).toBe(0);
    const [header, ...rows] = (await readFile(csv, "utf8")).trim().split("\r\n");
    expect(header).toContain("entry,lower,upper,status");
    // the first seal failed 50 h into its second run, at 60 + 50 h; the second is still running after 40 h
    expect(rows.map((row) => row.split(",").slice(6, 10).join(","))).toEqual(["0,110,110,failed", "0,40,,suspended"]);
    const {code, out} = await wearbook("fit", csv, "--shape", "2", "--json");
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject([{lives: 2, failures: 1}]);
  });
});

describe("intervals FOLDER", () => {
  it("--json prints one object per component, mud and regime with the agreed keys, no NaN", async () => {
    const {code, out} = await wearbook("intervals", demo, "--json");
    expect(code).toBe(0);
    expect(out).not.toContain("NaN");
    const rows = JSON.parse(out) as IntervalJson[];
    expect(Object.keys(rows[0]!)).toEqual(
      (
        "component mud regime advice interval_h limits_h boundBy current_h costPer1000h failuresPer1000h " +
        "chanceBetterThanCurrent lives failures shape scale cautions"
      ).split(" "),
    );
    const keys = rows.map(({component, mud, regime}) => `${component} ${mud} ${regime}`);
    expect(new Set(keys).size).toBe(rows.length);
    expect(keys).toEqual(expect.arrayContaining(["SEAL OBM high", "TIPP KCL medium", "LINR BRN low"]));
    for (const {advice, interval_h} of rows) {
      if (advice === "renew at") expect(interval_h! % 10).toBe(0);
      else expect(interval_h).toBeNull();
    }
  });

  it("--csv writes the same rows, and a tiny log gets words in place of an interval", async () => {
    const folder = await folderOf({"runs.csv": RUNS, "rebuilds.csv": REBUILDS});
    const csv = join(folder, "out.csv");
    const {code, out} = await wearbook("intervals", folder, "--csv", csv, "--json");
    expect(code).toBe(0);
    const rows = JSON.parse(out) as IntervalJson[];
    expect(rows).toMatchObject([
      {component: "SEAL", mud: "OBM", advice: "not enough data", interval_h: null, lives: 2, failures: 1},
    ]);
    expect(rows[0]!.cautions.length).toBeGreaterThan(0);
    expect((await readFile(csv, "utf8")).trim().split("\r\n")).toHaveLength(2);
  });
});

describe("wearbook", () => {
  it("--help lists every command, exit 0", async () => {
    const {code, out} = await wearbook("--help");
    expect(code).toBe(0);
    for (const command of ["check", "lives", "fit", "intervals", "report"]) expect(out).toContain(command);
  });

  it("an unknown command, or none, exits 2", async () => {
    expect((await wearbook("guess")).code).toBe(2);
    expect((await wearbook()).code).toBe(2);
    expect((await wearbook("report", demo)).err).toContain("--out");
  });
});
