/**
 * Rows of cells to raw sheets, whatever format they come from: titles, headers over one or two rows, a row of units,
 * blank rows, and headers that change further down, where a new sheet begins.
 */
import {unitOf, UNITS, type Quantity} from "../../shared/units.ts";
import {countKnown, type HeaderIndex} from "./headers.ts";
import {listed} from "./listed.ts";
import type {RawSheet} from "./rawSheet.ts";
import type {FoundWith} from "./sink.ts";
import type {ByteRow} from "./text/ByteRow.ts";
import {CellWords} from "./text/CellWords.ts";

/** A log has dozens of columns; beyond so many, a line is no header of ours. */
export const MOST_COLUMNS = 1000;

/** Where the headers of a table are. */
export interface HeaderPlace {
  /** 1-based line of the first header row */
  readonly line: number;
  /** header rows: the names of two rows are read together */
  readonly rows: 1 | 2;
  /** what the header rows say together */
  readonly texts: readonly string[];
  /** how many columns they name */
  readonly known: number;
}

/** A row of cells and its line. */
export interface CellRecord {
  readonly cells: readonly string[];
  readonly line: number;
}

const HEADER_WITHIN = 25;

/** Names that two rows must say beyond one to be read together. */
const TWO_ROWS_GAIN = 2;

/**
 * The headers among the first rows: the row, or two rows together, that name most columns; without any, the first row
 * that is not blank. Null where every row is blank.
 */
export function findHeader(records: readonly CellRecord[], indexes: readonly HeaderIndex[]): HeaderPlace | null {
  const filled = records.filter(({cells}) => !isBlank(cells)).slice(0, HEADER_WITHIN);
  let best: HeaderPlace | null = null;
  filled.forEach(({cells, line}, i) => {
    const texts = tidy(cells);
    const known = knownIn(texts, indexes);
    if (best === null || known > Math.max(best.known, 1)) best = {line, rows: 1, texts, known};
    const below = filled[i + 1];
    if (below === undefined || below.line !== line + 1 || below.cells.some((cell) => /^\s*[-+]?\d/.test(cell))) return;
    for (const above of [texts, filledRight(texts)]) {
      const both = tidy(
        Array.from(
          {length: Math.max(above.length, below.cells.length)},
          (_, k) => `${above[k] ?? ""} ${below.cells[k] ?? ""}`,
        ),
      );
      const together = knownIn(both, indexes);
      const alone = Math.max(best.known, knownIn(tidy(below.cells), indexes));
      if (together >= alone + TWO_ROWS_GAIN) best = {line, rows: 2, texts: both, known: together};
    }
  });
  return best;
}

/** A merged cell stands in its first column only: what is above the others goes on to the right. */
function filledRight(texts: readonly string[]): string[] {
  let last = "";
  return texts.map((text) => (last = text === "" ? last : text));
}

function knownIn(texts: readonly string[], indexes: readonly HeaderIndex[]): number {
  return Math.max(0, ...indexes.map((index) => countKnown(texts.slice(0, MOST_COLUMNS), index)));
}

/** Texts up to the last that holds something, with single spaces. */
function tidy(cells: readonly string[]): string[] {
  let width = cells.length;
  while (width > 0 && isBlankCell(cells[width - 1]!)) --width;
  return cells.slice(0, width).map((cell) => cell.trim().replace(/\s+/g, " "));
}

export class SheetBuilder {
  readonly #file: string;
  readonly #indexes: readonly HeaderIndex[];
  readonly #decimalHint: "." | "," | null;
  readonly #place: HeaderPlace;
  readonly #notes: FoundWith[];
  readonly #sheets: RawSheet[] = [];
  readonly #blank: number[] = [];
  readonly #titles: number[] = [];
  #block: Block;

  constructor(
    file: string,
    place: HeaderPlace,
    indexes: readonly HeaderIndex[],
    decimalHint: "." | "," | null,
    notes: FoundWith[],
  ) {
    this.#file = file;
    this.#place = place;
    this.#indexes = indexes;
    this.#decimalHint = decimalHint;
    this.#notes = notes;
    this.#block = new Block(place.texts, place.line);
    this.#noteWidth(place.texts, place.line);
  }

