/** How a sheet was read, to look at before its numbers are believed: its first rows and what each column was taken for. */
import {UNITS} from "../../shared/units.ts";
import type {Draft} from "./draft.ts";
import type {LogName} from "./mapHeaders.ts";
import type {SheetAsked} from "./questions.ts";

/** A column of a sheet and what it was taken for. */
export interface ColumnPreview {
  /** as it stands in the file; "" for a column without a header */
  readonly header: string;
  /** our column; null: it is not used */
  readonly column: string | null;
  /** symbol of the unit its plain numbers are read in; null where it has none or could not be read */
  readonly unit: string | null;
}

export interface SheetPreview {
  /** the file, or the sheet of a workbook */
  readonly file: string;
  /** null: it is no log, or nobody knows which */
  readonly log: LogName | null;
  readonly headerLine: number;
  readonly rows: number;
  readonly columns: readonly ColumnPreview[];
  /** columns beyond those shown */
  readonly more: number;
  /** lines of the first rows in the file */
  readonly lines: readonly number[];
  /** the first rows, a cell for each column, as they stand; null is an empty cell */
  readonly cells: readonly (readonly (string | null)[])[];
}

const FIRST_ROWS = 5;
/** A log has dozens of columns; of a sheet with hundreds the first ones tell enough. */
const MOST_COLUMNS = 80;
const LONGEST_TEXT = 120;

export function previewsOf(sheets: readonly SheetAsked[]): SheetPreview[] {
  return sheets.map(({sheet, draft}) => {
    const shown = Math.min(MOST_COLUMNS, sheet.header.length);
    const rows = Array.from({length: Math.min(FIRST_ROWS, sheet.rows)}, (_, row) => row);
    const columnAt = new Map([...(draft?.cellOf ?? [])].map(([column, cell]) => [cell, column]));
    return {
      file: sheet.file,
      log: draft === null || draft.log === "lives" ? null : draft.log,
      headerLine: sheet.headerLine,
      rows: sheet.rows,
      columns: sheet.header.slice(0, shown).map((header, cell) => {
        const column = columnAt.get(cell) ?? null;
        return {header, column, unit: column === null || draft === null ? null : unitSymbol(draft, column)};
      }),
      more: sheet.header.length - shown,
      lines: rows.map((row) => sheet.line[row] ?? 0),
      cells: rows.map((row) =>
        sheet.cells.slice(0, shown).map(({codes, words}) => {
          const text = words[codes[row] ?? -1];
          return text === undefined ? null : text.length > LONGEST_TEXT ? `${text.slice(0, LONGEST_TEXT)}…` : text;
        }),
      ),
    };
  });
}

function unitSymbol(draft: Draft, column: string): string | null {
  const quantity = draft.specs[column]?.quantity;
  const unit = draft.units.get(column);
  // a quantity whose canonical unit is the plain number (money, counts) shows none
  return quantity === undefined || unit === undefined || UNITS[quantity][0]?.symbol === "" ? null : unit.symbol;
}
