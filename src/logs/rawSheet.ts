/**
 * A sheet as it was read, before anything is understood: the seam behind which every file format stands.
 * Cells are dictionary-coded, so that a text that stands in a thousand rows is understood once.
 */
import type {Words} from "../../shared/columnar.ts";
import type {FoundWith} from "./sink.ts";

/** A file as it was dropped or named; `name` is shown in findings and is never a path of the machine. */
export interface LogFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

export interface RawSheet {
  /** what findings and counts call it: the name of the file, with the sheet's behind it where it has several */
  readonly file: string;
  /** name of the file itself, where `file` says more */
  readonly book?: string;
  /** name of the sheet, null where the format has none */
  readonly sheet: string | null;
  /** headers as they stand, trimmed; a nameless column has "" */
  readonly header: readonly string[];
  /** 1-based line of the header */
  readonly headerLine: number;
  /** units that stand in a row of their own below the header, "" where there is none; null without such a row */
  readonly unitRow: readonly string[] | null;
  readonly rows: number;
  /** 1-based line of each row */
  readonly line: Int32Array;
  /** one column of texts for each header, as they stand; an empty or blank cell is code -1 */
  readonly cells: readonly Words[];
  /** cells beyond the last header, by row, verbatim */
  readonly surplus: ReadonlyMap<number, readonly string[]>;
  /** what separates decimals where the format settles it, else null */
  readonly decimalHint: "." | "," | null;
  /** the year from which the format counts day numbers; without it nobody knows */
  readonly dayNumbers?: 1900 | 1904;
}

/** What a reader of a file format gives back: sheets, and what it had to do to read them. */
export interface SheetsRead {
  readonly sheets: readonly RawSheet[];
  readonly notes: readonly FoundWith[];
}
