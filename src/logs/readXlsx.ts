/** Workbooks to raw sheets: every sheet that holds something, with what the spreadsheet hid, merged or left broken. */
import type {HeaderIndex} from "./headers.ts";
import {listed} from "./listed.ts";
import type {LogFile, RawSheet, SheetsRead} from "./rawSheet.ts";
import {findHeader, SheetBuilder, type CellRecord} from "./SheetBuilder.ts";
import type {FoundWith} from "./sink.ts";
import type {Watch} from "./Watch.ts";
import type {RuleId} from "./rules/catalogue.ts";
import {SheetReader, type Merge, type SheetRow} from "./xlsx/SheetReader.ts";
import {unpack} from "./xlsx/unpack.ts";
import {workbookOf, type SheetPart, type Workbook} from "./xlsx/workbook.ts";

export async function readXlsx(
  {name: file, bytes}: LogFile,
  indexes: readonly HeaderIndex[],
  watch: Watch,
): Promise<SheetsRead> {
  const {parts, refused} = unpack(bytes);
  if (parts === null) {
    const message = `${file} cannot be opened as a workbook: ${refused}`;
    return {
      sheets: [],
      notes: [{rule: "file-unread", file, message, remedy: "open it, save it as a new workbook, and load that"}],
    };
  }
  const book = workbookOf(parts);
  if (book === null || book.sheets.length === 0) {
    const message = `${file} is a zip archive, but no workbook (.xlsx)`;
    return {
      sheets: [],
      notes: [{rule: "file-kind", file, message, remedy: "take the logs out of it, or save the workbook as .xlsx"}],
    };
  }
  const notes: FoundWith[] = [];
  const sheets: RawSheet[] = [];
  const filled = book.sheets.filter(({xml}) => xml === null || /<(?:\w+:)?c[\s>]/.test(xml));
  for (const part of filled) {
    const label = filled.length > 1 ? `${file} [${part.name}]` : file;
    for (const sheet of await readSheet(file, label, part, book, indexes, notes, watch)) sheets.push(sheet);
  }
  if (sheets.length === 0 && notes.length === 0) {
    notes.push({rule: "file-empty", file, message: `${file} has ${book.sheets.length} sheets, and nothing on them`});
  }
  return {sheets, notes};
}

/** Rows looked at to find the headers. */
const HEAD_ROWS = 60;

async function readSheet(
  book: string,
  label: string,
  {name, hidden, xml}: SheetPart,
  workbook: Workbook,
  indexes: readonly HeaderIndex[],
  notes: FoundWith[],
  watch: Watch,
): Promise<RawSheet[]> {
  if (xml === null) {
    notes.push({rule: "file-unread", file: label, message: `the sheet "${name}" is missing inside the workbook`});
    return [];
  }
  const reader = new SheetReader(xml, workbook);
  const spread = new Spread(reader.merges);
  const head: SheetRow[] = [];
  for (let row = reader.next(); row !== null; row = reader.next()) {
    head.push(row);
    if (head.length === HEAD_ROWS) break;
  }
  const records: CellRecord[] = head.map(({cells, line}) => ({cells: spread.across(cells, line), line}));
  const place = findHeader(records, indexes);
  if (place === null) {
    // only blank rows so far: whatever stands far below has no header above it either
    notes.push({rule: "file-empty", file: label, message: `the sheet "${name}" holds nothing in its first rows`});
    return [];
  }
  if (place.rows === 2) {
    const message = `rows ${place.line} and ${place.line + 1} hold the headers together`;
    notes.push({rule: "header-rows", file: label, line: place.line, message});
  }
  const builder = new SheetBuilder(label, place, indexes, ".", notes);
  const mixed = new MixedColumns();
  const take = (row: SheetRow): void => {
    const isHead = row.line < place.line + place.rows;
    const cells = isHead ? spread.across(row.cells, row.line) : spread.down(row.cells, row.line);
    builder.add(cells, row.line);
    if (!isHead) mixed.add(row);
  };
  head.forEach(take);
  for (let row = reader.next(); row !== null; row = reader.next()) {
    take(row);
    const pause = watch.row();
    if (pause !== null) await pause;
  }
  const tell = (rule: RuleId, message: string, taken: string | null = null): void => {
    notes.push({rule, file: label, message, taken});
  };
  if (hidden) tell("xlsx-hidden", `the sheet "${name}" is hidden; it is read all the same`);
  noteOddities(reader, spread, tell);
  mixed.note(place.texts, tell);
  return builder.build().map((sheet) => ({...sheet, sheet: name, book, dayNumbers: workbook.base}));
}

