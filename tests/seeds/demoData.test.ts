import {readFileSync} from "node:fs";
import Papa from "papaparse";
import {describe, expect, it} from "vitest";
import {demoData} from "../../seeds/demoData.ts";
import {writeLogs} from "../../seeds/writeLogs.ts";
import {REBUILD_COLUMNS, RUN_COLUMNS} from "../../shared/columns.ts";
import {parseSettings} from "../../shared/settings.ts";

const {grown, files, planted} = demoData();
const stored = (path: string): string => readFileSync(new URL(`../../${path}`, import.meta.url), "utf8");

/** The records of a file with their lines, by a second reader (papaparse); no cell here holds a line end. */
function records(name: string): {lines: string[][]; header: string[]} {
  const text = files.find((file) => file.name === name)!.text.replace(/^\ufeff/, "");
  const {data} = Papa.parse<string[]>(text.trimEnd(), {delimiter: name.includes("cobalt") ? ";" : ","});
  return {lines: data, header: data[0]!};
}

describe("demoData", () => {
  it("demoData() gives the bytes that stand in data/ and seeds/planted.json (else run `npm run demo-data`)", () => {
    for (const {name, text} of files) expect(stored(`data/${name}`) === text, name).toBe(true);
    expect(JSON.parse(stored("seeds/planted.json"))).toEqual(planted);
  });

  it("everything planted stands where the list says", () => {
    expect(planted.length).toBeGreaterThan(150);
    const read = new Map(files.map(({name}) => [name, records(name)]));
    for (const {id, file, line, column, text} of planted) {
      const {lines, header} = read.get(file)!;
      const row = lines[line - 1];
      expect(row, `${id} ${file} ${line}`).toBeDefined();
      if (column !== null) expect(row![header.indexOf(column)], `${id} ${file} ${line}`).toBe(text);
    }
  });

  it("the scenario's stories are all there: six NADF, three erotion, a swap, a double claim, a lost run", () => {
    const count = (id: string): number => planted.filter((one) => one.id === id).length;
    expect(count("mud-without-base")).toBe(6);
    expect(count("erotion")).toBe(3);
    expect(count("swapped-serials")).toBeGreaterThanOrEqual(1);
    expect(count("serial-claimed-twice")).toBe(1);
    expect(count("unlogged-run")).toBe(1);
  });

  it("defects touch fewer than one row in fifty", () => {
    const rows = grown.runs.length + grown.inspections.length;
    expect(planted.length / rows).toBeLessThan(0.02);
  });

  it("the demo's settings are read without a finding", () => {
    const text = files.find(({name}) => name === "settings.yaml")!.text;
    const {settings, findings} = parseSettings(text, "settings.yaml");
    expect(findings).toEqual([]);
    expect(settings.components["TIPP"]?.planned_cost).toBe(750);
    expect(settings.fleets["Cobalt"]?.components["SEAL"]).toEqual({failure_cost: 210_000, current_interval_h: 150});
    expect(settings.fleets["Basalt"]?.components["LINR"]?.current_interval_h).toBeNull();
  });
});

describe("writeLogs", () => {
  it("writeLogs(grown) writes canonical columns, a row for every run and inspection", () => {
    const logs = writeLogs(grown);
    expect(logs.map(({name}) => name)).toEqual([
      "runs.alder.csv",
      "rebuilds.alder.csv",
      "runs.basalt.csv",
      "rebuilds.basalt.csv",
      "runs.cobalt.csv",
      "rebuilds.cobalt.csv",
    ]);
    let rows = 0;
    for (const {name, text} of logs) {
      const [header, ...lines] = text.trimEnd().split("\n");
      const known = Object.keys(name.startsWith("runs") ? RUN_COLUMNS : REBUILD_COLUMNS);
      expect(known).toEqual(expect.arrayContaining(header!.split(",")));
      rows += lines.length;
    }
    expect(rows).toBe(grown.runs.length + grown.inspections.length);
  });
});
