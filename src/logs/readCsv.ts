/** CSV and its kin to raw sheets: encoding, delimiter and header row settled by evidence. */
import {decodeText} from "./decodeText.ts";
import type {HeaderIndex} from "./headers.ts";
import type {LogFile, SheetsRead} from "./rawSheet.ts";
import {scanCsv} from "./scanCsv.ts";
import {findHeader, SheetBuilder, type HeaderPlace, type CellRecord} from "./SheetBuilder.ts";
import type {FoundWith} from "./sink.ts";

const DELIMITERS = [",", ";", "\t", "|"] as const;

/** Characters looked at to settle the delimiter and to find the header. */
const SAMPLE_CHARACTERS = 65536;

export function readCsv({name: file, bytes}: LogFile, indexes: readonly HeaderIndex[]): SheetsRead {
  const {text, encoding, mended} = decodeText(bytes);
  const notes: FoundWith[] = [];
  if (encoding === "windows-1252")
    notes.push({
      rule: "file-encoding",
      file,
      message: `${file} is not UTF-8`,
      taken: "Western code page (windows-1252)",
    });
  if (mended)
    notes.push({
      rule: "file-encoding",
      file,
      message: `${file} was saved twice in different encodings`,
      taken: "the letters before that",
    });
  const plan = text.trim() === "" ? null : planOf(text, indexes);
  if (plan === null)
    return {sheets: [], notes: [...notes, {rule: "file-empty", file, message: `${file} holds no text`}]};
  const {delimiter, place} = plan;
  if (place.rows === 2)
    notes.push({
      rule: "header-rows",
      file,
      line: place.line,
      message: `lines ${place.line} and ${place.line + 1} hold the headers together`,
    });
  const decimalHint = delimiter === ";" ? "," : delimiter === "," ? "." : null;
  const builder = new SheetBuilder(file, place, indexes, decimalHint, notes);
  const brokenQuote = (line: number): void => {
    notes.push({
      rule: "broken-quote",
      file,
      line,
      message: `a quote in line ${line} is never closed`,
      taken: "a plain character",
    });
  };
  scanCsv(text, delimiter, {record: (cells, line) => builder.add(cells, line), brokenQuote}, () => builder.width);
  return {sheets: builder.build(), notes};
}

/** How a text is to be cut up: the delimiter under which most headers are known, else the one that cuts most evenly. */
function planOf(text: string, indexes: readonly HeaderIndex[]): {delimiter: string; place: HeaderPlace} | null {
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
