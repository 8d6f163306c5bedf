import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {mappingOf, parseMapping, writeMapping, type Mapping} from "../../shared/mapping.ts";

const MAPPING: Mapping = {
  files: {
    "runs*.csv": {
      log: "runs",
      columns: {"Pump time": "circulating_h", "Boss's notes": null},
      units: {flow_lpm: "gpm"},
      dateOrder: "month first",
      decimalMark: ",",
      dayNumbers: 1904,
      totals: {circulating_h: "K1-101, K1-102", pulses: "no tool"},
      meterStart: "from 0",
      fleet: "Alder",
    },
    "book.xlsx [Phones]": {log: "none"},
  },
  synonyms: {mud: {slick: "OBM"}, mode: {munched: "SEAL-ABR -ERO"}, found: {meh: "worn"}},
  serials: {"00123": "123", "K1-1O1": "K1-101", "77": "77", "12": "*-12"},
};

describe("parseMapping(text, file)", () => {
  it("reads back what writeMapping(mapping) writes", () => {
    expect(parseMapping(writeMapping(MAPPING), "mapping.yaml")).toEqual({mapping: MAPPING, findings: []});
  });

  it("takes an empty file for no answers", () => {
    for (const text of ["", "# nothing yet\n", "files:\nsynonyms:\n"])
      expect(parseMapping(text, "mapping.yaml")).toEqual({
        mapping: {files: {}, synonyms: {}, serials: {}},
        findings: [],
      });
  });

  const bad: readonly (readonly [text: string, line: number, message: RegExp])[] = [
    ["files: [", 1, /the mapping is not read/],
    ["- a\n", 1, /the mapping is not read/],
    ["fils: {}\n", 1, /"fils" is no key of the mapping/],
    ["files:\n  runs.csv:\n    log: lives\n", 3, /log cannot be lives/],
    ["files:\n  runs.csv:\n    dateOrder: day\n", 3, /dateOrder cannot be day/],
    ["files:\n  runs.csv:\n    columns: {Pay: salary}\n", 3, /"salary" is no column/],
    ["files:\n  runs.csv:\n    units: {flow_lpm: ppg}\n", 3, /"ppg" is no unit of flow_lpm/],
    ["files:\n  runs.csv:\n    dayNumbers: 1970\n", 3, /dayNumbers cannot be 1970/],
    ["files:\n  runs.csv:\n    meterStart: 5\n", 3, /meterStart cannot be 5/],
    ["files:\n  runs.csv:\n    totals: {depth_m: all tools}\n", 3, /depth_m holds no running totals/],
    ["files:\n  runs.csv:\n    totals:\n      pulses:\n", 4, /totals of pulses cannot be empty/],
    ["serials:\n  K1:\n", 2, /the serial K1 cannot mean nothing/],
    ["files:\n  runs.csv: yes\n", 2, /runs.csv holds no keys/],
    ["files:\n  runs.csv:\n    sheet: 2\n", 3, /"sheet" is no answer about a file/],
    ["synonyms:\n  mud: {slick: OIL}\n", 2, /"OIL" is no mud of the vocabulary/],
    ["synonyms:\n  tool: {a: b}\n", 2, /"tool" is no kind of word/],
    ["synonyms:\n  mode: {x: SEAL-XYZ}\n", 2, /no mode of the vocabulary/],
  ];
  for (const [text, line, message] of bad) {
    it(`tells of ${JSON.stringify(text)} and uses the rest`, () => {
      const {findings} = parseMapping(text, "mapping.yaml");
      expect(findings).toHaveLength(1);
      expect(findings[0]).toMatchObject({file: "mapping.yaml", line, rule: "mapping"});
      expect(findings[0]?.message).toMatch(message);
    });
  }

  it("never throws, whatever the text", () => {
    const good = writeMapping(MAPPING);
    fc.assert(
      fc.property(fc.nat(good.length), fc.nat(20), fc.string({maxLength: 8}), (at, cut, text) => {
        parseMapping(good.slice(0, at) + text + good.slice(at + cut), "mapping.yaml");
      }),
      {seed: 20240320, numRuns: 200},
    );
    expect(parseMapping("files: &a\n  x: *a\n", "m").findings.length).toBeGreaterThan(0);
    expect(Object.keys(parseMapping("files:\n  __proto__:\n    log: runs\n", "m").mapping.files)).toEqual([
      "__proto__",
    ]);
  });
});

describe("mappingOf(files, name)", () => {
  const of = (name: string, ...keys: string[]) =>
    mappingOf(Object.fromEntries(keys.map((key) => [key, {fleet: key}])), name)?.fleet;

  it("prefers the name itself, then a pattern, then the export of another month", () => {
    expect(of("runs-2.csv", "runs-1.csv", "runs*", "runs-2.csv")).toBe("runs-2.csv");
    expect(of("runs-2.csv", "runs-1.csv", "runs*")).toBe("runs*");
    expect(of("runs 2024-06.csv", "runs 2024-05.csv")).toBe("runs 2024-05.csv");
    expect(of("Runs June 2024.csv", "runs May 2024.csv")).toBe("runs May 2024.csv");
    expect(of("runs_2024_12_31.csv", "runs_24_1.csv")).toBe("runs_24_1.csv");
    expect(of("runs-basalt.csv", "runs-alder.csv", "rebuilds*")).toBeUndefined();
    expect(of("a.csv", "a*a.csv")).toBeUndefined();
  });
});
