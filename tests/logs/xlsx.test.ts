import {readFileSync} from "node:fs";
import readXlsxFile from "read-excel-file/universal";
import {strToU8, unzipSync, zipSync} from "fflate";
import {describe, expect, it} from "vitest";
import {wordAt} from "../../shared/columnar.ts";
import {importLogs, readLifeTable, type ImportOptions, type Logs} from "../../src/logs/index.ts";
import {numberText, plain, shapeOf} from "../../src/logs/xlsx/numberFormats.ts";
import {SheetReader} from "../../src/logs/xlsx/SheetReader.ts";
import {unpack} from "../../src/logs/xlsx/unpack.ts";
import {workbookOf} from "../../src/logs/xlsx/workbook.ts";
import {addsUp, byRule} from "./logFiles.ts";
import {dayOf, partsOf, STYLES, workbook, type TestSheet} from "./workbook.ts";
import {changed, zip} from "./zipFiles.ts";

const RUN_HEAD = ["run", "tool", "end", "circulating_h"];
const RUNS: TestSheet = {
  name: "Runs",
  rows: [
    RUN_HEAD,
    ["1", "A", {day: dayOf("2024-03-05")}, 40],
    ["2", "A", {day: dayOf("2024-03-15T10:30"), style: STYLES.dateTime}, 41.5],
  ],
};
const REBUILDS: TestSheet = {
  name: "Rebuilds",
  rows: [
    ["rebuild", "tool", "date", "component", "found", "mode", "action"],
    ["R1", "A", {day: dayOf("2024-04-01"), style: STYLES.ownDate}, "SEAL", "worn", null, "renewed"],
    ["R1", "A", {day: dayOf("2024-04-01")}, "LINR", "good", null, "kept"],
  ],
};

const load = (sheets: readonly TestSheet[], options?: ImportOptions, name = "logs.xlsx", base: 1900 | 1904 = 1900) =>
  importLogs([{name, bytes: workbook(sheets, {base})}], options);

const rulesOf = ({findings}: Logs): string[] => [...new Set(findings.map(({rule}) => rule))];
const iso = (ms: number | undefined): string => new Date(ms ?? NaN).toISOString().slice(0, 16);

