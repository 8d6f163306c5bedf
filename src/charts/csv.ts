/** Columns as CSV text (RFC 4180), safe to open in a spreadsheet. */
import type {ChartColumn} from "./drawing.ts";

/** One header line (`age (h)`), then one line a row; a missing value is an empty cell. */
export function csvOf(columns: readonly ChartColumn[]): string {
  const rows = Math.max(0, ...columns.map((column) => column.values.length));
  const lines = [columns.map(({name, unit}) => cell(unit === null ? name : `${name} (${unit})`)).join(",")];
  for (let row = 0; row < rows; row++) lines.push(columns.map((column) => cell(column.values[row] ?? null)).join(","));
  return lines.join("\r\n") + "\r\n";
}

function cell(value: string | number | null): string {
  if (value === null) return "";
  if (typeof value === "number") return Number.isFinite(value) ? String(value) : "";
  // a spreadsheet would run text that begins like a formula
  const safe = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