  /** How many cells a row should have. */
  get width(): number {
    return this.#block.width;
  }

  add(cells: readonly string[], line: number): void {
    if (line < this.#place.line) {
      if (!isBlank(cells)) this.#titles.push(line);
    } else if (line < this.#place.line + this.#place.rows) {
      this.#block.width = Math.max(this.#block.width, cells.length);
    } else if (isBlank(cells)) {
      this.#blank.push(line);
    } else if (this.#block.takesUnits(cells)) {
      const message = `line ${line} holds the units of the headers above it`;
      this.#notes.push({rule: "unit-row", file: this.#file, line, found: cells.join(" | "), message});
    } else if (this.#changesHeader(cells)) {
      this.#close();
      const texts = tidy(cells);
      this.#block = new Block(texts, line);
      this.#block.width = cells.length;
      const message = `the headers change in line ${line}: the rows below it are read by the new ones`;
      this.#notes.push({rule: "header-changed", file: this.#file, line, found: texts.join(" | "), message});
    } else this.#block.addRow(cells, line);
  }

  /**
   * Takes a record that cannot be anything but one more row under the headers, as most are; false: it may be blank, or hold
   * headers, and is for `add`.
   */
  addPlain(bytes: Uint8Array, row: ByteRow, line: number): boolean {
    if (!this.#block.takesPlain(row) || !isRow(bytes, row)) return false;
    this.#block.addPlain(bytes, row, line);
    return true;
  }

  build(): RawSheet[] {
    this.#close();
    const note = (rule: "title-lines" | "blank-lines", lines: readonly number[], what: string): void => {
      if (lines.length === 0) return;
      const message = `${lines.length} ${what} ${lines.length > 1 ? "were" : "was"} skipped: ${listed(lines)}`;
      this.#notes.push({rule, file: this.#file, message});
    };
    note("title-lines", this.#titles, `line${this.#titles.length > 1 ? "s" : ""} above the headers`);
    note("blank-lines", this.#blank, `blank line${this.#blank.length > 1 ? "s" : ""}`);
    return this.#sheets;
  }

  #close(): void {
    this.#sheets.push(this.#block.sheet(this.#file, this.#decimalHint));
  }

  /** Other headers than those above: mostly names of columns, and not the same again. */
  #changesHeader(cells: readonly string[]): boolean {
    const first = cells.find((cell) => !isBlankCell(cell)) ?? "";
    // nearly every row of a log has a figure in its first cell, and no header has
    if (/\d/.test(first) || first.length > 40) return false;
    const texts = tidy(cells);
    const filled = texts.filter((text) => text !== "").length;
    if (filled < 4 || texts.some((text) => /^[-+]?\d/.test(text) && !/^\d+ ?rpm/i.test(text))) return false;
    if (texts.every((text, i) => text === (this.#block.header[i] ?? ""))) return false;
    const same = texts.filter((text, i) => text !== "" && text === this.#block.header[i]).length;
    const known = knownIn(texts, this.#indexes);
    return known >= Math.max(4, filled * 0.6) && (same < filled * 0.95 || known === filled);
  }

  #noteWidth(texts: readonly string[], line: number): void {
    if (texts.length <= MOST_COLUMNS) return;
    const message = `${texts.length - MOST_COLUMNS} columns beyond the first ${MOST_COLUMNS} are not used`;
    this.#notes.push({rule: "header-unknown", file: this.#file, line, message});
  }
}

/** Rows under one set of headers. */
class Block {
  readonly header: readonly string[];
  /** cells of the header row, trailing empty ones included */
  width: number;
  readonly #line: number;
  readonly #named: number;
  readonly #columns: readonly CellWords[];
  #lines = new Int32Array(64);
  #rows = 0;
  readonly #surplus = new Map<number, readonly string[]>();
  #unitRow: string[] | null = null;

  constructor(texts: readonly string[], line: number) {
    this.header = texts.slice(0, MOST_COLUMNS);
    this.width = texts.length;
    this.#line = line;
    this.#named = texts.length;
    this.#columns = this.header.map(() => new CellWords());
  }

  addRow(cells: readonly string[], line: number): void {
    const row = this.#addLine(line);
    for (let i = 0; i < this.#columns.length; ++i) this.#columns[i]!.pushText(cells[i] ?? "");
    if (cells.length <= this.#named) return;
    const beyond = cells.slice(this.#named, this.#named + MOST_COLUMNS);
    if (!isBlank(beyond)) this.#surplus.set(row, beyond);
  }

  /** Whether the record has no cell beyond the headers, and rows stand above it: units stand in the first only. */
  takesPlain({count}: ByteRow): boolean {
    return this.#rows > 0 && count <= this.#named;
  }

  addPlain(bytes: Uint8Array, {starts, ends, hashes, count}: ByteRow, line: number): void {
    this.#addLine(line);
    const columns = this.#columns;
    for (let i = 0; i < columns.length; ++i) {
      if (i < count) columns[i]!.push(bytes, starts[i]!, ends[i]!, hashes[i]!);
      else columns[i]!.push(bytes, 0, 0, 0);
    }
  }

  /** Gives the row's number. */
  #addLine(line: number): number {
    if (this.#rows === this.#lines.length) {
      const wider = new Int32Array(2 * this.#rows);
      wider.set(this.#lines);
      this.#lines = wider;
    }
    this.#lines[this.#rows] = line;
    return this.#rows++;
  }

  /** Takes the first row below the headers when it holds units: at least two cells, nearly all of them units. */
  takesUnits(cells: readonly string[]): boolean {
    if (this.#unitRow !== null || this.#rows > 0) return false;
    const filled = cells
      .slice(0, this.header.length)
      .map((cell) => cell.trim())
      .filter((cell) => cell !== "");
    if (filled.some((cell) => /^[\d.,+-]+$/.test(cell))) return false;
    const units = filled.filter((cell) => QUANTITIES.some((quantity) => unitOf(quantity, cell) !== null));
    if (units.length < 2 || units.length < filled.length * 0.8) return false;
    this.#unitRow = this.header.map((_, i) => (cells[i] ?? "").trim().replace(/^[([]|[)\]]$/g, ""));
    return true;
  }

  sheet(file: string, decimalHint: "." | "," | null): RawSheet {
    return {
      file,
      sheet: null,
      header: this.header,
      headerLine: this.#line,
      unitRow: this.#unitRow,
      rows: this.#rows,
      line: this.#lines.slice(0, this.#rows),
      cells: this.#columns.map((column) => column.build()),
      surplus: this.#surplus,
      decimalHint,
    };
  }
}

const QUANTITIES = Object.keys(UNITS) as Quantity[];

export function isBlank(cells: readonly string[]): boolean {
  for (const cell of cells) if (!isBlankCell(cell)) return false;
  return true;
}

/** Bytes of a cell that is longer than any first header, whatever the letters. */
const LONG = 160;

/**
 * Whether a record is a row for certain, and neither blank nor headers: by a digit in its first cell that is not empty, or a
 * cell that begins and ends with one.
 */
function isRow(bytes: Uint8Array, {starts, ends, count}: ByteRow): boolean {
  let first = 0;
  while (first < count && starts[first] === ends[first]) ++first;
  if (first === count) return false;
  const [from, to] = [starts[first]!, ends[first]!];
  if (bytes[from]! <= 32 || bytes[from]! > 126) return false;
  if (to - from > LONG) return true;
  for (let i = from; i < to; ++i) if (isDigit(bytes[i]!)) return true;
  for (let cell = first + 1; cell < count; ++cell)
    if (starts[cell] !== ends[cell] && isDigit(bytes[starts[cell]!]!) && isDigit(bytes[ends[cell]! - 1]!)) return true;
  return false;
}

function isDigit(byte: number): boolean {
  return byte >= 48 && byte <= 57;
}

/** Most cells do not begin with a space, and need no trimming to tell. */
function isBlankCell(cell: string): boolean {
  if (cell === "") return true;
  const first = cell.charCodeAt(0);
  return (first <= 32 || first >= 160) && cell.trim() === "";
}
