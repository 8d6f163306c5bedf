/** Number columns of a sheet: decimal mark by evidence of the column, unit by header, cell or the values' own range. */
import type {Words} from "../../shared/columnar.ts";
import type {ColumnSpec} from "../../shared/columns.ts";
import {convert, UNITS, unitOf, type Quantity, type Unit} from "../../shared/units.ts";
import type {Draft} from "./draft.ts";
import type {HeaderMatch} from "./headers.ts";
import {listed} from "./listed.ts";
import type {FileAnswers} from "./options.ts";
import type {RuleId} from "./rules/catalogue.ts";
import {otherGroup} from "./rules/twoUnits.ts";
import type {RowState} from "./sink.ts";
import {readAsMeter} from "./totals/meterRange.ts";
import {isMissing} from "./values/missing.ts";
import {
  decimalEvidence,
  readNumber,
  type DecimalEvidence,
  type DecimalMark,
  type NumberRead,
} from "./values/readNumber.ts";

/** A column to convert and how its header named it. */
export interface ColumnAt {
  readonly name: string;
  readonly spec: ColumnSpec;
  readonly cell: number;
  readonly match: HeaderMatch;
}

/** Quantities whose units are found mixed inside one column. */
const MIXED: ReadonlySet<Quantity> = new Set<Quantity>(["density", "flow", "temperature", "length", "depth"]);

/** Quantities that shops write in several units; a missing unit is worth a question. */
const ASSUMED: ReadonlySet<Quantity> = new Set<Quantity>([...MIXED, "stress", "concentration"]);

/** Share of the values that must fit a unit before a column is read in it unasked. */
const FITS = 0.95;

interface Tally {
  comma: number;
  point: number;
  either: number;
}

export function convertNumbers(draft: Draft, columns: readonly ColumnAt[], answers: FileAnswers): void {
  const tallies = columns.map(({cell}) => tallyOf(draft.trimmed(cell)));
  const total = {comma: 0, point: 0, either: 0};
  for (const tally of tallies) {
    total.comma += tally.comma;
    total.point += tally.point;
  }
  const ofFile = markOf(total) ?? draft.sheet.decimalHint;
  const commas: string[] = [];
  let example: string | null = null;
  columns.forEach((column, i) => {
    const mark = answers.decimalMark ?? decided(tallies[i]!, ofFile);
    const shown = convertColumn(draft, column, mark, answers);
    if (shown === null) return;
    commas.push(draft.headerOf(column.name));
    example ??= shown;
  });
  if (commas.length > 0) {
    const message = `${commas.join(", ")} ${commas.length > 1 ? "are" : "is"} written with decimal commas`;
    draft.note("number-decimal-comma", {found: example, taken: "decimal commas", message});
  }
}

/** Evidence of one column, distinct cells counted once. */
function tallyOf({words}: Words): Tally {
  const tally = {comma: 0, point: 0, either: 0};
  for (const word of words) {
    const evidence = decimalEvidence(word);
    if (evidence === ",") ++tally.comma;
    else if (evidence === ".") ++tally.point;
    else if (evidence === "either" && word.includes(",")) ++tally.either;
  }
  return tally;
}

function markOf({comma, point}: Tally): DecimalMark | null {
  if (comma > 0 && point === 0) return ",";
  return point > 0 && comma === 0 ? "." : null;
}

/** The column's own evidence, else that of its file; a column that shows both marks is read by the one it mostly shows. */
function decided(tally: Tally, ofFile: DecimalMark | null): DecimalMark | null {
  if (tally.comma > 0 && tally.point > 0) {
    if (tally.comma > tally.point * 9) return ",";
    return tally.point > tally.comma * 9 ? "." : null;
  }
  return markOf(tally) ?? ofFile;
}

