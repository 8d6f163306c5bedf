import {describe, expect, it} from "vitest";
import {demoData} from "../../seeds/demoData.ts";
import type {Planted} from "../../seeds/Sheet.ts";
import type {LogFile} from "../../seeds/writeLogs.ts";
import {writeLogs} from "../../seeds/writeLogs.ts";
import type {Words} from "../../shared/columnar.ts";
import {wordAt} from "../../shared/columnar.ts";
import type {Finding} from "../../shared/findings.ts";
import {parseSettings} from "../../shared/settings.ts";
import {runConditions} from "../../src/hydraulics/index.ts";
import {buildLives, LIFE_ENDINGS} from "../../src/lives/index.ts";
import {importLogs, RULES, type Logs} from "../../src/logs/index.ts";

const read = (files: readonly LogFile[]): Promise<Logs> =>
  importLogs(files.map(({name, text}) => ({name, bytes: new TextEncoder().encode(text)})));

const {grown, files, planted} = demoData();
const clean = await read(writeLogs(grown));
const inHabits = await read(writeLogs(grown, {clean: false}));
const demo = await read(files.filter(({name}) => name.endsWith(".csv")));
const {settings} = parseSettings(files.find(({name}) => name === "settings.yaml")!.text, "settings.yaml");

/** Half the last digit that the roughest of the three shops writes, in canonical units. */
const ROUNDING: Readonly<Record<string, number>> = {
  density_kgm3: 6.1,
  yp_Pa: 0.25,
  flow_lpm: 1.9,
  bore_mm: 0.05,
  tool_od_mm: 0.05,
  temperature_max_C: 0.3,
  depth_m: 0.16,
  lcm_kgm3: 1.5,
  measured_mm: 0.006,
  limit_mm: 0.006,
  hours_on_part: 0.51,
};

/** What a shop leaves out although a tidy clerk would write it. */
const LEFT_OUT: ReadonlySet<string> = new Set(["hours_on_part", "mechanism", "lost_time_h"]);

describe("the shops' habits", () => {
  it("clean logs are accepted row by row, without a finding", () => {
    expect(clean.findings).toEqual([]);
    expect(clean.runs.rows).toBe(grown.runs.length);
    expect(clean.rebuilds.rows).toBe(grown.inspections.length);
  });

  it.each(["runs", "rebuilds"] as const)(
    "%s in the shops' own units, words and dates import as the same rows",
    (log) => {
      const expected = clean[log];
      const got = inHabits[log];
      expect(got.rows).toBe(expected.rows);
      const names = Object.keys(expected.columns) as (keyof typeof expected.columns)[];
      for (const name of names) {
        const a: Words | Float64Array | Int8Array = expected.columns[name];
        const b: Words | Float64Array | Int8Array = got.columns[name];
        let different = 0;
        for (let row = 0; row < expected.rows; row++) if (!same(name, a, b, row)) different += 1;
        expect(different, name).toBe(0);
      }
    },
  );
});

describe("the planted defects", () => {
  /** Rules that must speak where the list of numbered defects does not say which. */
  const RULES_OF: Readonly<Record<string, readonly string[]>> = {
    "mud-without-base": ["mud-ambiguous"],
    erotion: ["word-misspelt"],
    "swapped-serials": ["run-overlap", "serials-swapped"],
    "serial-claimed-twice": ["part-in-two-tools"],
    "unlogged-run": ["run-unlogged"],
    "no-action": ["row-incomplete"],
  };

  /** A finding on the row, or one about its column as a whole, by a rule made for this defect. */
  const answers = (finding: Finding, {id, defect, file, line, column}: Planted): boolean => {
    if (finding.file !== file) return false;
    if (finding.line !== line && !(finding.line === null && (finding.column === null || finding.column === column)))
      return false;
    const named = RULES_OF[id];
    if (named) return named.includes(finding.rule);
    const rule = Object.entries(RULES).find(([name]) => name === finding.rule)?.[1];
    return defect !== "story" && (rule?.defects.includes(defect) ?? false);
  };

  it("each thing planted gets a finding by a rule made for it", () => {
    const missed = planted.filter((one) => !demo.findings.some((finding) => answers(finding, one)));
    expect(missed).toEqual([]);
  });

  it("the counts add up, and little is lost: fewer than one row in a hundred is held or set aside", () => {
    for (const {file, read: rows, accepted, repaired, held, setAside} of demo.counts) {
      expect(accepted + repaired + held + setAside, file).toBe(rows);
      expect((held + setAside) / rows, file).toBeLessThan(0.01);
    }
  });
});

describe("the lives of the demo", () => {
  it("runConditions(runs) puts every run into the flow regime and the mud it was grown in", () => {
    const {regime, mud} = runConditions(clean.runs, settings);
    const truth = new Map(grown.runs.map((run) => [run.run, run]));
    for (let row = 0; row < clean.runs.rows; row++) {
      const run = truth.get(wordAt(clean.runs.columns.run, row)!)!;
      expect([wordAt(mud, row), wordAt(regime, row)]).toEqual([run.mud, run.regime]);
    }
  });

  it("buildLives(clean logs) ends as many lives in runs as failures were grown, less those of unknown age", () => {
    const {lives} = buildLives(clean, runConditions(clean.runs, settings), settings);
    const failed = lives.ending.reduce((sum, ending) => sum + (LIFE_ENDINGS[ending] === "failed in run" ? 1 : 0), 0);
    const grownFailures = grown.runs.filter(({failure}) => failure).length;
    const unknownAge = grown.inspections.filter((row) => row.endedRun && row.hoursOnPart === null).length;
    expect(failed).toBe(grownFailures - unknownAge);
  });
});

function same(
  name: string,
  a: Words | Float64Array | Int8Array,
  b: Words | Float64Array | Int8Array,
  row: number,
): boolean {
  if ("codes" in a && "codes" in b)
    return wordAt(a, row) === wordAt(b, row) || (LEFT_OUT.has(name) && wordAt(b, row) === null);
  if ("codes" in a || "codes" in b) return false;
  const [x, y] = [a[row]!, b[row]!];
  // a shop that only ticks what ended a run leaves the others blank
  if (name === "ended_run") return (x === 1) === (y === 1);
  if (LEFT_OUT.has(name) && Number.isNaN(y)) return true;
  if (Number.isNaN(x) || Number.isNaN(y)) return Number.isNaN(x) && Number.isNaN(y);
  return Math.abs(x - y) <= (ROUNDING[name] ?? 1e-9);
}
