/** CSV and its kin to raw sheets: encoding, delimiter and header row settled by evidence. */
import {decodeText, mendTwiceEncoded} from "./decodeText.ts";
import type {HeaderIndex} from "./headers.ts";
import type {LogFile, SheetsRead} from "./rawSheet.ts";
import {scanCsv, type ScanPlace, type ScanTarget} from "./scanCsv.ts";
import {findHeader, SheetBuilder, type HeaderPlace, type CellRecord} from "./SheetBuilder.ts";
import type {FoundWith} from "./sink.ts";
import type {Watch} from "./Watch.ts";

const DELIMITERS = [",", ";", "\t", "|"] as const;

/** Characters looked at to settle the delimiter and to find the header. */
const SAMPLE_CHARACTERS = 65536;

/** Records read in one go, before whoever waits may be told. */
const PIECE = 2000;

export async function readCsv(
  {name: file, bytes}: LogFile,
  indexes: readonly HeaderIndex[],
  watch: Watch,
): Promise<SheetsRead> {
  const {encoding, pieces} = decodeText(bytes);
  const notes: FoundWith[] = [];
  if (encoding === "windows-1252")
    notes.push({
      rule: "file-encoding",
      file,
      message: `${file} is not UTF-8`,
      taken: "Western code page (windows-1252)",
    });
  let reading: Reading | null = null;
  let mended = false;
  /** text that is read, and not yet cut up */
  let rest = "";
  for (const {text, share} of pieces()) {
    const right = encoding === "utf-8" ? mendTwiceEncoded(text) : null;
    if (right !== null) mended = true;
    rest += right ?? text;
    const whole = share === 1;
    if (reading === null) {
      const plan = isBlankText(rest) ? null : planOf(rest, indexes);
      if (plan === null && !whole) continue;
      if (plan === null) break;
      reading = readingOf(file, plan, indexes, notes);
    }
    let at = 0;
    while (at < rest.length) {
      const place: ScanPlace = scanCsv(
        rest,
        reading.delimiter,
        reading.target,
        reading.width,
        {at, line: reading.line},
        PIECE,
        whole,
      );
      reading.line = place.line;
      if (place.at === at) break;
      at = place.at;
      const pause = watch.rows(PIECE, share);
      if (pause !== null) await pause;
    }
    rest = rest.slice(at);
  }
  if (mended)
    notes.push({
      rule: "file-encoding",
      file,
      message: `${file} was saved twice in different encodings`,
      taken: "the letters before that",
    });
  if (reading === null)
    return {sheets: [], notes: [...notes, {rule: "file-empty", file, message: `${file} holds no text`}]};
  return {sheets: reading.builder.build(), notes};
}

/** A file in the middle of being cut up. */
interface Reading {
  readonly delimiter: string;
  readonly builder: SheetBuilder;
  readonly target: ScanTarget;
  readonly width: () => number;
  /** the line at which the next record begins */
  line: number;
}

function readingOf(
  file: string,
  {delimiter, place: headers}: Plan,
  indexes: readonly HeaderIndex[],
  notes: FoundWith[],
): Reading {
  if (headers.rows === 2)
    notes.push({
      rule: "header-rows",
      file,
      line: headers.line,
      message: `lines ${headers.line} and ${headers.line + 1} hold the headers together`,
    });
  const decimalHint = delimiter === ";" ? "," : delimiter === "," ? "." : null;
  const builder = new SheetBuilder(file, headers, indexes, decimalHint, notes);
  const brokenQuote = (line: number): void => {
    notes.push({
      rule: "broken-quote",
      file,
      line,
      message: `a quote in line ${line} is never closed`,
      taken: "a plain character",
    });
  };
  const record = (cells: readonly string[], line: number): void => builder.add(cells, line);
  return {delimiter, builder, target: {record, brokenQuote}, width: () => builder.width, line: 1};
}

function isBlankText(text: string): boolean {
  return !/\S/.test(text);
}

interface Plan {
  readonly delimiter: string;
  readonly place: HeaderPlace;
}

/** How a text is to be cut up: the delimiter under which most headers are known, else the one that cuts most evenly. */
function planOf(text: string, indexes: readonly HeaderIndex[]): Plan | null {
  const sample = text.slice(0, SAMPLE_CHARACTERS);
  let best: {delimiter: string; place: HeaderPlace; score: number} | null = null;
  for (const delimiter of DELIMITERS) {
    const records: CellRecord[] = [];
    const target = {
      record: (cells: readonly string[], line: number) => records.push({cells: [...cells], line}),
      brokenQuote: () => undefined,
    };
    scanCsv(sample, delimiter, target, () => 0);
    const place = findHeader(records, indexes);
    if (place === null) continue;
    const even =
      records.filter(({cells}) => cells.length >= place.texts.length && cells.length > 1).length / records.length;
    const score = place.known * 10 + even;
    if (best === null || score > best.score) best = {delimiter, place, score};
  }
  return best;
}