/** Converts a column; gives a cell with a decimal comma, where the column is read with them. */
function convertColumn(draft: Draft, given: ColumnAt, mark: DecimalMark | null, answers: FileAnswers): string | null {
  const {name, cell} = given;
  const words = draft.trimmed(cell);
  const reads = words.words.map((word) => readNumber(word, mark));
  const counts = countsOf(words);
  const spec = readAsMeter(draft, name, given.spec, reads, counts, answers);
  const column = {...given, spec};
  const comma = mark === "," ? commaIn(words.words, reads) : null;
  noteMarks(draft, name, words, reads, mark);
  noteMissing(draft, name, words, "number");
  draft.tellEach(
    "number-unit",
    name,
    (code) => carriesUnit(reads[code]!, spec),
    `${draft.headerOf(name)} carries its unit in the cell`,
    (code) => cellValue(reads[code]!, spec),
  );
  const unit = headerUnit(draft, column, reads, counts, answers);
  if (unit !== null && unit !== "none") draft.units.set(name, unit);
  const verdicts = reads.map((read, code) =>
    unit === "none" ? null : judge(draft, column, words.words[code]!, read, unit),
  );
  if (answers.units?.[name] === undefined) noteFractions(draft, column, reads);
  const values = new Float64Array(draft.rows).fill(NaN);
  for (let row = 0; row < draft.rows; ++row) {
    const code = words.codes[row]!;
    if (code < 0) continue;
    const verdict = verdicts[code];
    if (verdict === null || verdict === undefined) {
      if (draft.required(name) && unit === "none") draft.mark(row, "held");
      continue;
    }
    values[row] = verdict.value;
    if (verdict.tell !== null) verdict.tell(row);
  }
  if (answers.units?.[name] === undefined && unit !== null && unit !== "none")
    tellTwoUnits(draft, column, words, reads, values, unit);
  draft.numbers.set(name, values);
  return comma;
}

/** Quantities whose values part in two groups when a column holds two units, and not by their nature. */
const PARTING: ReadonlySet<Quantity> = new Set<Quantity>(["flow", "density"]);

/** The smaller of two groups that lie apart as two units do is left missing, and asked about. */
function tellTwoUnits(
  draft: Draft,
  {name, spec}: ColumnAt,
  {codes, words}: Words,
  reads: readonly NumberRead[],
  values: Float64Array,
  unit: Unit,
): void {
  if (spec.quantity === undefined || !PARTING.has(spec.quantity)) return;
  const raw = values.map((value, row) => {
    const read = reads[codes[row]!];
    return Number.isNaN(value) || read?.kind !== "number" || read.unit !== null ? NaN : read.value;
  });
  const group = otherGroup(draft, raw, unit, otherUnits(spec, unit));
  if (group === null) return;
  const header = draft.headerOf(name);
  for (const row of group.rows) {
    const word = words[codes[row]!]!;
    const message = `${header} ${word} lies apart from most values of the same tools as ${group.unit.symbol} does from ${unit.symbol}`;
    draft.tell("number-two-units", row, {column: name, message, taken: "missing"});
    values[row] = NaN;
  }
}

function carriesUnit(read: NumberRead, {quantity}: ColumnSpec): boolean {
  return read.kind === "number" && read.unit !== null && quantity !== undefined && unitOf(quantity, read.unit) !== null;
}

function cellValue(read: NumberRead, spec: ColumnSpec): string | null {
  if (read.kind !== "number" || read.unit === null || spec.quantity === undefined) return null;
  return shownValue(convert(read.value, spec.quantity, read.unit), spec);
}

/** What a distinct cell becomes, and what is to be told about each row that holds it. */
interface Verdict {
  readonly value: number;
  readonly tell: ((row: number) => void) | null;
}

