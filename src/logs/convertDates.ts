/** Date columns of a sheet: the order of day and month is settled once for the whole file. */
import type {Draft} from "./draft.ts";
import {countsOf, noteMissing, type ColumnAt} from "./convertNumbers.ts";
import type {FileAnswers} from "./options.ts";
import type {RuleId} from "./rules/catalogue.ts";
import {DAY_MS, orderEvidence, readDate, type DateOrder, type DateRead} from "./values/readDate.ts";

/** The year from which day numbers are counted; undefined: nobody has said. */
type DayNumbers = 1900 | 1904 | undefined;

const EARLIEST = Date.UTC(1990, 0, 1);
const LATEST = Date.UTC(2100, 11, 31);
/** So many dates, and such a share of a column, are entered wrongly into the future. */
const FEW_AHEAD = 3;
const SHARE_AHEAD = 0.02;

export function convertDates(
  draft: Draft,
  columns: readonly ColumnAt[],
  answers: FileAnswers,
  today: number | null,
): void {
  // a workbook says itself from which year it counts days; what a person has answered wins
  const base = answers.dayNumbers ?? draft.sheet.dayNumbers;
  const order = answers.dateOrder ?? settleOrder(draft, columns, base);
  const zones = {with: 0, without: 0};
  for (const column of columns) convertColumn(draft, column, order, base, today, zones);
  if (zones.with > 0 && zones.without > 0) {
    const message = `${zones.with} times carry a zone and ${zones.without} none`;
    draft.note("date-zones-mixed", {message, taken: "UTC where there is none"});
  }
}

/** The order that the file's own dates show; null where nothing settles it. */
function settleOrder(draft: Draft, columns: readonly ColumnAt[], base: DayNumbers): DateOrder | null {
  let dayFirst = "";
  let monthFirst = "";
  let either = "";
  for (const {cell} of columns) {
    for (const word of draft.trimmed(cell).words) {
      const evidence = orderEvidence(word);
      if (evidence === "day first") dayFirst ||= word;
      else if (evidence === "month first") monthFirst ||= word;
      else if (evidence === "either") either ||= word;
    }
  }
  if (either === "") return null;
  if (dayFirst !== "" && monthFirst === "") return settled(draft, "day first", dayFirst);
  if (monthFirst !== "" && dayFirst === "") return settled(draft, "month first", monthFirst);
  const sequence = dayFirst === "" ? orderBySequence(draft, columns, base) : null;
  if (sequence !== null) {
    const message = `no day is above 12, but only with the ${sequence} does every run end after it starts and within a season`;
    draft.note("date-order-sequence", {found: either, taken: sequence, message});
    return sequence;
  }
  const why = dayFirst === "" ? "no day is above 12" : `${dayFirst} has the day first and ${monthFirst} the month`;
  draft.note("date-ambiguous", {found: either, message: `the order of day and month is not settled: ${why}`});
  return null;
}

function settled(draft: Draft, order: DateOrder, example: string): DateOrder {
  draft.note("date-order", {found: example, taken: order, message: `${example} settles it: dates have the ${order}`});
  return order;
}

/** A run lasts weeks at the most: read with the wrong order, some run ends before it starts or months later. */
const LONGEST_RUN_MS = 60 * DAY_MS;

function orderBySequence(draft: Draft, columns: readonly ColumnAt[], base: DayNumbers): DateOrder | null {
  const start = columns.find(({name}) => name === "start");
  const end = columns.find(({name}) => name === "end");
  if (start === undefined || end === undefined) return null;
  const fits = (["day first", "month first"] as const).filter((order) => {
    const [from, to] = [start, end].map(({cell}) => {
      const words = draft.trimmed(cell);
      const ms = words.words.map((word) => msOf(readDate(word, order, base)));
      return (row: number): number => ms[words.codes[row]!] ?? NaN;
    });
    for (let row = 0; row < draft.rows; ++row) {
      const elapsed = to!(row) - from!(row);
      if (elapsed < 0 || elapsed > LONGEST_RUN_MS) return false;
    }
    return true;
  });
  return fits.length === 1 ? fits[0]! : null;
}

function msOf(read: DateRead): number {
  return read.kind === "date" ? read.ms : NaN;
}

