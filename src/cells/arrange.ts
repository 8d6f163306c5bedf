/** Which rows of a table are shown and in which order: filters first, then the sort, then the page. */
import type {CellTable, TableColumn} from "./contract.ts";
import {formatValue} from "./formatValue.ts";

export interface Sort {
  readonly column: number;
  readonly descending: boolean;
}

/** Column number → the one text its rows must have. */
export type Picks = Readonly<Record<number, string>>;

/** Rows in file order that have every picked text. */
export function rowsWith(table: CellTable, picks: Picks): number[] {
  const wanted = Object.entries(picks).map(([column, text]) => [table.columns[Number(column)], text] as const);
  const rows: number[] = [];
  for (let row = 0; row < rowCount(table); row++) {
    if (wanted.every(([column, text]) => column?.values[row] === text)) rows.push(row);
  }
  return rows;
}

/** Stable; missing values stand last either way; texts sort as people read them (lot 9 before lot 10). */
export function sorted(table: CellTable, rows: readonly number[], sort: Sort | null): readonly number[] {
  const values = sort === null ? undefined : table.columns[sort.column]?.values;
  if (sort === null || values === undefined) return rows;
  const way = sort.descending ? -1 : 1;
  return [...rows].sort((a, b) => {
    const [one, other] = [values[a] ?? null, values[b] ?? null];
    if (isMissing(one) || isMissing(other)) return Number(isMissing(one)) - Number(isMissing(other));
    return way * compare(one, other);
  });
}

export const rowCount = (table: CellTable): number => Math.max(0, ...table.columns.map(({values}) => values.length));

/** Columns worth a choice above a long table: texts, few of them, more than one. */
export function pickable(table: CellTable, most = 12): readonly {column: number; label: string; texts: string[]}[] {
  return table.columns.flatMap((column, at) => {
    const texts = distinctTexts(column, most);
    return texts.length > 1 ? [{column: at, label: column.label, texts}] : [];
  });
}

function distinctTexts({values, format}: TableColumn, most: number): string[] {
  if (format !== undefined && format !== "text") return [];
  const texts = new Set<string>();
  for (const value of values) {
    if (typeof value === "number") return [];
    if (value !== null && value !== "") texts.add(value);
    if (texts.size > most) return [];
  }
  return [...texts].sort((a, b) => compare(a, b));
}

/** Letters that the longest value of a column takes, by a look at its first rows; the label counts by its longest word. */
export function lettersOf(column: TableColumn): number {
  if (column.leads !== undefined) return 2 * SHORT_TEXT;
  const label = Math.max(...column.label.split(" ").map((word) => word.length), column.unit?.length ?? 0);
  return column.values
    .slice(0, 400)
    .reduce((most: number, value) => Math.max(most, formatValue(value, column.format).length), label);
}

/** Texts up to this many letters stand on one line. */
export const SHORT_TEXT = 24;

/** A record or two of many columns reads better on its side, a line a column. */
export const standsOnSide = (table: CellTable): boolean =>
  rowCount(table) <= 2 && table.columns.length > 8 && table.columns.every(({leads}) => leads === undefined);

/**
 * Columns that are remarks: long texts behind the numbers of a table that is full of them. They go under their row, or
 * the rows would be as tall as the remarks are long.
 */
export function remarksOf(table: CellTable): number[] {
  const numbers = table.columns.flatMap(({values}, at) =>
    values.some((value) => typeof value === "number") ? [at] : [],
  );
  if (numbers.length < 4) return [];
  return table.columns.flatMap((column, at) =>
    column.savedOnly !== true && at > numbers[0]! && lettersOf(column) > 2 * SHORT_TEXT ? [at] : [],
  );
}

/** How much of the page a table takes: the reading column, all of the sheet, or all the screen has. */
export function breadth(table: CellTable): "narrow" | "usual" | "wide" {
  if (standsOnSide(table)) return "narrow";
  const remarks = remarksOf(table);
  const letters = table.columns.reduce(
    (sum, column, at) =>
      sum + (column.savedOnly === true || remarks.includes(at) ? 0 : Math.min(48, lettersOf(column)) + 3),
    0,
  );
  return letters <= 88 ? "narrow" : letters <= 150 ? "usual" : "wide";
}

/** How many leading columns of a row say the same as the row above, among the first `most`. */
export function repeated(table: CellTable, row: number, above: number | undefined, most: number): number {
  let same = 0;
  while (
    same < most &&
    above !== undefined &&
    table.columns[same]?.values[row] === table.columns[same]?.values[above]
  ) {
    same++;
  }
  return same;
}

const isMissing = (value: string | number | null): boolean =>
  value === null || value === "" || (typeof value === "number" && Number.isNaN(value));

function compare(a: string | number | null, b: string | number | null): number {
  if (typeof a === "number" && typeof b === "number") return a - b;
  return collator.compare(String(a), String(b));
}

const collator = new Intl.Collator("en", {numeric: true, sensitivity: "base"});
