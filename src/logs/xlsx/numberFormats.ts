/**
 * What a number in a cell is shown as, and its text for the rules: dates as ISO, durations in hours, numbers as the
 * spreadsheet holds them (15 digits). So nothing goes through the words of a locale.
 */

export type NumberShape = "number" | "percent" | "date" | "time" | "elapsed";

/** Formats that a workbook need not spell out (ECMA-376 part 1, 18.8.30, and the East Asian ones there). */
const BUILT_IN: readonly (readonly [from: number, to: number, shape: NumberShape])[] = [
  [9, 10, "percent"],
  [14, 17, "date"],
  [18, 21, "time"],
  [22, 22, "date"],
  [27, 36, "date"],
  [45, 45, "time"],
  [46, 46, "elapsed"],
  [47, 47, "time"],
  [50, 58, "date"],
];

export function builtInShape(id: number): NumberShape {
  return BUILT_IN.find(([from, to]) => id >= from && id <= to)?.[2] ?? "number";
}

/** The shape a format code gives, by its first section: `[h]:mm` is elapsed, `dd/mm/yyyy` a date, `h:mm` a time. */
export function shapeOf(code: string): NumberShape {
  const bare = code
    .replace(/"[^"]*"|\\.|_.|\*./g, "")
    .split(";")[0]!
    .toLowerCase();
  if (/\[(h+|m+|s+)\]/.test(bare)) return "elapsed";
  const letters = bare.replace(/\[[^\]]*\]/g, "").replace(/general|am\/pm|a\/p/g, "");
  if (/[yd]|m{3}/.test(letters) || (letters.includes("m") && !/[hs0#]/.test(letters))) return "date";
  if (/[hs]/.test(letters)) return "time";
  return letters.includes("%") ? "percent" : "number";
}

const DAY_S = 86_400;

/** Day 0 of the two counts, in days since 1970 UTC. */
const EPOCH_DAYS = {1900: -25_569, 1904: -24_107} as const;

/** A date in the first year of the count is a number that someone gave the format of a date. */
export const FIRST_YEAR = 366;
const LAST_DAY = 2_958_465;

/** The text of a number under its shape; `misshaped` where a date's format hides a plain number. */
export function numberText(value: number, shape: NumberShape, base: 1900 | 1904): {text: string; misshaped: boolean} {
  if (shape === "elapsed") return {text: `${plain(value * 24)} h`, misshaped: false};
  if (shape === "percent") return {text: `${plain(value * 100)} %`, misshaped: false};
  if (shape === "time" && value >= 0 && value < 1)
    return {text: clock(Math.round(value * DAY_S) % DAY_S), misshaped: false};
  if (shape === "number" || shape === "time") return {text: plain(value), misshaped: false};
  if (value < FIRST_YEAR || value > LAST_DAY) return {text: plain(value), misshaped: true};
  // 10:00 is 0.4166…: rounding to the second brings it back
  const seconds = Math.round((value + EPOCH_DAYS[base]) * DAY_S);
  const day = new Date(Math.floor(seconds / DAY_S) * DAY_S * 1000).toISOString().slice(0, 10);
  const rest = ((seconds % DAY_S) + DAY_S) % DAY_S;
  return {text: rest === 0 ? day : `${day} ${clock(rest)}`, misshaped: false};
}

function clock(seconds: number): string {
  const two = (value: number): string => String(value).padStart(2, "0");
  const minutes = `${two(Math.floor(seconds / 3600))}:${two(Math.floor(seconds / 60) % 60)}`;
  return seconds % 60 === 0 ? minutes : `${minutes}:${two(seconds % 60)}`;
}

/**
 * A number as text that can only be read one way: 15 digits as spreadsheets hold them, and four decimals in place of
 * three, since 1.250 may look like a thousand.
 */
export function plain(value: number): string {
  const text = String(Number(value.toPrecision(15)));
  return /^-?\d{1,3}\.\d{3}$/.test(text) ? `${text}0` : text;
}