function judge(draft: Draft, {name, spec}: ColumnAt, word: string, read: NumberRead, unit: Unit | null): Verdict {
  const header = draft.headerOf(name);
  const row = draft.required(name) ? ("held" as const) : ("repaired" as const);
  const lose = (rule: RuleId, message: string, becomes?: RowState): Verdict => ({
    value: NaN,
    tell: (at) =>
      draft.tell(rule, at, {
        column: name,
        message,
        taken: becomes === "held" ? null : "missing",
        ...(becomes === undefined ? {} : {row: becomes}),
      }),
  });
  if (read.kind !== "number") {
    if (read.kind === "missing") return {value: NaN, tell: null};
    if (read.kind === "formula error") return lose("cell-formula-error", `${header} is a broken formula`);
    if (read.kind === "unreadable") return lose("cell-unreadable", `${header} "${word}" is no number`, row);
    return lose("number-ambiguous", `${header} ${word} may be a number of thousands or one with three decimals`, row);
  }
  if (read.sign === "~") return lose("number-about", `${header} ${word} is a guess`, row);
  const inCell = read.unit === null || spec.quantity === undefined ? null : unitOf(spec.quantity, read.unit);
  if (read.unit !== null && inCell === null)
    return lose("cell-unreadable", `${header} "${word}" holds more than a number`, row);
  const used = inCell ?? unit;
  const value = used === null ? read.value : read.value * used.factor + used.offset;
  const odd = rangeFinding(draft, name, spec, word, read.value, value, used);
  if (odd !== null) return odd;
  const told = (rule: RuleId, message: string): Verdict => ({
    value,
    tell: (at) => draft.tell(rule, at, {column: name, message, taken: shownValue(value, spec)}),
  });
  if (read.sign !== null) return told("number-bound", `${header} ${word} is a bound, not a value`);
  return {value, tell: null};
}

/** A percent column whose values all are far below the usual may hold fractions. */
const FRACTION_BELOW = 0.02;
const FEWEST_FRACTIONS = 5;

function noteFractions(draft: Draft, {name, spec}: ColumnAt, reads: readonly NumberRead[]): void {
  if (spec.quantity !== "percent") return;
  const values = reads.flatMap((read) => (read.kind === "number" && read.value > 0 ? [read.value] : []));
  if (values.length < FEWEST_FRACTIONS || values.some((value) => value > FRACTION_BELOW)) return;
  const header = draft.headerOf(name);
  draft.note("number-fraction", {
    column: name,
    taken: "percent",
    message: `no value of ${header} is above ${FRACTION_BELOW}; they may be fractions`,
  });
}

/** What a value out of its range gets; null where it is in it. */
function rangeFinding(
  draft: Draft,
  name: string,
  spec: ColumnSpec,
  word: string,
  raw: number,
  value: number,
  unit: Unit | null,
): Verdict | null {
  const header = draft.headerOf(name);
  const [least, most] = spec.possible ?? [-Infinity, Infinity];
  const inPossible = value >= least && value <= most;
  const [low, high] = spec.plausible ?? [-Infinity, Infinity];
  if (inPossible && value >= low && value <= high) return null;
  const quantity = spec.quantity;
  if (quantity !== undefined && MIXED.has(quantity) && spec.plausible !== undefined && !(inPossible && value === 0)) {
    const other = otherUnits(spec, unit).find((candidate) =>
      within(raw * candidate.factor + candidate.offset, low, high),
    );
    if (other !== undefined) {
      const message = `${header} ${word} is out of range as ${shownValue(value, spec)}, but would fit as ${word} ${other.symbol}`;
      return {
        value: NaN,
        tell: (row) => draft.tell("number-unit-mixed", row, {column: name, message, taken: "missing"}),
      };
    }
  }
  if (!inPossible) {
    const message = `${header} ${word} cannot be: it must lie in ${least} to ${most}`;
    const row = draft.required(name) ? ("held" as const) : ("repaired" as const);
    return {
      value: NaN,
      tell: (at) => draft.tell("number-impossible", at, {column: name, message, taken: "missing", row}),
    };
  }
  if (quantity === "percent")
    return {
      value: NaN,
      tell: (row) =>
        draft.tell("number-slip", row, {
          column: name,
          message: `${header} ${word} is far above the usual ${low} to ${high} %`,
          taken: "missing",
        }),
    };
  const message = `${header} ${word} is outside the usual ${shownValue(low, spec)} to ${shownValue(high, spec)}`;
  return {
    value,
    tell: (row) => draft.tell("number-unusual", row, {column: name, message, taken: shownValue(value, spec)}),
  };
}

