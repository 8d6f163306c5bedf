/**
 * One cell to a date. Local times without a zone are kept as if they were UTC: every age is a difference of hours on
 * the pumps, and dates only order runs and rebuilds.
 */
import {isFormulaError, isMissing} from "./missing.ts";

export type DateOrder = "day first" | "month first";

export type DateRead =
  | {
      readonly kind: "date";
      /** ms since 1970 UTC */
      readonly ms: number;
      readonly hasTime: boolean;
      readonly how: "iso" | "numeric" | "month word" | "serial";
      readonly twoDigitYear: boolean;
      readonly zone: boolean;
      /** a month in another language than English */
      readonly foreign: boolean;
    }
  | {readonly kind: "missing" | "formula error" | "ambiguous" | "unreadable" | "impossible"};

export const DAY_MS = 86_400_000;

/** Excel counts days from 1899-12-30; serials outside 1990 to 2079 are taken for numbers, not for dates. */
const SERIAL_RANGE = [32874, 65746] as const;
const SERIAL_EPOCH = Date.UTC(1899, 11, 30);

/** The other count begins so many days later. */
const DAYS_1904 = 1462;

const ISO = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T\s]+(.*))?$/;
const NUMERIC = /^(\d{1,2})[-/.](\d{1,2})[-/.](\d{2}|\d{4})(?:[,\sT]+(.*))?$/;
const DAY_WORD =
  /^(?:\p{L}{2,}\.?,?\s+)?(\d{1,2})(?:st|nd|rd|th|\.)?[-\s./]*(\p{L}{3,})\.?[-\s./,]*(\d{4}|\d{2})(?:[,\sT]+(.*))?$/u;
const WORD_DAY =
  /^(?:\p{L}{2,}\.?,?\s+)?(\p{L}{3,})\.?[-\s./]*(\d{1,2})(?:st|nd|rd|th)?,?[-\s./]+(\d{4}|\d{2})(?:[,\sT]+(.*))?$/u;
const COMPACT = /^(\d{4})(\d{2})(\d{2})$/;
const TIME = /^(\d{1,2}):?(\d{2})(?::(\d{2})(?:\.\d+)?)?\s*(am|pm)?\s*(z|utc|gmt|[+-]\d{2}:?\d{2})?$/i;
const HOUR_WORD = /^(\d{1,2}):(\d{2})\s*(?:h|hrs|uhr)?$/i;

const ENGLISH = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

/** Beginnings of month names elsewhere that differ from English ones: de, fr, es, it, pt, nl, no, da, sv. */
const ELSEWHERE: Readonly<Record<string, number>> = {
  jän: 1,
  ene: 1,
  gen: 1,
  janv: 1,
  fév: 2,
  fev: 2,
  feb: 2,
  mär: 3,
  mrz: 3,
  maa: 3,
  mrt: 3,
  avr: 4,
  abr: 4,
  mai: 5,
  mei: 5,
  maj: 5,
  mag: 5,
  maio: 5,
  mayo: 5,
  juin: 6,
  giu: 6,
  juil: 7,
  lug: 7,
  aoû: 8,
  aou: 8,
  ago: 8,
  set: 9,
  okt: 10,
  ott: 10,
  out: 10,
  dez: 12,
  déc: 12,
  dic: 12,
  des: 12,
};

/** What a numeric date says about the order of its parts; null where it is no numeric date or says nothing. */
export function orderEvidence(text: string): DateOrder | "either" | null {
  const match = NUMERIC.exec(text);
  if (match === null) return null;
  const [first, second] = [Number(match[1]), Number(match[2])];
  if (first > 12 && second <= 12) return "day first";
  if (second > 12 && first <= 12) return "month first";
  return first === second ? null : "either";
}

/**
 * Reads a cell with the order of its file.
 *
 * @param order null: the file gave no evidence; a date that could be either is then `ambiguous`
 * @param dayNumbers the year from which the file counts days
 */
