/** CSV and its kin to a raw sheet: encoding, delimiter and header row settled by evidence. */
import {WordsBuilder} from "../../shared/columnar.ts";
import {decodeText} from "./decodeText.ts";
import {countKnown, type HeaderIndex} from "./headers.ts";
import {listed} from "./listed.ts";
import type {LogFile, RawSheet, SheetsRead} from "./rawSheet.ts";
import {scanCsv} from "./scanCsv.ts";
import type {FoundWith} from "./sink.ts";
import {unitOf, UNITS, type Quantity} from "../../shared/units.ts";

const DELIMITERS = [",", ";", "\t", "|"] as const;

/** Lines looked at to settle the delimiter and to find the header. */
const SAMPLE_CHARACTERS = 65536;
const HEADER_WITHIN = 25;

export function readCsv(file: LogFile, indexes: readonly HeaderIndex[]): SheetsRead {
  const {text, encoding, mended} = decodeText(file.bytes);
  const notes: FoundWith[] = [];
  if (encoding === "windows-1252")
    notes.push({
      rule: "file-encoding",
      file: file.name,
      message: `${file.name} is not UTF-8`,
      taken: "Western code page (windows-1252)",
    });
  if (mended)
    notes.push({
      rule: "file-encoding",
      file: file.name,
      message: `${file.name} was saved twice in different encodings`,
      taken: "the letters before that",
    });
  if (text.trim() === "")
    return {
      sheets: [],
      notes: [...notes, {rule: "file-empty", file: file.name, message: `${file.name} holds no text`}],
    };
  const plan = planOf(text, indexes);
  const sheet = readSheet(file.name, text, plan, notes);
  return {sheets: [sheet], notes};
}

/** A log has dozens of columns; beyond so many, a line is no header of ours. */
const MOST_COLUMNS = 1000;

/** How a text is to be cut up. */
interface Plan {
  readonly delimiter: string;
  readonly headerLine: number;
  readonly width: number;
}

/** The delimiter under which most headers are known, else the one that cuts the lines most evenly. */
function planOf(text: string, indexes: readonly HeaderIndex[]): Plan {
  const sample = text.slice(0, SAMPLE_CHARACTERS);
  let best: (Plan & {score: number}) | null = null;
  for (const delimiter of DELIMITERS) {
    const records: {cells: string[]; line: number}[] = [];
    scanCsv(
      sample,
      delimiter,
      {record: (cells, line) => records.push({cells: [...cells], line}), brokenQuote: () => undefined},
      () => 0,
    );
    const header = headerOf(records, indexes);
    if (header === null) continue;
    const even = records.filter(({cells}) => cells.length === header.width && cells.length > 1).length / records.length;
    const score = header.known * 10 + even;
    if (best === null || score > best.score) best = {delimiter, headerLine: header.line, width: header.width, score};
  }
  return best ?? {delimiter: ",", headerLine: 1, width: 0};
}

/** The row of the first lines that names most columns; without any, the first row that is not blank. */
function headerOf(records: readonly {cells: readonly string[]; line: number}[], indexes: readonly HeaderIndex[]) {
  let best: {line: number; width: number; known: number} | null = null;
  let looked = 0;
  for (const {cells, line} of records) {
    if (cells.every((cell) => cell.trim() === "")) continue;
    if (++looked > HEADER_WITHIN) break;
    const known = Math.max(0, ...indexes.map((index) => countKnown(cells.slice(0, MOST_COLUMNS), index)));
    if (best === null || known > Math.max(best.known, 1)) best = {line, width: widthOf(cells), known};
  }
  return best;
}

/** Cells up to the last that holds something. */
function widthOf(cells: readonly string[]): number {
  let width = cells.length;
  while (width > 0 && cells[width - 1]!.trim() === "") --width;
  return width;
}

function readSheet(file: string, text: string, plan: Plan, notes: FoundWith[]): RawSheet {
  let header: string[] = [];
  let unitRow: string[] | null = null;
  let columns: WordsBuilder[] = [];
  const lines: number[] = [];
  const surplus = new Map<number, readonly string[]>();
  const blank: number[] = [];
  const titles: number[] = [];
  let headerCells = 0;
  const record = (cells: readonly string[], line: number): void => {
    if (line < plan.headerLine) {
      if (!isBlank(cells)) titles.push(line);
    } else if (line === plan.headerLine) {
      headerCells = cells.length;
      if (plan.width > MOST_COLUMNS) {
        const message = `${plan.width - MOST_COLUMNS} columns beyond the first ${MOST_COLUMNS} are not used`;
        notes.push({rule: "header-unknown", file, line, message});
      }
      header = cells.slice(0, Math.min(plan.width, MOST_COLUMNS)).map((cell) => cell.trim().replace(/\s+/g, " "));
      columns = header.map(() => new WordsBuilder());
    } else if (isBlank(cells)) {
      blank.push(line);
    } else if (unitRow === null && lines.length === 0 && isUnitRow(cells.slice(0, header.length))) {
      unitRow = header.map((_, i) => (cells[i] ?? "").trim().replace(/^[([]|[)\]]$/g, ""));
      notes.push({
        rule: "unit-row",
        file,
        line,
        found: cells.join(" | "),
        message: `line ${line} holds the units of the headers above it`,
      });
    } else {
      const row = lines.length;
      lines.push(line);
      for (let i = 0; i < columns.length; ++i) {
        const cell = cells[i] ?? "";
        columns[i]!.push(isBlankCell(cell) ? null : cell);
      }
      const beyond = cells.slice(plan.width);
      if (beyond.length > 0 && !isBlank(beyond)) surplus.set(row, beyond.slice(0, MOST_COLUMNS));
    }
  };
  const brokenQuote = (line: number): void => {
    notes.push({
      rule: "broken-quote",
      file,
      line,
      message: `a quote in line ${line} is never closed`,
      taken: "a plain character",
    });
  };
  scanCsv(text, plan.delimiter, {record, brokenQuote}, () => headerCells);
  if (titles.length > 0)
    notes.push({
      rule: "title-lines",
      file,
      message: `${titles.length} lines above the headers were skipped: ${listed(titles)}`,
    });
  if (blank.length > 0)
    notes.push({rule: "blank-lines", file, message: `${blank.length} blank lines were skipped: ${listed(blank)}`});
  const decimalHint = plan.delimiter === ";" ? "," : plan.delimiter === "," ? "." : null;
  return {
    file,
    sheet: null,
    header,
    headerLine: plan.headerLine,
    unitRow,
    rows: lines.length,
    line: Int32Array.from(lines),
    cells: columns.map((column) => column.build()),
    surplus,
    decimalHint,
  };
}

function isBlank(cells: readonly string[]): boolean {
  for (const cell of cells) if (!isBlankCell(cell)) return false;
  return true;
}

/** Most cells do not begin with a space, and need no trimming to tell. */
function isBlankCell(cell: string): boolean {
  if (cell === "") return true;
  const first = cell.charCodeAt(0);
  return (first <= 32 || first >= 160) && cell.trim() === "";
}

/** Units below the headers: at least two cells, all of them units of something. */
function isUnitRow(cells: readonly string[]): boolean {
  const filled = cells.map((cell) => cell.trim()).filter((cell) => cell !== "");
  const units = filled.filter((cell) => QUANTITIES.some((quantity) => unitOf(quantity, cell) !== null));
  const plain = filled.every((cell) => !/^[\d.,+-]+$/.test(cell));
  return plain && units.length >= 2 && units.length >= filled.length * 0.8;
}

const QUANTITIES = Object.keys(UNITS) as Quantity[];