/**
 * The unit of a column: answered, stated by the header or the row below it, else the canonical one, unless the
 * values fit another one only. "none": the column cannot be read.
 */
function headerUnit(
  draft: Draft,
  column: ColumnAt,
  reads: readonly NumberRead[],
  counts: Int32Array,
  answers: FileAnswers,
): Unit | null | "none" {
  const {name, spec, cell, match} = column;
  const quantity = spec.quantity;
  if (quantity === undefined) return null;
  const canonical = UNITS[quantity][0]!;
  const answered = answers.units?.[name];
  if (answered !== undefined) return unitOf(quantity, answered) ?? canonical;
  const below = draft.sheet.unitRow?.[cell] ?? "";
  const stated = match.unit ?? (below === "" ? null : unitOf(quantity, below));
  const unknown = match.unknownUnit ?? (below !== "" && stated === null ? below : null);
  const header = draft.headerOf(name);
  const evidence = fitting(spec, reads, counts);
  if (stated !== null || match.distance <= 1) {
    const unit = stated ?? canonical;
    const other = evidence.total >= 3 && evidence.share(unit) < 0.1 ? evidence.only(unit) : null;
    if (other === null) return unit;
    draft.note("header-unit-contradicts", {
      column: name,
      found: header,
      message: `the values of ${header} do not fit ${unit.symbol}; they would fit ${other.symbol}`,
      taken: "missing",
    });
    return "none";
  }
  const other = evidence.share(canonical) < 0.5 ? evidence.only(canonical) : null;
  if (other !== null) {
    draft.note("header-unit-taken", {
      column: name,
      found: header,
      message: `${header} names no unit we know and its values fit ${other.symbol} only`,
      taken: other.symbol,
    });
    return other;
  }
  if (unknown !== null && !isRemark(unknown)) {
    draft.note("header-unit", {
      column: name,
      found: header,
      message: `"${unknown}" in ${header} is no unit of ${name}`,
      taken: "missing",
      remedy: `write one of ${UNITS[quantity].map(({symbol}) => symbol).join(", ")}`,
    });
    return "none";
  }
  if (ASSUMED.has(quantity) && evidence.total > 0) {
    const message = `${header} names no unit and is read in ${canonical.symbol}`;
    draft.note("header-unit-assumed", {column: name, found: header, message, taken: canonical.symbol});
  }
  return canonical;
}

/** Brackets in a header often hold a remark and no unit. */
function isRemark(text: string): boolean {
  return /^(avg|average|max|maximum|min|minimum|mean|total|end|start|est|in|out|md|tvd|reading|actual|log|logged|rt|mud)\.?$/i.test(
    text.trim(),
  );
}

/** How well the values of a column fit each unit of its quantity, cells with a unit of their own left out. */
function fitting(spec: ColumnSpec, reads: readonly NumberRead[], counts: Int32Array) {
  const plausible = spec.plausible;
  const shares = new Map<Unit, number>();
  let total = 0;
  reads.forEach((read, code) => {
    if (read.kind !== "number" || read.unit !== null || read.value === 0) return;
    total += counts[code]!;
    for (const unit of UNITS[spec.quantity ?? "count"]) {
      const fits =
        plausible !== undefined && within(read.value * unit.factor + unit.offset, plausible[0], plausible[1]);
      shares.set(unit, (shares.get(unit) ?? 0) + (fits ? counts[code]! : 0));
    }
  });
  const share = (unit: Unit): number => (plausible === undefined || total === 0 ? 1 : (shares.get(unit) ?? 0) / total);
  const only = (than: Unit): Unit | null => {
    const fits = otherUnits(spec, than).filter((unit) => share(unit) >= FITS);
    return total > 0 && fits.length === 1 ? fits[0]! : null;
  };
  return {total, share, only};
}

