/** Single rows of a log file as they stand in it, read again for a person who wants to look at them. */
import {INDEXES} from "./mapHeaders.ts";
import type {LogFile} from "./rawSheet.ts";
import {readSheets} from "./readSheets.ts";

export interface RowsOfSheet {
  /** the file, or the sheet of a workbook, as findings name it */
  readonly file: string;
  /** headers as they stand */
  readonly header: readonly string[];
  readonly rows: readonly RowWritten[];
}

export interface RowWritten {
  readonly line: number;
  /** a text for each header, as it stands; null is an empty cell */
  readonly cells: readonly (string | null)[];
}

/** @param wanted lines by sheet; a line that the file does not have is left out */
export async function readRows(
  file: LogFile,
  wanted: ReadonlyMap<string, ReadonlySet<number>>,
): Promise<readonly RowsOfSheet[]> {
  const {sheets} = await readSheets(file, Object.values(INDEXES));
  return sheets.flatMap((sheet) => {
    const lines = wanted.get(sheet.file);
    if (lines === undefined) return [];
    const rows: RowWritten[] = [];
    for (let row = 0; row < sheet.rows; row++) {
      const line = sheet.line[row]!;
      if (!lines.has(line)) continue;
      rows.push({line, cells: sheet.cells.map(({codes, words}) => words[codes[row] ?? -1] ?? null)});
    }
    return [{file: sheet.file, header: sheet.header, rows}];
  });
}
