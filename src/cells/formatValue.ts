/** How values stand on the page. Missing is an en dash; nothing ever reads NaN. */
import {max, min} from "d3";
import type {TableColumn} from "./contract.ts";

export type ValueFormat = NonNullable<TableColumn["format"]>;

export const MISSING = "–";

const whole = new Intl.NumberFormat("en-GB", {maximumFractionDigits: 0});
const tenths = new Intl.NumberFormat("en-GB", {minimumFractionDigits: 1, maximumFractionDigits: 1});
const three = new Intl.NumberFormat("en-GB", {maximumSignificantDigits: 3});
/** By their decimals, 0 to 4. */
const even = [0, 1, 2, 3, 4].map(
  (decimals) => new Intl.NumberFormat("en-GB", {minimumFractionDigits: decimals, maximumFractionDigits: decimals}),
);
const four = new Intl.NumberFormat("en-GB", {maximumSignificantDigits: 4});

/** A value in the words of its column. Shares are fractions 0 to 1; dates are ISO text or ms since 1970 UTC. */
export function formatValue(value: string | number | null | undefined, format: ValueFormat = "text"): string {
  if (value === null || value === undefined || value === "") return MISSING;
  if (format === "date") return formatDay(value);
  if (typeof value === "string") return value;
  if (!Number.isFinite(value)) return MISSING;
  switch (format) {
    case "count":
    case "money":
      return signed(whole.format(value));
    case "hours":
      return signed(Math.abs(value) >= 100 || Number.isInteger(value) ? whole.format(value) : tenths.format(value));
    case "share":
      return signed(`${three.format(value * 100)} %`);
    case "rate":
      return signed(three.format(value));
    default:
      return signed(four.format(value));
  }
}

/**
 * Formats a column so that its decimals line up: three figures for the largest value, and as many decimals for the
 * others. A column whose smallest value would then read as zero keeps its own figures value by value.
 */
export function columnFormatter({values, format}: TableColumn): (value: string | number | null | undefined) => string {
  const each = (value: string | number | null | undefined): string => formatValue(value, format);
  if (format !== undefined && !["number", "rate", "share", "hours"].includes(format)) return each;
  const scale = format === "share" ? 100 : 1;
  const sizes = values.flatMap((value) =>
    typeof value === "number" && Number.isFinite(value) && value !== 0 ? [Math.abs(value) * scale] : [],
  );
  if (sizes.length < 2) return each;
  const [least, most] = [min(sizes)!, max(sizes)!];
  const figures = (format === undefined || format === "number") && most < 100 ? 4 : 3;
  const whole = sizes.every((size) => Number.isInteger(Number(size.toPrecision(12))));
  const decimals = whole ? 0 : Math.min(4, Math.max(0, figures - 1 - Math.floor(Math.log10(most))));
  if (least < 0.5 * 10 ** -decimals) return format === undefined || format === "number" ? threeFigures : each;
  return (value) => {
    if (typeof value !== "number" || !Number.isFinite(value)) return each(value);
    return signed(even[decimals]!.format(value * scale)) + (format === "share" ? " %" : "");
  };
}

/** A value of a column in which no number of decimals fits all: three figures, and whole from a hundred on. */
function threeFigures(value: string | number | null | undefined): string {
  if (typeof value !== "number" || !Number.isFinite(value)) return formatValue(value, "number");
  return signed(Math.abs(value) >= 100 ? whole.format(value) : three.format(value));
}

/** True for columns whose values line up at the right. */
export function isNumeric(column: Pick<TableColumn, "format" | "values">): boolean {
  if (column.format !== undefined) return column.format !== "text" && column.format !== "date";
  return column.values.some((value) => typeof value === "number");
}

export const formatCount = (value: number): string => signed(whole.format(value));

/** Keeps a number and its unit on one line: a break between them is read twice. */
export const bindUnits = (text: string): string =>
  text.replace(/(\d) (?=(?:%|h|m\/s|mm|°C|USD)(?![\w/]))/g, "$1\u00a0");

/** A long wait in words: seconds below a minute, then minutes. */
export function formatWait(ms: number): string {
  if (ms < 60_000) return `${Math.max(1, Math.round(ms / 1000))} s`;
  return `${Math.round(ms / 60_000)} min`;
}

function formatDay(value: string | number): string {
  const time = typeof value === "number" ? value : Date.parse(value);
  return Number.isFinite(time) ? new Date(time).toISOString().slice(0, 10) : String(value);
}

// a minus sign, not a hyphen
const signed = (text: string): string => text.replace(/^-/, "−");
