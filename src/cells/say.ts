/** Numbers as they stand in sentences: three significant digits, always with unit and limits. */
import type {Settings} from "../../shared/settings.ts";
import {componentLabel, COMPONENTS, mudLabel, regimeLabel} from "../../shared/vocabulary/index.ts";
import type {CellInputs, Where} from "./contract.ts";

const MOST_DIGITS = 21;

/** By the significant digits they give. Made once: making one takes longer than a hundred uses of it. */
const BY_DIGITS = Array.from(
  {length: MOST_DIGITS + 1},
  (_, digits) => new Intl.NumberFormat("en-US", {maximumSignificantDigits: Math.max(1, digits)}),
);

/** Thousands set apart by a comma, as on the charts; three digits unless the whole part has more. */
export function sayNumber(value: number): string {
  if (!Number.isFinite(value)) return "unknown";
  const digits = Math.abs(value) >= 1000 ? Math.ceil(Math.log10(Math.abs(value) + 1)) : 3;
  return BY_DIGITS[Math.min(MOST_DIGITS, digits)]!.format(value).replace("-", "−");
}

/** `1 failure`, `43 failures`, `no failures`. */
export function sayCount(count: number, one: string, many = `${one}s`): string {
  if (count === 0) return `no ${many}`;
  return `${sayNumber(Math.round(count))} ${count === 1 ? one : many}`;
}

export const sayPercent = (fraction: number): string => `${sayNumber(fraction * 100)} %`;

/** A share without needless digits: `15 %`, `under 1 %`. */
export function sayShare(part: number, of: number): string {
  if (!(of > 0)) return "0 %";
  const percent = (part / of) * 100;
  if (percent > 0 && percent < 1) return "under 1 %";
  return percent < 100 && percent > 99 ? "over 99 %" : `${Math.round(percent)} %`;
}

/** Limits that may lack an end: `180 to 250 h`, `above 180 h`, `not bounded`. */
export function sayLimits([lower, upper]: readonly [number | null, number | null], unit = ""): string {
  const tail = unit === "" ? "" : ` ${unit}`;
  const low = lower !== null && Number.isFinite(lower);
  const high = upper !== null && Number.isFinite(upper);
  if (low && high) return `${sayNumber(lower)} to ${sayNumber(upper)}${tail}`;
  if (low) return `above ${sayNumber(lower)}${tail}`;
  return high ? `below ${sayNumber(upper)}${tail}` : "not bounded";
}

/** `90 % limits` */
export const sayLevel = ({level}: Pick<Settings, "level">): string => `${sayPercent(level)} limits`;

export const sayMoney = (amount: number, {currency}: Pick<Settings, "currency">): string =>
  // below a hundredth nobody pays, and a difference of sums may leave dust
  Math.abs(amount) < 0.005
    ? `0 ${currency}`
    : Math.abs(amount) >= 1e6
      ? `${sayNumber(amount / 1e6)} million ${currency}`
      : `${sayNumber(Math.abs(amount) >= 100 ? Number(amount.toPrecision(3)) : amount)} ${currency}`;

/** The clock of the ages: short unit for axes, full name for the first mention. */
export function clockOf({exposure}: Pick<Settings, "exposure">): {readonly unit: string; readonly name: string} {
  switch (exposure) {
    case "circulating hours":
    case "below-rotary hours":
      return {unit: "h", name: exposure};
    case "pulses":
    case "runs":
      return {unit: exposure, name: exposure};
  }
}

/** `seals`, or the code where the vocabulary has none. */
export const partsOf = (code: string): string => COMPONENTS[code]?.plural ?? code;
export const partOf = (code: string): string => componentLabel(code);

/** `OBM, high flow`; a condition of which only one half is known names that half. */
export function sayCondition(mud: string | null, regime: string | null): string {
  const parts = [];
  if (mud !== null) parts.push(mud === "mixed" ? "mixed muds" : mud === "UNK" ? "unknown mud" : mud);
  if (regime !== null) parts.push(regimeLabel(regime));
  return parts.join(", ");
}

/** The filters in force, in words; empty when there are none. */
export function sayWhere({fleet, from, to, component, mud, regime}: Where): string {
  const parts: string[] = [];
  const list = (words: readonly string[] | undefined, label: (code: string) => string) => {
    if (words && words.length > 0) parts.push(words.map(label).join(" or "));
  };
  list(fleet, (word) => `fleet ${word}`);
  list(component, (code) => partsOf(code));
  list(mud, (code) => mudLabel(code));
  list(regime, regimeLabel);
  if (from !== undefined && to !== undefined) parts.push(`${from} to ${to}`);
  else if (from !== undefined) parts.push(`from ${from}`);
  else if (to !== undefined) parts.push(`to ${to}`);
  return parts.join("; ");
}

/** Why a cell has nothing to show: the filters, or the logs; and what to do about it. */
export function sayNothing(what: string, inputs: Pick<CellInputs, "where" | "runs" | "rebuilds">): string {
  const filters = sayWhere(inputs.where);
  return filters === ""
    ? `The logs hold no ${what}. ${sayWhatLacks(inputs)}`
    : `No ${what} match the filters (${filters}). Widen the filters, or clear them.`;
}

/** What to look for when logs hold nothing of a kind. */
function sayWhatLacks({runs, rebuilds}: Pick<CellInputs, "runs" | "rebuilds">): string {
  if (runs.rows === 0) return "No run log was read: add one on the page “Logs and findings”.";
  if (rebuilds.rows === 0)
    return "No rebuild log was read, in which the lives of parts begin and end: add one on the page “Logs and findings”.";
  return "The page “Logs and findings” says which rows are used, and why others are not.";
}

/** What would let a model be made that too few failures allow. */
export const sayMoreFailures = ({where}: Pick<CellInputs, "where">): string =>
  sayWhere(where) === ""
    ? "As more failures come into the log, ask again."
    : "Wider filters may bring in more failures.";

/** A sentence within another one: names and shortenings keep their capitals. */
export const uncapital = (text: string): string =>
  /^[A-Z][a-z]/.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text;

/** What the flow regimes mean: the convention in force, with the velocity bands in the page's own unit beside it. */
export function sayRegimes({
  settings,
  bands: [low, high],
  regimeConvention,
}: Pick<CellInputs, "settings" | "bands" | "regimeConvention">): string {
  if (settings.units === "metric" || settings.flow_regime.by !== "velocity") return regimeConvention;
  // 1 ft = 0.3048 m
  const of = (mps: number) => `${sayNumber(mps / 0.3048)} ft/s`;
  return `${regimeConvention}; that is ${of(low)} and ${of(high)}`;
}

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** A p-value to two digits, `under 0.001` below that. */
export const sayP = (p: number): string => (p < 0.001 ? "under 0.001" : sayNumber(Number(p.toPrecision(2))));

/** `a, b and c` */
export function sayList(items: readonly string[], last = "and"): string {
  return items.length < 2 ? (items[0] ?? "") : `${items.slice(0, -1).join(", ")} ${last} ${items.at(-1)}`;
}

/** A presentation that is one sentence. */
export const onlySentence = (headline: string, cautions: readonly string[] = []) => ({
  headline,
  figures: [],
  tables: [],
  cautions,
});
