/** Log tables from a few hand-written rows, as the importer would make them: sorted by tool, then date. */
import {wordsOf, type ColumnsOf} from "../../shared/columnar.ts";
import {REBUILD_COLUMNS, RUN_COLUMNS, type ColumnSpec} from "../../shared/columns.ts";
import type {RebuildTable, RunTable} from "../../src/logs/logTable.ts";

type Cell = string | number | boolean | undefined;
type RowOf<S extends Readonly<Record<string, ColumnSpec>>> = {
  readonly [K in keyof S]?: S[K]["type"] extends "number"
    ? number | undefined
    : S[K]["type"] extends "flag"
      ? boolean | undefined
      : string | undefined;
};

export type RunRow = RowOf<typeof RUN_COLUMNS>;
export type RebuildRow = RowOf<typeof REBUILD_COLUMNS>;

/** Line 2 is the first row as given, whatever the order it sorts into. */
export function runTable(rows: readonly RunRow[]): RunTable {
  const {columns, lines} = columnsOf(RUN_COLUMNS, rows, "end");
  return {rows: rows.length, columns, file: wordsOf(lines.map(() => "runs.csv")), line: Int32Array.from(lines)};
}

export function rebuildTable(rows: readonly RebuildRow[]): RebuildTable {
  const {columns, lines} = columnsOf(REBUILD_COLUMNS, rows, "date");
  return {rows: rows.length, columns, file: wordsOf(lines.map(() => "rebuilds.csv")), line: Int32Array.from(lines)};
}

function columnsOf<S extends Readonly<Record<string, ColumnSpec>>>(
  specs: S,
  rows: readonly Readonly<Record<string, Cell>>[],
  date: string,
): {columns: ColumnsOf<S>; lines: number[]} {
  const sorted = rows
    .map((row, i) => ({row, line: i + 2}))
    .sort(
      (a, b) =>
        (String(a.row["tool"]) < String(b.row["tool"]) ? -1 : String(a.row["tool"]) > String(b.row["tool"]) ? 1 : 0) ||
        Date.parse(String(a.row[date])) - Date.parse(String(b.row[date])) ||
        a.line - b.line,
    );
  const columns = Object.fromEntries(
    Object.entries(specs).map(([name, {type}]) => [
      name,
      columnOf(
        type,
        sorted.map(({row}) => row[name]),
      ),
    ]),
  ) as ColumnsOf<S>;
  return {columns, lines: sorted.map(({line}) => line)};
}

function columnOf(type: ColumnSpec["type"], cells: readonly Cell[]) {
  switch (type) {
    case "text":
      return wordsOf(cells.map((cell) => (cell === undefined ? null : String(cell))));
    case "flag":
      return Int8Array.from(cells, (cell) => (cell === undefined ? -1 : cell ? 1 : 0));
    case "date":
      return Float64Array.from(cells, (cell) => (cell === undefined ? NaN : Date.parse(String(cell))));
    case "number":
      return Float64Array.from(cells, (cell) => (typeof cell === "number" ? cell : NaN));
  }
}