function convertColumn(
  draft: Draft,
  {name, cell}: ColumnAt,
  order: DateOrder | null,
  base: DayNumbers,
  today: number | null,
  zones: {with: number; without: number},
): void {
  const words = draft.trimmed(cell);
  const counts = countsOf(words);
  const reads = words.words.map((word) => readDate(word, order, base));
  noteMissing(draft, name, words, "date");
  noteForms(draft, name, reads, base);
  const values = new Float64Array(draft.rows).fill(NaN);
  const timed = new Uint8Array(draft.rows);
  const header = draft.headerOf(name);
  const lost = draft.required(name) ? ("held" as const) : ("repaired" as const);
  const latest = latestOf(draft, name, reads, counts, today);
  reads.forEach((read, code) => {
    if (read.kind !== "date" || !read.hasTime) return;
    if (read.zone) zones.with += counts[code]!;
    else zones.without += counts[code]!;
  });
  for (let row = 0; row < draft.rows; ++row) {
    const code = words.codes[row]!;
    if (code < 0) continue;
    const read = reads[code]!;
    const word = words.words[code]!;
    if (read.kind === "date") {
      if (read.ms < EARLIEST || read.ms > latest) {
        const message = `${header} ${word} lies ${read.ms < EARLIEST ? "before 1990" : today === null ? "after 2100" : "in the future"}`;
        draft.tell("date-out-of-range", row, {column: name, message});
      } else {
        values[row] = read.ms;
        timed[row] = read.hasTime ? 1 : 0;
      }
    } else if (read.kind === "ambiguous") {
      draft.tell("date-ambiguous", row, {
        column: name,
        message: `${header} ${word} may have the day or the month first`,
        ...(lost === "held" ? {} : {row: lost}),
      });
    } else if (read.kind === "formula error") {
      draft.tell("cell-formula-error", row, {column: name, message: `${header} is a broken formula`, taken: "missing"});
    } else if (read.kind !== "missing") {
      const message =
        read.kind === "impossible"
          ? `${header} ${word} is no day of the calendar`
          : `${header} "${word}" is no date we can read`;
      draft.tell("date-unreadable", row, {column: name, message, taken: "missing", row: lost});
    }
  }
  draft.numbers.set(name, values);
  draft.timed.set(name, timed);
}

/** Dates after today are slips of the pen, unless there are so many that the clock of the machine is the likelier fault. */
function latestOf(
  draft: Draft,
  name: string,
  reads: readonly DateRead[],
  counts: Int32Array,
  today: number | null,
): number {
  if (today === null) return LATEST;
  const latest = Math.min(LATEST, today + DAY_MS);
  let [ahead, all] = [0, 0];
  reads.forEach((read, code) => {
    if (read.kind !== "date") return;
    all += counts[code]!;
    if (read.ms > latest && read.ms <= LATEST) ahead += counts[code]!;
  });
  if (ahead <= Math.max(FEW_AHEAD, all * SHARE_AHEAD)) return latest;
  const day = new Date(today).toISOString().slice(0, 10);
  const message = `${ahead} of ${all} dates of ${draft.headerOf(name)} lie after ${day}, which this machine takes for today`;
  draft.note("date-after-clock", {column: name, message, taken: "as they stand"});
  return LATEST;
}

/** What dates had to be taken for. */
function noteForms(draft: Draft, name: string, reads: readonly DateRead[], base: DayNumbers): void {
  const header = draft.headerOf(name);
  const each = (rule: RuleId, test: (read: DateRead & {kind: "date"}) => boolean, message: string): void => {
    const concerns = (code: number): boolean => {
      const read = reads[code]!;
      return read.kind === "date" && test(read);
    };
    draft.tellEach(rule, name, concerns, message, (code) => dateText(reads[code]!));
  };
  if (base === undefined)
    each("date-serial", ({how}) => how === "serial", `${header} holds a day number counted from 1899-12-30`);
  else
    each("date-serial-based", ({how}) => how === "serial", `${header} holds a day number without the format of a date`);
  each("date-two-digit-year", ({twoDigitYear}) => twoDigitYear, `${header} has a year of two digits`);
  each("date-foreign-month", ({foreign}) => foreign, `${header} has the name of a month in another language`);
}

function dateText(read: DateRead): string | null {
  if (read.kind !== "date") return null;
  const iso = new Date(read.ms).toISOString();
  return read.hasTime ? iso.slice(0, 16).replace("T", " ") : iso.slice(0, 10);
}
