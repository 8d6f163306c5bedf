/** Plants defects in one sheet: picks untouched rows by its own dice, changes them and notes what was done. */
import type {Random} from "./Random.ts";
import type {Mark, Sheet, SheetRow} from "./Sheet.ts";

/** What a defect is: its stable name, its number among the spreadsheet defects that the import rules name, and what was done in one sentence. */
export interface Defect {
  readonly id: string;
  readonly defect: Mark["defect"];
  readonly what: string;
}

export class Planter<Truth> {
  readonly sheet: Sheet;
  readonly #pairs: readonly {readonly row: SheetRow; readonly truth: Truth}[];
  readonly #dice: Random;
  readonly #taken = new Set<SheetRow>();

  /** @param truths what each row of the sheet was written from, in its order */
  constructor(sheet: Sheet, truths: readonly Truth[], dice: Random) {
    this.sheet = sheet;
    this.#dice = dice;
    this.#pairs = truths.map((truth, i) => ({row: sheet.rows[i]!, truth}));
  }

  rowOf(truth: Truth): SheetRow {
    const pair = this.#pairs.find((one) => one.truth === truth);
    if (!pair) throw new Error(`${this.sheet.name} has no row of that truth`);
    return pair.row;
  }

  /** Keeps a row from being picked for anything else. */
  reserve(row: SheetRow): void {
    this.#taken.add(row);
  }

  /** Picks a row that no defect has touched. */
  pick(accept: (truth: Truth) => boolean): {row: SheetRow; truth: Truth} {
    const free = this.#pairs.filter(({row, truth}) => !this.#taken.has(row) && accept(truth));
    if (free.length === 0) throw new Error(`${this.sheet.name} has no row left to plant a defect in`);
    const pair = this.#dice.pick(free);
    this.#taken.add(pair.row);
    return pair;
  }

  mark(row: SheetRow, {id, defect, what}: Defect, column: string | null): void {
    row.marks.push({id, defect, column, what});
  }

  /** Writes another text into a cell and notes it. */
  write(row: SheetRow, column: string, text: string, defect: Defect): void {
    row.cells[this.sheet.column(column)] = text;
    this.mark(row, defect, column);
  }

  cell(row: SheetRow, column: string): string {
    return row.cells[this.sheet.column(column)] ?? "";
  }

  /** Changes one column of `count` rows. `change` gets the text that stands there. */
  edit(
    defect: Defect,
    column: string,
    count: number,
    change: (text: string, truth: Truth) => string,
    accept: (truth: Truth) => boolean = () => true,
  ): void {
    const filled = (truth: Truth): boolean => this.cell(this.rowOf(truth), column) !== "";
    const free = new Set(this.#pairs.filter(({truth}) => accept(truth) && filled(truth)).map(({truth}) => truth));
    for (let i = 0; i < count; i++) {
      const {row, truth} = this.pick((one) => free.has(one));
      this.write(row, column, change(this.cell(row, column), truth), defect);
    }
  }

  /** Repeats the header inside the data, before rows at the given shares of the sheet. */
  repeatHeader(shares: readonly number[]): void {
    const defect = {id: "repeated-header", defect: 18, what: "the header line stands again among the rows"} as const;
    for (const share of [...shares].sort((a, b) => b - a)) {
      this.#insert(Math.round(this.sheet.rows.length * share), [...this.sheet.header], defect);
    }
  }

  /** Writes a row again, the copy some rows further down, perhaps with another text in one column. */
  repeatRow(
    defect: Defect,
    accept: (truth: Truth) => boolean,
    other?: {column: string; text: (old: string) => string},
  ): void {
    const {row} = this.pick(accept);
    const cells = [...row.cells];
    if (other) {
      const index = this.sheet.column(other.column);
      cells[index] = other.text(cells[index] ?? "");
    }
    this.#insert(this.sheet.rows.indexOf(row) + this.#dice.integer(1, 4), cells, defect);
  }

  /** A row that is no record, at the end or at a share of the sheet. */
  addRow(defect: Defect, cells: Readonly<Record<string, string>>, share = 1): void {
    const filled = this.sheet.header.map((header) => cells[header] ?? "");
    this.#insert(Math.round(this.sheet.rows.length * share), filled, defect);
  }

  #insert(index: number, cells: string[], {id, defect, what}: Defect): void {
    this.sheet.rows.splice(index, 0, {cells, marks: [{id, defect, column: null, what}]});
  }
}
