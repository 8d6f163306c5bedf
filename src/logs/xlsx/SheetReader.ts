/**
 * The rows of one sheet, in pieces, so that whoever waits can be told and can stop. Cells become texts; what a
 * spreadsheet hides, merges or could not compute is counted, never dropped.
 */
import {attribute, XmlReader} from "./XmlReader.ts";
import {numberText} from "./numberFormats.ts";
import {unescaped, type Workbook} from "./workbook.ts";

/** Cells further right are not read; a log has dozens of columns. */
const MOST_CELLS = 2000;

/** Cells merged over several rows, whose text stands in the first. */
export interface Merge {
  readonly firstRow: number;
  readonly lastRow: number;
  /** 0-based */
  readonly firstColumn: number;
  readonly lastColumn: number;
}

/** What was seen on the way, by the number of the row. */
export interface Oddities {
  readonly hiddenRows: number[];
  hiddenColumns: number;
  filtered: boolean;
  /** formulas without a stored result */
  readonly uncomputed: number[];
  /** cells that cannot be understood: a text that is not there, a number that is none */
  readonly broken: number[];
  /** plain numbers under the format of a date */
  readonly misshaped: number[];
  /** cells too far to the right */
  beyond: number;
  /** false where the sheet breaks off */
  complete: boolean;
}

export interface SheetRow {
  readonly cells: string[];
  /** 1-based row of the sheet */
  readonly line: number;
  /** columns whose cell is a text that looks like a number, and those whose cell is a number */
  readonly numberTexts: readonly number[];
  readonly numbers: readonly number[];
}

export class SheetReader {
  readonly merges: readonly Merge[];
  readonly odd: Oddities;
  readonly #reader: XmlReader;
  readonly #book: Workbook;
  #line = 0;
  #started = false;

  constructor(xml: string, book: Workbook) {
    this.#reader = new XmlReader(xml);
    this.#book = book;
    this.merges = mergesOf(xml);
    this.odd = {
      hiddenRows: [],
      hiddenColumns: 0,
      filtered: /<(?:\w+:)?autoFilter[^>]*>\s*<(?:\w+:)?filterColumn/.test(xml.slice(-TAIL)),
      uncomputed: [],
      broken: [],
      misshaped: [],
      beyond: 0,
      complete: false,
    };
  }

  /** The next row that stands in the file; null behind the last one. */
  next(): SheetRow | null {
    const reader = this.#reader;
    for (let token = reader.next(); token !== "end"; token = reader.next()) {
      if (token === "text") continue;
      if (reader.name === "sheetData") {
        if (token === "open" && !reader.empty) this.#started = true;
        else {
          this.odd.complete = true;
          return null;
        }
      } else if (token === "open" && reader.name === "col" && !this.#started) this.#hiddenColumns();
      else if (token === "open" && reader.name === "row" && this.#started) return this.#row();
    }
    return null;
  }

  #hiddenColumns(): void {
    const {attributes} = this.#reader;
    if (!isTrue(attribute(attributes, "hidden"))) return;
    const [from, to] = [Number(attribute(attributes, "min")), Number(attribute(attributes, "max"))];
    // what is hidden behind the last column holds nothing
    if (from >= 1 && to >= from && to < MOST_CELLS) this.odd.hiddenColumns += to - from + 1;
  }

  #row(): SheetRow {
    const reader = this.#reader;
    const stated = Number(attribute(reader.attributes, "r") ?? NaN);
    this.#line = Number.isInteger(stated) && stated > 0 && stated < 2 ** 31 ? stated : this.#line + 1;
    const line = this.#line;
    const cells: string[] = [];
    const numberTexts: number[] = [];
    const numbers: number[] = [];
    if (isTrue(attribute(reader.attributes, "hidden"))) this.odd.hiddenRows.push(line);
    if (reader.empty) return {cells, line, numberTexts, numbers};
    for (let token = reader.next(); token !== "end"; token = reader.next()) {
      if (token === "close" && reader.name === "row") break;
      if (token !== "open" || reader.name !== "c") continue;
      const column = columnOf(attribute(reader.attributes, "r")) ?? cells.length;
      const {text, kind} = this.#cell(line);
      if (text === "") continue;
      if (column >= MOST_CELLS) {
        ++this.odd.beyond;
        continue;
      }
      while (cells.length < column) cells.push("");
      cells[column] = text;
      if (kind === "number") numbers.push(column);
      else if (kind === "text" && /^\s*[-+]?\d+([.,]\d+)?\s*$/.test(text)) numberTexts.push(column);
    }
    return {cells, line, numberTexts, numbers};
  }

