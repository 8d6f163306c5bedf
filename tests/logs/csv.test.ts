import Papa from "papaparse";
import {describe, expect, it} from "vitest";
import {wordsOf} from "../../shared/columnar.ts";
import {csvCell, findingsCsv, toCsv} from "../../src/logs/index.ts";
import {importTexts, runs} from "./logFiles.ts";

describe("toCsv(columns)", () => {
  it("writes words, numbers, dates and missing values", () => {
    const text = toCsv([
      {name: "tool", values: wordsOf(["K1-101", null, "K1-102"])},
      {name: "hours", values: Float64Array.of(12.5, NaN, Infinity)},
      {name: "end", values: [Date.UTC(2024, 2, 5), Date.UTC(2024, 2, 5, 14, 30), NaN], dates: true},
    ]);
    expect(text).toBe("tool,hours,end\r\nK1-101,12.5,2024-03-05\r\n,,2024-03-05 14:30\r\nK1-102,inf,\r\n");
  });

  it("is read back by another program", () => {
    const cells = ['say "hi"', "a,b", "two\nlines", " padded ", "", "plain"];
    const {data} = Papa.parse<string[]>(
      toCsv([
        {name: "x, y", values: cells},
        {name: "n", values: cells.map((_, i) => i)},
      ]),
    );
    expect(data.slice(0, 7)).toEqual([["x, y", "n"], ...cells.map((cell, i) => [cell, String(i)])]);
  });

  it("writes headers alone for no rows", () => {
    expect(toCsv([{name: "a", values: []}])).toBe("a\r\n");
  });
});

describe("csvCell(text)", () => {
  // the signs of OWASP's note on CSV injection, and their full-width forms
  for (const text of ["=1+2", "+cmd", "-cmd", "@sum(a)", "\t=1", "\r=1", " =1", "＝1"]) {
    it(`makes ${JSON.stringify(text)} harmless`, () => {
      expect(csvCell(text).replace(/^"/, "").startsWith("'")).toBe(true);
    });
  }

  it("leaves numbers with a sign alone", () => {
    for (const text of ["-5.2", "+3", "-1e-5", "plain = text"]) expect(csvCell(text)).toBe(text);
  });
});

describe("findingsCsv(findings)", () => {
  it("carries the text that was found without letting it run", async () => {
    const {findings} = await importTexts({"runs.csv": runs("1,A,,2024-03-05,=HYPERLINK(1),60")});
    const {data} = Papa.parse<Record<string, string>>(findingsCsv(findings), {header: true, skipEmptyLines: true});
    expect(data[0]).toMatchObject({
      kind: "asked",
      rule: "cell-unreadable",
      file: "runs.csv",
      line: "2",
      column: "circulating_h",
      found: "'=HYPERLINK(1)",
    });
  });
});
