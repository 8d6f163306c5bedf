/** Columns as text: CSV (RFC 4180) for a file, tabs for the clipboard; both safe to open in a spreadsheet. */
import type {ChartColumn} from "./drawing.ts";

/** One header line (`age (h)`), then one line a row; a missing value is an empty cell. */
export const csvOf = (columns: readonly ChartColumn[]): string =>
  lines(columns, (text) => (/[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text), ",");

/** The same with tabs between; a tab or a line end inside a cell becomes a space. */
export const tabbedOf = (columns: readonly ChartColumn[]): string =>
  lines(columns, (text) => text.replace(/[\t\r\n]+/g, " "), "\t");

function lines(columns: readonly ChartColumn[], write: (text: string) => string, between: string): string {
  const rows = Math.max(0, ...columns.map((column) => column.values.length));
  const cell = (value: string | number | null): string => write(plain(value));
  const text = [columns.map(({name, unit}) => cell(unit === null ? name : `${name} (${unit})`)).join(between)];
  for (let row = 0; row < rows; row++)
    text.push(columns.map((column) => cell(column.values[row] ?? null)).join(between));
  return text.join("\r\n") + "\r\n";
}

function plain(value: string | number | null): string {
  if (value === null) return "";
  if (typeof value === "number") return Number.isFinite(value) ? String(value) : "";
  // a spreadsheet would run text that begins like a formula, behind spaces and in wide signs too
  return /^\s*[=+\-@＝＋－＠]|^[\t\r\n]/.test(value) ? `'${value}` : value;
}