/** The other units of a quantity, those with the same factor left out. */
function otherUnits(spec: ColumnSpec, than: Unit | null): Unit[] {
  if (spec.quantity === undefined || !MIXED.has(spec.quantity)) return [];
  const unit = than ?? UNITS[spec.quantity][0]!;
  return UNITS[spec.quantity].filter(({factor, offset}) => factor !== unit.factor || offset !== unit.offset);
}

/** A cell in which a comma is taken for the decimal mark. */
function commaIn(words: readonly string[], reads: readonly NumberRead[]): string | null {
  const comma = words.find(
    (word, code) => reads[code]!.kind === "number" && word.includes(",") && decimalEvidence(word) !== ".",
  );
  return comma ?? null;
}

/** What the numerals of a column had to be taken for. */
function noteMarks(
  draft: Draft,
  name: string,
  {words}: Words,
  reads: readonly NumberRead[],
  mark: DecimalMark | null,
): void {
  const header = draft.headerOf(name);
  const shows = words.map((word, code) => (reads[code]!.kind === "number" ? decimalEvidence(word) : "none"));
  const other = mark === "," ? "." : ",";
  draft.tellEach(
    "number-decimal-mixed",
    name,
    (code) => mark !== null && shows[code] === other,
    `${header} is otherwise written with a decimal ${mark === "," ? "comma" : "point"}`,
    (code) => numberText(reads[code]!),
  );
  const grouped = words.find((word, code) => reads[code]!.kind === "number" && isGrouped(word, shows[code]!, mark));
  if (grouped !== undefined)
    draft.note("number-thousands", {
      column: name,
      found: grouped,
      message: `${header} is written with grouped thousands`,
      taken: "thousands",
    });
}

/** True where a mark, a space or an apostrophe groups thousands. */
function isGrouped(word: string, shows: DecimalEvidence, mark: DecimalMark | null): boolean {
  if (/\d['’\s]\d{3}/.test(word)) return true;
  if (shows === "either") return mark !== null && !word.includes(mark) && word.includes(mark === "." ? "," : ".");
  const decimal = shows === "," || shows === "." ? shows : null;
  return decimal === null
    ? /\d[.,]\d{3}[.,]\d{3}/.test(word)
    : new RegExp(`\\d\\${decimal === "." ? "," : "."}\\d{3}`).test(word);
}

function numberText(read: NumberRead): string | null {
  return read.kind === "number" ? String(read.value) : null;
}

/** Counts the words that stand for missing values and names their lines; blanks need no notice. */
export function noteMissing(
  draft: Draft,
  name: string,
  {codes, words}: Words,
  where: "number" | "date" | "word",
): void {
  const missing = words.map((word) => isMissing(word, where));
  if (!missing.includes(true)) return;
  const lines: number[] = [];
  codes.forEach((code, row) => {
    if (code >= 0 && missing[code]) lines.push(draft.sheet.line[row]!);
  });
  const cells = lines.length;
  const found = words
    .filter((_, code) => missing[code])
    .slice(0, 6)
    .join(" · ");
  const message = `${cells} cell${cells > 1 ? "s" : ""} of ${draft.headerOf(name)} hold${cells > 1 ? "" : "s"} a word for nothing: ${listed(lines)}`;
  draft.note("cell-missing-word", {column: name, found, message, taken: "missing"});
}

/** How many rows hold each distinct cell. */
export function countsOf({codes, words}: Words): Int32Array {
  const counts = new Int32Array(words.length);
  for (const code of codes) if (code >= 0) ++counts[code]!;
  return counts;
}

function within(value: number, low: number, high: number): boolean {
  return value >= low && value <= high;
}

function shownValue(value: number, spec: ColumnSpec): string {
  const symbol = spec.quantity === undefined ? "" : (UNITS[spec.quantity][0]?.symbol ?? "");
  return `${Number(value.toPrecision(5))}${symbol === "" ? "" : ` ${symbol}`}`;
}