  #cell(line: number): {text: string; kind: "text" | "number" | "other"} {
    const reader = this.#reader;
    const type = attribute(reader.attributes, "t") ?? "n";
    const style = Number(attribute(reader.attributes, "s") ?? -1);
    if (reader.empty) return {text: "", kind: "other"};
    let value: string | null = null;
    let inline = "";
    let formula = false;
    let inside = "";
    let spoken = false;
    for (let token = reader.next(); token !== "end"; token = reader.next()) {
      if (token === "text") {
        if (inside === "v") value = (value ?? "") + reader.text;
        else if (inside === "t" && !spoken) inline += reader.text;
        continue;
      }
      if (token === "close" && reader.name === "c") break;
      if (reader.name === "f") formula = true;
      if (reader.name === "rPh") spoken = token === "open" && !reader.empty;
      inside = token === "open" && !reader.empty ? reader.name : "";
    }
    if (type === "inlineStr") return {text: unescaped(inline), kind: "text"};
    if (value === null || value === "") {
      if (formula) this.odd.uncomputed.push(line);
      return {text: "", kind: "other"};
    }
    return this.#valueText(type, style, value, line);
  }

  #valueText(
    type: string,
    style: number,
    value: string,
    line: number,
  ): {text: string; kind: "text" | "number" | "other"} {
    if (type === "s") {
      const text = /^\s*\d+\s*$/.test(value) ? this.#book.texts[Number(value)] : undefined;
      if (text === undefined) this.odd.broken.push(line);
      return {text: text ?? "", kind: "text"};
    }
    if (type === "b") return {text: value.trim() === "1" ? "TRUE" : "FALSE", kind: "other"};
    if (type !== "n") return {text: type === "str" ? unescaped(value) : value, kind: type === "str" ? "text" : "other"};
    const number = value.trim() === "" ? NaN : Number(value);
    if (!Number.isFinite(number)) {
      this.odd.broken.push(line);
      return {text: value, kind: "other"};
    }
    const {text, misshaped} = numberText(number, this.#book.shapes[style] ?? "number", this.#book.base);
    if (misshaped) this.odd.misshaped.push(line);
    return {text, kind: "number"};
  }
}

/** What stands behind the rows is small. */
const TAIL = 200_000;

/** `AB12` is column 27, counted from 0; null where it is no address. */
function columnOf(address: string | null): number | null {
  if (address === null) return null;
  let column = 0;
  let at = 0;
  for (; at < address.length && at < 4; ++at) {
    const letter = address.charCodeAt(at) & ~32;
    if (letter < 65 || letter > 90) break;
    column = column * 26 + letter - 64;
  }
  return at === 0 ? null : column - 1;
}

function mergesOf(xml: string): Merge[] {
  const merges: Merge[] = [];
  const pattern = /<(?:\w+:)?mergeCell\s[^>]*?ref="([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})"/g;
  pattern.lastIndex = Math.max(0, xml.search(/<(?:\w+:)?mergeCells[\s>]/));
  for (let match = pattern.exec(xml); match !== null && merges.length < MOST_MERGES; match = pattern.exec(xml)) {
    const [firstColumn, lastColumn] = [columnOf(match[1]!)!, columnOf(match[3]!)!];
    merges.push({firstRow: Number(match[2]), lastRow: Number(match[4]), firstColumn, lastColumn});
  }
  return merges;
}

const MOST_MERGES = 200_000;

function isTrue(text: string | null): boolean {
  return text === "1" || text === "true";
}
