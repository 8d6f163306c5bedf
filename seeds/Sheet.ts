/** A log file as rows of text, before it is written; defects are planted here. */

/** One thing planted in a file, found again by file, line and column. */
export interface Planted {
  /** short stable name, e.g. `erotion` */
  readonly id: string;
  /** number of the spreadsheet defect, as the import rules name it, or `story` for the scenario's own stories */
  readonly defect: number | "story";
  readonly file: string;
  /** 1-based line of the file */
  readonly line: number;
  /** header of the column as it stands in the file; null when the whole row is meant */
  readonly column: string | null;
  /** the text as planted; null when the whole row is meant */
  readonly text: string | null;
  /** one sentence: what was done */
  readonly what: string;
}

export interface Mark {
  readonly id: string;
  readonly defect: number | "story";
  readonly column: string | null;
  readonly what: string;
}

export interface SheetRow {
  cells: string[];
  readonly marks: Mark[];
}

export interface SheetFormat {
  readonly delimiter: "," | ";";
  readonly lineEnd: "\n" | "\r\n";
  readonly byteOrderMark: boolean;
}

export class Sheet {
  readonly name: string;
  readonly header: readonly string[];
  readonly format: SheetFormat;
  readonly rows: SheetRow[];

  constructor(name: string, header: readonly string[], rows: readonly (readonly string[])[], format: SheetFormat) {
    this.name = name;
    this.header = header;
    this.format = format;
    this.rows = rows.map((cells) => ({cells: [...cells], marks: []}));
  }

  /** Index of a column by its header. */
  column(header: string): number {
    const index = this.header.indexOf(header);
    if (index < 0) throw new Error(`${this.name} requires a column of its own, got "${header}"`);
    return index;
  }

  text(): string {
    const {delimiter, lineEnd, byteOrderMark} = this.format;
    const lines = [this.header, ...this.rows.map(({cells}) => cells)].map((cells) =>
      cells.map((cell) => quoted(cell, delimiter)).join(delimiter),
    );
    return `${byteOrderMark ? "\ufeff" : ""}${lines.join(lineEnd)}${lineEnd}`;
  }

  /** What was planted, with the lines as they are now. */
  planted(): Planted[] {
    return this.rows.flatMap(({cells, marks}, i) =>
      marks.map(({id, defect, column, what}) => ({
        id,
        defect,
        file: this.name,
        line: i + 2,
        column,
        text: column === null ? null : (cells[this.column(column)] ?? null),
        what,
      })),
    );
  }
}

function quoted(cell: string, delimiter: string): string {
  return cell.includes(delimiter) || cell.includes('"') || cell.includes("\n")
    ? `"${cell.replaceAll('"', '""')}"`
    : cell;
}