describe("importLogs([workbook])", () => {
  it("takes every sheet that fits a log and names the sheet of each row", async () => {
    const logs = await load([RUNS, REBUILDS, {name: "Empty", rows: []}]);
    expect(logs.findings).toEqual([]);
    expect([logs.runs.rows, logs.rebuilds.rows]).toEqual([2, 2]);
    expect(wordAt(logs.runs.file, 0)).toBe("logs.xlsx [Runs]");
    expect([...logs.rebuilds.line]).toEqual([2, 3]);
    expect(logs.counts.map(({file, log, read}) => [file, log, read])).toEqual([
      ["logs.xlsx [Runs]", "runs", 2],
      ["logs.xlsx [Rebuilds]", "rebuilds", 2],
    ]);
  });

  it("keeps the plain name of a workbook with one sheet", async () => {
    const {runs} = await load([RUNS, {name: "Sheet2", rows: []}], {}, "runs.xlsx");
    expect(wordAt(runs.file, 0)).toBe("runs.xlsx");
  });

  it("tells of a sheet that is no log and counts its rows", async () => {
    const logs = await load([
      RUNS,
      {
        name: "Phone list",
        rows: [
          ["who", "number"],
          ["KV", 1],
          ["HT", 2],
        ],
      },
    ]);
    expect(byRule(logs.findings, "sheet-other")).toMatchObject([
      {file: "logs.xlsx [Phone list]", line: 1, kind: "set aside"},
    ]);
    expect(logs.counts).toContainEqual({
      file: "logs.xlsx [Phone list]",
      log: "unknown",
      read: 2,
      accepted: 0,
      repaired: 0,
      held: 0,
      setAside: 2,
    });
    const alone = await load([
      {
        name: "Phone list",
        rows: [
          ["who", "number"],
          ["KV", 1],
        ],
      },
    ]);
    expect(rulesOf(alone)).toEqual(["file-log-unknown"]);
  });

  it("reads dates by their format, to the minute, without the words of a locale", async () => {
    const {runs, rebuilds} = await load([RUNS, REBUILDS]);
    expect([...runs.columns.end].map(iso)).toEqual(["2024-03-05T00:00", "2024-03-15T10:30"]);
    expect([...rebuilds.columns.date].map(iso)).toEqual(["2024-04-01T00:00", "2024-04-01T00:00"]);
  });

  // ECMA-376 part 1, 18.17.4.1: in the 1904 base day 0 is 1904-01-01, 1462 days after day 0 of the 1900 base
  it("counts days from the year the workbook says", async () => {
    const in1904: TestSheet = {
      name: "Runs",
      rows: [RUN_HEAD, ["1", "A", {day: dayOf("2024-03-05") - 1462}, 40], ["2", "A", dayOf("2024-03-15") - 1462, 41]],
    };
    const {runs, findings} = await load([in1904], {}, "runs.xlsx", 1904);
    expect([...runs.columns.end].map(iso)).toEqual(["2024-03-05T00:00", "2024-03-15T00:00"]);
    expect(findings).toMatchObject([{rule: "date-serial-based", kind: "repaired", line: 3, taken: "2024-03-15"}]);
  });

  it("reads elapsed hours, percent and numbers stored as text", async () => {
    const logs = await load([
      {
        name: "Runs",
        rows: [
          [...RUN_HEAD, "sand_pct"],
          [
            "1",
            "A",
            {day: dayOf("2024-03-05")},
            {day: 60.5 / 24, style: STYLES.elapsed},
            {day: 0.005, style: STYLES.percent},
          ],
          ["2", "A", {day: dayOf("2024-03-15")}, "41,5", 0.3],
          ["3", "A", {day: dayOf("2024-03-25")}, 1.25, 0.3],
          ["4", "A", {day: dayOf("2024-03-28")}, 31.125, 0.3],
        ],
      },
    ]);
    expect([...logs.runs.columns.circulating_h]).toEqual([60.5, 41.5, 1.25, 31.125]);
    expect(logs.runs.columns.sand_pct[0]).toBeCloseTo(0.5, 12);
    expect(byRule(logs.findings, "xlsx-number-text")).toMatchObject([
      {message: "1 cell of circulating_h holds a number as text: line 3"},
    ]);
  });

  it("reads headers over two rows with merged cells, and merged cells down the rows", async () => {
    const logs = await load([
      {
        name: "Rebuild log",
        rows: [
          ["SHOP 4 REBUILDS", null, null, null, null, null, null],
          ["Work", "Tool", "Teardown", "Part", null, "As", "Work"],
          ["Order", "SN", "Date", "Name", "Position", "Found", "Done"],
          ["R1", "A", {day: dayOf("2024-04-01")}, "Lip seal", "upper", "worn", "Replaced"],
          [null, null, null, "Liner", null, "OK", "Reused"],
          [null, null, null, "Tip", null, "OK", "Reused"],
          ["R2", "B", {day: dayOf("2024-04-02")}, "Tip", null, "OK", "Reused"],
        ],
        merges: ["A1:G1", "D2:E2", "A4:A6", "B4:B6", "C4:C6"],
      },
    ]);
    expect(logs.rebuilds.rows).toBe(4);
    expect([0, 1, 2, 3].map((row) => wordAt(logs.rebuilds.columns.tool, row))).toEqual(["A", "A", "A", "B"]);
    expect([0, 1, 2, 3].map((row) => wordAt(logs.rebuilds.columns.rebuild, row))).toEqual(["R1", "R1", "R1", "R2"]);
    expect(byRule(logs.findings, "cells-merged")).toMatchObject([{taken: "the same in every row"}]);
    expect(byRule(logs.findings, "header-rows")).toMatchObject([{line: 2}]);
    expect(byRule(logs.findings, "title-lines")).toHaveLength(1);
  });

  it("names broken formulas, formulas that were never computed and cells that point nowhere", async () => {
    const logs = await load([
      {
        name: "Runs",
        rows: [
          [...RUN_HEAD, "flow_lpm"],
          ["1", "A", {day: dayOf("2024-03-05")}, 40, {raw: 't="e"><f>Z9*2</f><v>#REF!</v>'}],
          ["2", "A", {day: dayOf("2024-03-15")}, 41, {raw: "><f>SUM(A1:A2)</f>"}],
          ["3", "A", {day: dayOf("2024-03-25")}, 42, {raw: 't="s"><v>99999</v>'}],
          ["4", "A", {day: dayOf("2024-03-29")}, 42, {raw: 't="str"><f>"=cmd()"</f><v>1700</v>'}],
        ],
      },
    ]);
    expect(logs.runs.rows).toBe(4);
    expect([...logs.runs.columns.flow_lpm]).toEqual([NaN, NaN, NaN, 1700]);
    expect(byRule(logs.findings, "cell-formula-error")).toMatchObject([{line: 2, found: "#REF!"}]);
    expect(byRule(logs.findings, "xlsx-uncomputed")).toMatchObject([{message: "1 formula was never computed: line 3"}]);
    expect(byRule(logs.findings, "xlsx-broken")).toMatchObject([{message: "1 cell cannot be understood: line 4"}]);
  });

  it("reads hidden rows, columns and sheets and says so", async () => {
    const logs = await load([
      {...RUNS, hidden: [3], hiddenColumns: '<col min="2" max="2" width="9" hidden="1"/>', state: "hidden"},
    ]);
    expect(logs.runs.rows).toBe(2);
    expect(byRule(logs.findings, "xlsx-hidden").map(({message}) => message)).toEqual([
      'the sheet "Runs" is hidden; it is read all the same',
      "1 row and 1 column are hidden (line 3)",
    ]);
  });

  it("reads a number under the format of a date as the number, and says so", async () => {
    const logs = await load([{name: "Runs", rows: [RUN_HEAD, ["1", "A", {day: dayOf("2024-03-05")}, {day: 40.5}]]}]);
    expect(logs.runs.columns.circulating_h[0]).toBe(40.5);
    expect(rulesOf(logs)).toEqual(["xlsx-misshaped"]);
  });

  it("takes answers for one sheet or for the whole workbook", async () => {
    const sheet: TestSheet = {
      name: "Export",
      rows: [
        ["a", "b", "c", "d"],
        ["1", "A", {day: dayOf("2024-03-05")}, 40],
      ],
    };
    const columns = {a: "run", b: "tool", c: "end", d: "circulating_h"};
    const other: TestSheet = {
      name: "x",
      rows: [
        ["p", "q"],
        [1, 2],
      ],
    };
    const bySheet = await load([sheet, other], {answers: {"logs.xlsx [Export]": {log: "runs", columns}}});
    expect([bySheet.runs.rows, bySheet.counts.length]).toEqual([1, 2]);
    const byBook = await load([sheet], {answers: {"logs.xlsx": {log: "runs", columns}}});
    expect(byBook.runs.rows).toBe(1);
  });

  it("reads a workbook that R's openxlsx has written", async () => {
    const bytes = new Uint8Array(readFileSync(new URL("files/openxlsx.xlsx", import.meta.url)));
    const logs = await importLogs([{name: "openxlsx.xlsx", bytes}]);
    expect(logs.counts.map(({log, read}) => `${log} ${read}`).sort()).toEqual(["rebuilds 2", "runs 3", "unknown 1"]);
    const {columns} = logs.runs;
    expect([...columns.start].map(iso)).toEqual(["2024-01-03T10:00", "2024-02-03T07:45", "2024-01-04T10:30"]);
    expect([...columns.end].map(iso)).toEqual(["2024-01-07T00:00", "2024-02-06T00:00", "2024-01-08T00:00"]);
    expect([...columns.circulating_h]).toEqual([60.5, 41.25, 55]);
    expect([...columns.sand_pct]).toEqual([0.2, NaN, 0.15]);
    expect(rulesOf(logs).filter((rule) => !["word-translated", "header-unit-assumed"].includes(rule))).toEqual([
      "title-lines",
      "sheet-other",
    ]);
  });
});

