import {describe, expect, it} from "vitest";
import {pickable, rowsWith, sorted} from "../../src/app/parts/arrange.ts";
import {formatValue, isNumeric} from "../../src/app/parts/formatValue.ts";
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
