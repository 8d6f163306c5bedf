/** CSV and its kin to raw sheets: encoding, delimiter and header row settled by evidence. */
import {decodeText} from "./decodeText.ts";
import type {HeaderIndex} from "./headers.ts";
import type {LogFile, SheetsRead} from "./rawSheet.ts";
import {scanCsv, type ScanPlace} from "./scanCsv.ts";
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
  const {delimiter, place: headers} = plan;
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
  const target = {record: (cells: readonly string[], line: number) => builder.add(cells, line), brokenQuote};
  const width = (): number => builder.width;
  let place: ScanPlace = {at: 0, line: 1};
  while (place.at < text.length) {
    place = scanCsv(text, delimiter, target, width, place, PIECE);
    const pause = watch.rows(PIECE);
    if (pause !== null) await pause;
  }
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