describe("SheetReader", () => {
  it("finds the cells that read-excel-file finds", async () => {
    const sheets: TestSheet[] = [
      {
        name: "A & B",
        rows: [
          ["x < y", ' "quoted" ', "a&b", "ü €"],
          [1, -2.5, 1e-7, 123456789012],
          [null, true, false, "end"],
        ],
      },
      {name: "inline", rows: [["p", "q"], [], ["r", 0.1], [null, null, "far"]], inline: true},
    ];
    const bytes = workbook(sheets);
    const expected = await readXlsxFile(bytes.buffer, {trim: false});
    const {parts} = unpack(bytes);
    const book = workbookOf(parts ?? new Map())!;
    expect(book.sheets.map(({name}) => name)).toEqual(expected.map(({sheet}) => sheet));
    book.sheets.forEach(({xml}, i) => {
      const reader = new SheetReader(xml ?? "", book);
      const rows: string[][] = [];
      for (let row = reader.next(); row !== null; row = reader.next()) rows[row.line - 1] = row.cells;
      const theirs = expected[i]!.data.map((cells) => cells.map(shown));
      expect(rows.map((cells) => [...cells, ...Array<string>(9).fill("")].slice(0, theirs[0]!.length))).toEqual(theirs);
    });
  });
});

function shown(value: unknown): string {
  if (value === null || value === undefined) return "";
  return typeof value === "boolean" ? String(value).toUpperCase() : String(value);
}

