/** One cell to a number: decimal mark by evidence of its column, units and signs that people write into cells. */
import {isFormulaError, isMissing} from "./missing.ts";

export type DecimalMark = "." | ",";

export type NumberRead =
  | {
      readonly kind: "number";
      readonly value: number;
      readonly unit: string | null;
      readonly sign: "<" | ">" | "~" | null;
    }
  | {readonly kind: "missing" | "formula error" | "ambiguous" | "unreadable"};

/** What a numeral says about the decimal mark of its column. */
export type DecimalEvidence = DecimalMark | "either" | "none";

const NUMERAL = /^([<>~≈]|ca\.?|approx\.?|about)?\s*([+-]?[\d.,'’\s]*\d[\d.,]*(?:e[+-]?\d+)?)\s*(\D.*)?$/i;

/** `4-3/4"`: inches as the trade writes them. */
const FRACTION = /^(\d+)[-\s]+(\d+)\s*\/\s*(2|4|8|16|32|64)\s*(\D.*)?$/;

/** Which decimal mark a cell shows: `12,5` shows a comma, `1,250.5` a point, `1,250` may be either. */
export function decimalEvidence(text: string): DecimalEvidence {
  const numeral = NUMERAL.exec(text)?.[2]?.replace(/e[+-]?\d+$/i, "");
  if (numeral === undefined) return "none";
  const point = numeral.lastIndexOf(".");
  const comma = numeral.lastIndexOf(",");
  if (point < 0 && comma < 0) return "none";
  if (point >= 0 && comma >= 0) return point > comma ? "." : ",";
  const mark = point >= 0 ? "." : ",";
  const parts = numeral.replace(/^[+-]/, "").split(mark);
  const grouped =
    parts.length > 1 && /^[1-9]\d{0,2}$/.test(parts[0] ?? "") && parts.slice(1).every((part) => /^\d{3}$/.test(part));
  if (parts.length > 2) return grouped ? (mark === "." ? "," : ".") : "none";
  return grouped ? "either" : mark;
}

/**
 * Reads a cell with the decimal mark of its column.
 *
 * @param mark null: the column gave no evidence; a numeral that could be either is then `ambiguous`
 */
export function readNumber(text: string, mark: DecimalMark | null): NumberRead {
  if (isMissing(text, "number")) return {kind: "missing"};
  if (isFormulaError(text)) return {kind: "formula error"};
  const infinite = /^([+-]?)(?:inf|infinity|∞)$/i.exec(text);
  if (infinite !== null)
    return {kind: "number", value: infinite[1] === "-" ? -Infinity : Infinity, unit: null, sign: null};
  const fraction = FRACTION.exec(text);
  if (fraction !== null) return fractionOf(fraction);
  const match = NUMERAL.exec(text);
  const numeral = match?.[2];
  if (match === null || numeral === undefined) return {kind: "unreadable"};
  const evidence = decimalEvidence(text);
  const decimal = evidence === "." || evidence === "," ? evidence : mark;
  // 0.005 and 12.500 stand in every column of decimals; only a lone group of three behind a comma is in doubt
  if (evidence === "either" && mark === null && numeral.includes(",")) return {kind: "ambiguous"};
  const value = Number(plainNumeral(numeral, decimal ?? "."));
  if (!Number.isFinite(value)) return {kind: "unreadable"};
  const unit = match[3]?.trim() ?? "";
  return {kind: "number", value, unit: unit === "" ? null : unit, sign: signOf(match[1])};
}

function fractionOf([, whole, part, parts, tail]: RegExpExecArray): NumberRead {
  const unit = tail?.trim() ?? "";
  return {
    kind: "number",
    value: Number(whole) + Number(part) / Number(parts),
    unit: unit === "" ? null : unit,
    sign: null,
  };
}

/** The numeral as JavaScript reads it: grouping gone, decimal mark a point; NaN text where grouping is no grouping. */
function plainNumeral(numeral: string, decimal: DecimalMark): string {
  const group = decimal === "." ? "," : ".";
  const bare = numeral.replace(/['’\s]/g, "");
  const [whole = "", ...rest] = bare.split(decimal);
  if (rest.length > 1 || rest[0]?.includes(group)) return "NaN";
  const digits = whole.split(group);
  if (digits.length > 1 && !digits.slice(1).every((part) => /^\d{3}$/.test(part))) return "NaN";
  return [digits.join(""), ...rest].join(".");
}

function signOf(sign: string | undefined): "<" | ">" | "~" | null {
  if (sign === undefined) return null;
  return sign === "<" || sign === ">" ? sign : "~";
}
