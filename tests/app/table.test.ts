import {describe, expect, it} from "vitest";
import {breadth, pickable, remarksOf, repeated, rowsWith, sorted, standsOnSide} from "../../src/cells/arrange.ts";
import {bindUnits, columnFormatter, formatValue, isNumeric} from "../../src/cells/formatValue.ts";
import {shownColumns} from "../../src/cells/shownColumns.ts";
import type {CellTable} from "../../src/cells/contract.ts";

const table: CellTable = {
  name: "lives",
  title: "Lives",
  columns: [
    {name: "lot", label: "lot", values: ["L10", "L9", "L9", null, "l1"]},
    {name: "age", label: "age", format: "hours", values: [120, null, 30, 30, 7]},
  ],
};

describe("sorted(table, rows, sort)", () => {
  const rows = [0, 1, 2, 3, 4];

  it("keeps file order without a sort, and for a column that is not there", () => {
    expect(sorted(table, rows, null)).toEqual(rows);
    expect(sorted(table, rows, {column: 9, descending: false})).toEqual(rows);
  });

  it("sorts numbers as numbers, equal ones in file order, missing ones last either way", () => {
    expect(sorted(table, rows, {column: 1, descending: false})).toEqual([4, 2, 3, 0, 1]);
    expect(sorted(table, rows, {column: 1, descending: true})).toEqual([0, 2, 3, 4, 1]);
  });

  it("sorts lot 9 before lot 10, whatever the case", () => {
    expect(sorted(table, rows, {column: 0, descending: false})).toEqual([4, 1, 2, 0, 3]);
  });
});

describe("narrowing", () => {
  it("rowsWith(table, picks) keeps rows with every picked text", () => {
    expect(rowsWith(table, {})).toEqual([0, 1, 2, 3, 4]);
    expect(rowsWith(table, {0: "L9"})).toEqual([1, 2]);
  });

  it("pickable(table) offers columns of a few texts, never numbers", () => {
    expect(pickable(table).map(({label, texts}) => [label, texts])).toEqual([["lot", ["l1", "L9", "L10"]]]);
    expect(pickable(table, 2)).toEqual([]);
  });
});

describe("formatValue(value, format)", () => {
  it.each([
    [1234.4, "count", "1,234"],
    [12.34, "hours", "12.3"],
    [140, "hours", "140"],
    [1234.5, "hours", "1,235"],
    [0.0512, "share", "5.12 %"],
    [0.004567, "rate", "0.00457"],
    [-3, "count", "−3"],
    [Date.UTC(2024, 1, 29), "date", "2024-02-29"],
    ["OBM", "text", "OBM"],
  ] as const)("%j as %s reads %s", (value, format, text) => expect(formatValue(value, format)).toBe(text));

  it.each([null, undefined, "", NaN, Infinity])("%j reads as a dash, never as NaN", (value) =>
    expect(formatValue(value, "number")).toBe("–"),
  );

  it("isNumeric(column) lines up numbers, not dates or codes", () => {
    expect(isNumeric({format: "money", values: []})).toBe(true);
    expect(isNumeric({format: "date", values: [1]})).toBe(false);
    expect(isNumeric({values: [null, 3]})).toBe(true);
    expect(isNumeric({values: ["3"]})).toBe(false);
  });
});

it("bindUnits(text) keeps numbers with their unit, and leaves other words to break", () => {
  expect(bindUnits("144 h (90 % limits 121 to 168 h)")).toBe("144\u00a0h (90\u00a0% limits 121 to 168\u00a0h)");
  expect(bindUnits("3 hours of 12 h/day")).toBe("3 hours of 12 h/day");
});