function noteOddities(
  {odd}: SheetReader,
  spread: Spread,
  tell: (rule: RuleId, message: string, taken?: string) => void,
): void {
  const many = (count: number, what: string): string => `${count} ${what}${count === 1 ? "" : "s"}`;
  if (odd.hiddenRows.length > 0 || odd.hiddenColumns > 0) {
    const rows = odd.hiddenRows.length > 0 ? ` (${listed(odd.hiddenRows)})` : "";
    const filter = odd.filtered ? ", by a filter that was left on" : "";
    const what = `${many(odd.hiddenRows.length, "row")} and ${many(odd.hiddenColumns, "column")}`;
    tell("xlsx-hidden", `${what} are hidden${filter}${rows}`, "rows and columns like the others");
  }
  if (odd.uncomputed.length > 0) {
    const message = `${many(odd.uncomputed.length, "formula")} ${odd.uncomputed.length === 1 ? "was" : "were"} never computed: ${listed(odd.uncomputed)}`;
    tell("xlsx-uncomputed", message, "missing");
  }
  if (odd.broken.length > 0)
    tell("xlsx-broken", `${many(odd.broken.length, "cell")} cannot be understood: ${listed(odd.broken)}`);
  if (odd.misshaped.length > 0) {
    const message = `${many(odd.misshaped.length, "number")} below ${366} ${odd.misshaped.length === 1 ? "has" : "have"} the format of a date: ${listed(odd.misshaped)}`;
    tell("xlsx-misshaped", message, "numbers");
  }
  if (odd.beyond > 0) tell("header-unknown", `${many(odd.beyond, "cell")} far to the right of any log are not used`);
  if (!odd.complete) tell("xlsx-cut", "the sheet breaks off: rows behind that are lost");
  if (spread.filled.length > 0) {
    const message = `${many(spread.filled.length, "row")} take the text of a cell merged over several rows: ${listed(spread.filled)}`;
    tell("cells-merged", message, "the same in every row");
  }
}

/** Texts of merged cells, which a workbook keeps in the first cell only. */
class Spread {
  /** rows that took a text from above */
  readonly filled: number[] = [];
  readonly #merges: readonly Merge[];
  readonly #wide: ReadonlyMap<number, readonly Merge[]>;
  /** merges over several rows that begin in a row, and those that are open with their text */
  readonly #tall: ReadonlyMap<number, readonly Merge[]>;
  #open: {merge: Merge; text: string}[] = [];

  constructor(merges: readonly Merge[]) {
    this.#merges = merges;
    this.#wide = byRow(merges.filter(({firstColumn, lastColumn}) => lastColumn > firstColumn));
    this.#tall = byRow(merges.filter(({firstRow, lastRow}) => lastRow > firstRow));
  }

  /** A header row with the text of each merged cell over all its columns. */
  across(cells: readonly string[], line: number): string[] {
    const wide = [...cells];
    if (this.#merges.length === 0) return wide;
    for (const {firstColumn, lastColumn} of this.#wide.get(line) ?? []) {
      const text = cells[firstColumn] ?? "";
      for (let column = firstColumn; text !== "" && column <= Math.min(lastColumn, cells.length + 100); ++column) {
        while (wide.length < column) wide.push("");
        wide[column] = text;
      }
    }
    return wide;
  }

  /** A row with the text of cells merged from above; only the first column of a merge is one of the log's. */
  down(cells: string[], line: number): readonly string[] {
    if (this.#tall.size === 0) return cells;
    this.#open = this.#open.filter(({merge}) => merge.lastRow >= line);
    let filled = false;
    for (const {merge, text} of this.#open) {
      if (merge.firstRow >= line || (cells[merge.firstColumn] ?? "") !== "") continue;
      while (cells.length < merge.firstColumn) cells.push("");
      cells[merge.firstColumn] = text;
      filled = true;
    }
    if (filled) this.filled.push(line);
    for (const merge of this.#tall.get(line) ?? []) {
      const text = cells[merge.firstColumn] ?? "";
      if (text !== "" && this.#open.length < MOST_OPEN) this.#open.push({merge, text});
    }
    return cells;
  }
}

/** So many merged cells may stand side by side. */
const MOST_OPEN = 500;

function byRow(merges: readonly Merge[]): Map<number, Merge[]> {
  const rows = new Map<number, Merge[]>();
  for (const merge of merges) {
    const row = rows.get(merge.firstRow);
    if (row === undefined) rows.set(merge.firstRow, [merge]);
    else row.push(merge);
  }
  return rows;
}

/** Columns of numbers in which some are stored as text. */
class MixedColumns {
  readonly #texts = new Map<number, number[]>();
  readonly #numbers = new Map<number, number>();

  add({line, numberTexts, numbers}: SheetRow): void {
    for (const column of numbers) this.#numbers.set(column, (this.#numbers.get(column) ?? 0) + 1);
    for (const column of numberTexts) {
      const lines = this.#texts.get(column);
      if (lines === undefined) this.#texts.set(column, [line]);
      else lines.push(line);
    }
  }

  note(headers: readonly string[], tell: (rule: RuleId, message: string, taken: string) => void): void {
    for (const [column, lines] of this.#texts) {
      // a column of texts with a few numbers is one of serials or of words
      if ((this.#numbers.get(column) ?? 0) < lines.length) continue;
      const header = headers[column] ?? `column ${column + 1}`;
      const message = `${lines.length} cell${lines.length === 1 ? "" : "s"} of ${header} hold${lines.length === 1 ? "s" : ""} a number as text: ${listed(lines)}`;
      tell("xlsx-number-text", message, "numbers");
    }
  }
}