export function readDate(text: string, order: DateOrder | null, dayNumbers: 1900 | 1904 = 1900): DateRead {
  if (isMissing(text, "date")) return {kind: "missing"};
  if (isFormulaError(text)) return {kind: "formula error"};
  const serial = /^\d{5}(?:[.,]\d+)?$/.test(text) ? Number(text.replace(",", ".")) : NaN;
  const since1900 = dayNumbers === 1904 ? serial + DAYS_1904 : serial;
  if (since1900 >= SERIAL_RANGE[0] && since1900 <= SERIAL_RANGE[1]) {
    const ms = SERIAL_EPOCH + Math.round(since1900 * 1440) * 60_000;
    return {
      kind: "date",
      ms,
      hasTime: serial % 1 !== 0,
      how: "serial",
      twoDigitYear: false,
      zone: false,
      foreign: false,
    };
  }
  const compact = COMPACT.exec(text);
  const iso = compact ?? ISO.exec(text);
  if (iso !== null) return dated(iso[1]!, Number(iso[2]), iso[3]!, compact === null ? iso[4] : undefined, "iso", false);
  const numeric = NUMERIC.exec(text);
  if (numeric !== null) {
    const [first, second] = [Number(numeric[1]), Number(numeric[2])];
    const settled = first > 12 ? "day first" : second > 12 ? "month first" : first === second ? "day first" : order;
    if (settled === null) return {kind: "ambiguous"};
    const [day, month] = settled === "day first" ? [first, second] : [second, first];
    return dated(numeric[3]!, month, String(day), numeric[4], "numeric", false);
  }
  const dayWord = DAY_WORD.exec(text);
  if (dayWord !== null) {
    const month = monthOf(dayWord[2]!);
    if (month !== null) return dated(dayWord[3]!, month.number, dayWord[1]!, dayWord[4], "month word", month.foreign);
  }
  const wordDay = WORD_DAY.exec(text);
  if (wordDay !== null) {
    const month = monthOf(wordDay[1]!);
    if (month !== null) return dated(wordDay[3]!, month.number, wordDay[2]!, wordDay[4], "month word", month.foreign);
  }
  return {kind: "unreadable"};
}

function dated(
  yearText: string,
  month: number,
  dayText: string,
  time: string | undefined,
  how: "iso" | "numeric" | "month word",
  foreign: boolean,
): DateRead {
  const twoDigitYear = yearText.length === 2;
  // two digits: 70 to 99 are of the last century, as spreadsheets take them
  const year = twoDigitYear ? Number(yearText) + (Number(yearText) >= 70 ? 1900 : 2000) : Number(yearText);
  const day = Number(dayText);
  const ms = Date.UTC(year, month - 1, day);
  const check = new Date(ms);
  if (check.getUTCMonth() !== month - 1 || check.getUTCDate() !== day || year < 1000) return {kind: "impossible"};
  if (time === undefined || time.trim() === "") {
    return {kind: "date", ms, hasTime: false, how, twoDigitYear, zone: false, foreign};
  }
  const clock = timeOf(time.trim());
  if (clock === null) return {kind: "unreadable"};
  return {kind: "date", ms: ms + clock.ms, hasTime: true, how, twoDigitYear, zone: clock.zone, foreign};
}

/** Time of day in ms, moved to UTC where it has a zone; 24:00 is the end of the day. */
function timeOf(text: string): {ms: number; zone: boolean} | null {
  const match = TIME.exec(text) ?? HOUR_WORD.exec(text);
  if (match === null) return null;
  let hours = Number(match[1]);
  const minutes = Number(match[2]);
  const seconds = Number(match[3] ?? 0);
  const half = match[4]?.toLowerCase();
  if (half === "pm" && hours < 12) hours += 12;
  if (half === "am" && hours === 12) hours = 0;
  if (minutes > 59 || seconds > 59 || hours > 24 || (hours === 24 && minutes + seconds > 0)) return null;
  const zone = match[5]?.toLowerCase();
  const offset = zone === undefined || !/^[+-]/.test(zone) ? 0 : zoneMinutes(zone);
  return {ms: ((hours * 60 + minutes - offset) * 60 + seconds) * 1000, zone: zone !== undefined};
}

function zoneMinutes(zone: string): number {
  const digits = zone.replace(/[^\d]/g, "");
  const minutes = Number(digits.slice(0, 2)) * 60 + Number(digits.slice(2));
  return zone.startsWith("-") ? -minutes : minutes;
}

function monthOf(word: string): {number: number; foreign: boolean} | null {
  const lower = word.toLowerCase();
  const english = ENGLISH.indexOf(lower.slice(0, 3));
  if (english >= 0) return {number: english + 1, foreign: !isEnglish(lower, english)};
  for (const length of [4, 3]) {
    const number = ELSEWHERE[lower.slice(0, length)];
    if (number !== undefined) return {number, foreign: true};
  }
  return null;
}

const LONG = "january february march april may june july august september october november december".split(" ");

function isEnglish(word: string, month: number): boolean {
  return (LONG[month] ?? "").startsWith(word) || word === "sept";
}
