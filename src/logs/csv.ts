/** Columns and findings to CSV text that no spreadsheet executes. */
import type {Words} from "../../shared/columnar.ts";
import type {Finding} from "../../shared/findings.ts";

export interface CsvColumn {
  readonly name: string;
  readonly values: Words | ArrayLike<number | string | boolean | null | undefined>;
  /** numbers are ms since 1970 UTC, written as dates (with the time of day where there is one) */
  readonly dates?: boolean;
}

export interface CsvOptions {
  /** a byte order mark, by which spreadsheets take the file for UTF-8 */
  readonly bom?: boolean;
}

/**
 * CSV after RFC 4180 (commas, CRLF, quotes doubled). Missing values (null, undefined, NaN, code -1) are empty, infinite
 * ones `inf` and `-inf`. A text that a spreadsheet would execute gets an apostrophe in front.
 *
 * @example toCsv([{name: "tool", values: ["K1-101"]}, {name: "hours", values: [12.5]}]) // "tool,hours\r\nK1-101,12.5\r\n"
 */
export function toCsv(columns: readonly CsvColumn[], {bom = false}: CsvOptions = {}): string {
  const rows = Math.max(0, ...columns.map(({values}) => ("codes" in values ? values.codes.length : values.length)));
  const readers = columns.map(readerOf);
  const lines = [columns.map(({name}) => csvCell(name)).join(",")];
  for (let row = 0; row < rows; ++row) lines.push(readers.map((cell) => cell(row)).join(","));
  return `${bom ? "\ufeff" : ""}${lines.join("\r\n")}\r\n`;
}

/**
 * Findings as a fix list: one a line, worst first is the reader's own sorting.
 *
 * @param more columns beside them, a value for each finding
 */
export function findingsCsv(
  findings: readonly Finding[],
  options: CsvOptions = {},
  more: readonly CsvColumn[] = [],
): string {
  const column = (name: Exclude<keyof Finding, "rows">): CsvColumn => ({
    name,
    values: findings.map((finding) => finding[name]),
  });
  const names = ["kind", "rule", "file", "line", "column", "found", "taken", "message", "remedy"] as const;
  return toCsv([...names.map(column), ...more], options);
}

/** One text as a CSV cell, made harmless and quoted where it must be. */
export function csvCell(text: string): string {
  const safe = neutral(text);
  return /[",\r\n]/.test(safe) || safe !== safe.trim() ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/**
 * Signs with which a spreadsheet begins to execute; their wide forms too. Plain numbers with a sign stay as they are.
 * Practice after the OWASP note on CSV injection.
 */
function neutral(text: string): string {
  if (!/^[\s]*[=+\-@＝＋－＠]|^[\t\r\n]/.test(text) || /^[+-]?\d+([.,]\d+)?(e[+-]?\d+)?$/i.test(text)) return text;
  return `'${text}`;
}

function readerOf({values, dates = false}: CsvColumn): (row: number) => string {
  if ("codes" in values) {
    const cells = values.words.map(csvCell);
    return (row) => cells[values.codes[row] ?? -1] ?? "";
  }
  return (row) => {
    const value = values[row];
    if (value === null || value === undefined) return "";
    if (typeof value === "number") return dates ? dateCell(value) : numberCell(value);
    return typeof value === "boolean" ? String(value) : csvCell(value);
  };
}

function numberCell(value: number): string {
  if (Number.isNaN(value)) return "";
  return Number.isFinite(value) ? String(value) : value > 0 ? "inf" : "-inf";
}

function dateCell(ms: number): string {
  if (!Number.isFinite(ms)) return "";
  const iso = new Date(ms).toISOString();
  return ms % 86_400_000 === 0 ? iso.slice(0, 10) : iso.slice(0, 16).replace("T", " ");
}