describe("broken workbooks", () => {
  const good = workbook([RUNS, REBUILDS]);

  /** The directory at the end of the archive, with the unpacked size of every part changed. */
  const claiming = (size: number): Uint8Array => {
    const bytes = good.slice();
    const view = new DataView(bytes.buffer);
    for (let at = 0; at + 46 < bytes.length; ++at) {
      if (view.getUint32(at, true) === 0x02014b50) view.setUint32(at + 24, size, true);
    }
    return bytes;
  };

  it("refuses an archive that says it unpacks to more than the cap, before it unpacks anything", async () => {
    const logs = await importLogs([{name: "runs.xlsx", bytes: claiming(0xfffffff0)}]);
    expect(logs.findings).toMatchObject([
      {rule: "file-unread", message: "runs.xlsx cannot be opened as a workbook: it would unpack to more than 400 MB"},
    ]);
  });

  // 1 MB of eight million short rows, within the cap, once took half a minute and 2 GB
  it("refuses a sheet that unpacks to more than any sheet does for its size", () => {
    const small = zip({"xl/worksheets/sheet1.xml": "<row/>".repeat(900)});
    const {parts, refused} = unpack(changed(small, (view, [at = 0]) => view.setUint32(at + 24, 150_000_000, true)));
    expect(parts).toBeNull();
    expect(refused).toBe("xl/worksheets/sheet1.xml in it would unpack to more than 200 times its size");
  });

  it("unpacks no more than the archive says: a bomb that lies about its size stays small", async () => {
    const parts = partsOf([RUNS]);
    const bomb = zipSync({
      ...Object.fromEntries(Object.entries(parts).map(([name, text]) => [name, strToU8(text)])),
      "xl/worksheets/sheet1.xml": strToU8(`<worksheet><sheetData>${" ".repeat(20_000_000)}</sheetData></worksheet>`),
    });
    const view = new DataView(bomb.buffer, bomb.byteOffset, bomb.byteLength);
    for (let at = 0; at + 46 < bomb.length; ++at) {
      if (view.getUint32(at, true) === 0x02014b50) view.setUint32(at + 24, 1000, true);
    }
    const {parts: unpacked} = unpack(bomb);
    for (const text of unpacked?.values() ?? []) expect(text.length).toBeLessThanOrEqual(1000);
    const logs = await importLogs([{name: "runs.xlsx", bytes: bomb}]);
    expect(logs.runs.rows).toBe(0);
    expect(logs.findings.length).toBeGreaterThan(0);
  });

  const broken: readonly (readonly [what: string, bytes: Uint8Array, rule: string])[] = [
    ["cut in half", good.slice(0, good.length >> 1), "file-unread"],
    ["a zip of something else", zipSync({"photo.txt": strToU8("x")}), "file-kind"],
    ["an empty zip", zipSync({}), "file-kind"],
    ["a workbook without cells", workbook([{name: "Sheet1", rows: []}]), "file-empty"],
  ];
  for (const [what, bytes, rule] of broken) {
    it(`tells of ${what} in one finding`, async () => {
      const logs = await importLogs([{name: "runs.xlsx", bytes}]);
      expect(logs.findings.map((finding) => finding.rule)).toEqual([rule]);
      expect(logs.counts).toHaveLength(1);
    });
  }

  it("reads a sheet that breaks off as far as it goes", async () => {
    const parts = partsOf([RUNS]);
    const sheet = parts["xl/worksheets/sheet1.xml"]!;
    parts["xl/worksheets/sheet1.xml"] = sheet.slice(0, sheet.indexOf('r="3"'));
    const bytes = zipSync(Object.fromEntries(Object.entries(parts).map(([name, text]) => [name, strToU8(text)])));
    const logs = await importLogs([{name: "runs.xlsx", bytes}]);
    expect(logs.runs.rows).toBe(1);
    expect(rulesOf(logs)).toContain("xlsx-cut");
    expect(logs.counts.every(addsUp)).toBe(true);
  });

  it("is not filled by a cell at the far end of a sheet", async () => {
    const far: TestSheet = {
      name: "Runs",
      rows: [...RUNS.rows, [{raw: 's="0"><v>1</v>'}]],
    };
    const parts = partsOf([far]);
    parts["xl/worksheets/sheet1.xml"] = parts["xl/worksheets/sheet1.xml"]!.replace('r="A4"', 'r="XFD1048576"');
    const bytes = zipSync(Object.fromEntries(Object.entries(parts).map(([name, text]) => [name, strToU8(text)])));
    const logs = await importLogs([{name: "runs.xlsx", bytes}]);
    expect(logs.runs.rows).toBe(2);
    expect(byRule(logs.findings, "header-unknown")).toMatchObject([
      {message: "1 cell far to the right of any log are not used"},
    ]);
  });

  it("keeps the workbook's other parts shut", () => {
    expect(Object.keys(unzipSync(good))).toContain("[Content_Types].xml");
    expect([...(unpack(good).parts?.keys() ?? [])]).not.toContain("[content_types].xml");
  });
});