describe("columnFormatter(column)", () => {
  const shown = (format: "rate" | "share" | "number" | "hours", values: (number | null)[]) =>
    values.map(columnFormatter({name: "x", label: "x", format, values}));

  it("gives every value of a column the decimals of its largest", () => {
    expect(shown("rate", [0.421, 0.36, 0.0072, null])).toEqual(["0.421", "0.360", "0.007", "–"]);
    expect(shown("share", [0.372, 0.0017])).toEqual(["37.2 %", "0.2 %"]);
    expect(shown("hours", [60.1, 240])).toEqual(["60", "240"]);
    expect(shown("number", [2.481, 2.2, 2.7712])).toEqual(["2.481", "2.200", "2.771"]);
  });

  it("keeps whole numbers whole, and small values from reading as zero", () => {
    expect(shown("number", [12, 3])).toEqual(["12", "3"]);
    expect(shown("rate", [1234, 0.0012])).toEqual(["1,230", "0.0012"]);
  });
});

describe("the shape of a table", () => {
  const of = (columns: number, rows: number, text = "x"): CellTable => ({
    name: "t",
    title: "t",
    columns: Array.from({length: columns}, (_, at) => ({
      name: `c${at}`,
      label: `c${at}`,
      values: Array.from({length: rows}, () => (at === 0 ? text : 12345)),
    })),
  });

  it("standsOnSide(table) for a record or two of many columns", () => {
    expect(standsOnSide(of(12, 1))).toBe(true);
    expect(standsOnSide(of(12, 3))).toBe(false);
    expect(standsOnSide(of(4, 1))).toBe(false);
  });

  it("remarksOf(table) are long texts behind many numbers", () => {
    const long = "a long remark ".repeat(6);
    const behind = (table: CellTable): CellTable => ({...table, columns: [...table.columns].reverse()});
    expect(remarksOf(behind(of(6, 3, long)))).toEqual([5]);
    expect(remarksOf(of(6, 3, long)), "a long name in front is no remark").toEqual([]);
    expect(remarksOf(behind(of(6, 3)))).toEqual([]);
    expect(remarksOf(behind(of(3, 3, long)))).toEqual([]);
  });

  it("breadth(table) grows with what the columns hold", () => {
    expect(breadth(of(4, 3))).toBe("narrow");
    expect(breadth(of(14, 3))).toBe("usual");
    expect(breadth(of(24, 3))).toBe("wide");
  });

  it("repeated(table, row, above, most) counts leading cells said already", () => {
    expect(repeated(table, 2, 1, 2)).toBe(1);
    expect(repeated(table, 2, 1, 0)).toBe(0);
    expect(repeated(table, 0, undefined, 2)).toBe(0);
  });
});

describe("shownColumns(table)", () => {
  const rates: CellTable = {
    name: "rates",
    title: "Rates",
    columns: [
      {name: "fleet", label: "fleet", values: ["Alder", "Basalt", "Cobalt"]},
      {name: "rate", label: "rate", unit: "per 1,000 h", format: "rate", values: [0.902, 1.7, 0]},
      {name: "rate_lower", label: "lower limit", unit: "per 1,000 h", format: "rate", values: [0.7351, 1.56, null]},
      {name: "rate_upper", label: "upper limit", unit: "per 1,000 h", format: "rate", values: [1.1, null, 0.0523]},
      {name: "runs", label: "runs", format: "count", values: [1, 2, 3]},
    ],
  };

  it("shows a value's limits in one column with its decimals, open where a limit does not exist", () => {
    const columns = shownColumns(rates);
    expect(columns.map(({label, at}) => [label, at])).toEqual([
      ["fleet", 0],
      ["rate", 1],
      ["limits", 2],
      ["runs", 4],
    ]);
    expect([0, 1, 2].map((row) => columns[1]?.text(row))).toEqual(["0.90", "1.70", "0.00"]);
    expect([0, 1, 2].map((row) => columns[2]?.text(row))).toEqual(["0.74 to 1.10", "from 1.56", "up to 0.05"]);
  });

  it("leaves a lone limit a column of its own", () => {
    const columns = shownColumns({...rates, columns: rates.columns.slice(0, 3)});
    expect(columns.map(({label}) => label)).toEqual(["fleet", "rate", "lower limit"]);
  });
});
