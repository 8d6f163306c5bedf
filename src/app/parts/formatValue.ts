/** How values stand on the page. Missing is an en dash; nothing ever reads NaN. */
import type {TableColumn} from "../../cells/contract.ts";

export type ValueFormat = NonNullable<TableColumn["format"]>;

export const MISSING = "–";

const whole = new Intl.NumberFormat("en-GB", {maximumFractionDigits: 0});
const tenths = new Intl.NumberFormat("en-GB", {minimumFractionDigits: 1, maximumFractionDigits: 1});
const three = new Intl.NumberFormat("en-GB", {maximumSignificantDigits: 3});
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

/** True for columns whose values line up at the right. */
export function isNumeric(column: Pick<TableColumn, "format" | "values">): boolean {
  if (column.format !== undefined) return column.format !== "text" && column.format !== "date";
  return column.values.some((value) => typeof value === "number");
}

export const formatCount = (value: number): string => signed(whole.format(value));

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