describe("readLifeTable(workbook)", () => {
  it("reads the sheet that holds ages", async () => {
    const lives = await readLifeTable({
      name: "lives.xlsx",
      bytes: workbook([
        {name: "About", rows: [["made by", "KV"]]},
        {
          name: "Lives",
          rows: [
            ["time", "status", "lot"],
            [410, "failed", "L1"],
            [700, "suspended", "L2"],
          ],
        },
      ]),
    });
    expect([...lives.lower]).toEqual([410, 700]);
    expect([...lives.upper]).toEqual([410, Infinity]);
  });
});

describe("number formats", () => {
  it("shapeOf(code) tells dates, times, durations and percents from numbers", () => {
    const shapes = [
      "dd/mm/yyyy",
      "[$-409]d-mmm-yy;@",
      "h:mm AM/PM",
      "[h]:mm:ss",
      "0.00%",
      "General",
      '0.0" days"',
      "#,##0.00",
      "mmm",
      "[Red]0.0",
    ];
    expect(shapes.map(shapeOf)).toEqual([
      "date",
      "date",
      "time",
      "elapsed",
      "percent",
      "number",
      "number",
      "number",
      "date",
      "number",
    ]);
  });

  it("numberText(value, shape, base) gives texts that can be read one way only", () => {
    // serial 45356 is 2024-03-05 in the 1900 base, and 36526 is 2000-01-01
    expect(numberText(45356, "date", 1900).text).toBe("2024-03-05");
    expect(numberText(36526.25, "date", 1900).text).toBe("2000-01-01 06:00");
    expect(numberText(45356.4166666667, "date", 1900).text).toBe("2024-03-05 10:00");
    expect(numberText(2.5, "elapsed", 1900).text).toBe("60 h");
    expect(numberText(0.4375, "time", 1900).text).toBe("10:30");
    expect([plain(1.25), plain(1.234), plain(0.1 + 0.2), plain(1234.5)]).toEqual(["1.25", "1.2340", "0.3", "1234.5"]);
  });
});
