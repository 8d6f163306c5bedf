/** CSV and its kin to raw sheets: encoding, delimiter and header row settled by evidence. */
import type {HeaderIndex} from "./headers.ts";
import type {LogFile, SheetsRead} from "./rawSheet.ts";
import {findHeader, SheetBuilder, type HeaderPlace, type CellRecord} from "./SheetBuilder.ts";
import type {FoundWith} from "./sink.ts";
import {RecordReader, type BytePlace, type RecordTarget} from "./text/RecordReader.ts";
import {scanCsv} from "./text/scanCsv.ts";
import {utf8Of} from "./text/utf8Of.ts";
import type {Watch} from "./Watch.ts";

const LF = 10;
const CR = 13;

const DELIMITERS = [",", ";", "\t", "|"] as const;

/** Bytes looked at to settle the delimiter and to find the header. */
const SAMPLE = 65536;

/** Records read in one go, before whoever waits may be told. */
const PIECE = 2000;

export async function readCsv(
  {name: file, bytes: given}: LogFile,
  indexes: readonly HeaderIndex[],
  watch: Watch,
): Promise<SheetsRead> {
  const {bytes, encoding, mended} = utf8Of(given);
  const notes: FoundWith[] = [];
  const noteEncoding = (message: string, taken: string): void => {
    notes.push({rule: "file-encoding", file, message, taken});
  };
  if (encoding === "windows-1252") noteEncoding(`${file} is not UTF-8`, "Western code page (windows-1252)");
  if (mended) noteEncoding(`${file} was saved twice in different encodings`, "the letters before that");
  const from = firstText(bytes);
  const plan = from === null ? null : planOf(bytes, from, indexes);
  if (from === null || plan === null) {
    notes.push({rule: "file-empty", file, message: `${file} holds no text`});
    return {sheets: [], notes};
  }
  const {delimiter, place} = plan;
  if (place.rows === 2) {
    const message = `lines ${place.line} and ${place.line + 1} hold the headers together`;
    notes.push({rule: "header-rows", file, line: place.line, message});
  }
  const decimalHint = delimiter === ";" ? "," : delimiter === "," ? "." : null;
  const builder = new SheetBuilder(file, place, indexes, decimalHint, notes);
  const reader = new RecordReader(bytes, delimiter, targetOf(builder, file, notes), from);
  for (let lines = reader.read(PIECE); lines > 0; lines = reader.read(PIECE)) {
    const pause = watch.rows(lines, reader.share);
    if (pause !== null) await pause;
  }
  return {sheets: builder.build(), notes};
}

function targetOf(builder: SheetBuilder, file: string, notes: FoundWith[]): RecordTarget {
  return {
    plain: (bytes, row, line) => builder.addPlain(bytes, row, line),
    record: (cells, line) => builder.add(cells, line),
    brokenQuote: (line) => {
      const message = `a quote in line ${line} is never closed`;
      notes.push({rule: "broken-quote", file, line, message, taken: "a plain character"});
    },
    width: () => builder.width,
  };
}

/** The first line that is not blank, so that a sample of the text shows something; null where there is none. */
function firstText(bytes: Uint8Array): BytePlace | null {
  let begin = 0;
  let line = 1;
  for (let at = 0; at < bytes.length; ++at) {
    const byte = bytes[at]!;
    if (byte === LF || (byte === CR && bytes[at + 1] !== LF)) {
      begin = at + 1;
      ++line;
    } else if (byte > 32) return {at: begin, line};
  }
  return null;
}

interface Plan {
  readonly delimiter: string;
  readonly place: HeaderPlace;
}

/** How a text is to be cut up: the delimiter under which most headers are known, else the one that cuts most evenly. */
function planOf(bytes: Uint8Array, from: BytePlace, indexes: readonly HeaderIndex[]): Plan | null {
  const sample = new TextDecoder().decode(bytes.subarray(from.at, from.at + SAMPLE));
  let best: {delimiter: string; place: HeaderPlace; score: number} | null = null;
  for (const delimiter of DELIMITERS) {
    const records: CellRecord[] = [];
    const target = {
      record: (cells: readonly string[], line: number) => records.push({cells: [...cells], line}),
      brokenQuote: () => undefined,
    };
    scanCsv(sample, delimiter, target, () => 0, {at: 0, line: from.line});
    const place = findHeader(records, indexes);
    if (place === null) continue;
    const even =
      records.filter(({cells}) => cells.length >= place.texts.length && cells.length > 1).length / records.length;
    const score = place.known * 10 + even;
    if (best === null || score > best.score) best = {delimiter, place, score};
  }
  return best;
}
