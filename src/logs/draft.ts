/**
 * A log while it is being checked: converted columns, the cells they came from, and what became of each row.
 * Mutable on purpose and never handed out: the checked table is built from it at the end.
 */
import type {Words} from "../../shared/columnar.ts";
import type {Finding, RowShown} from "../../shared/findings.ts";
import type {Unit} from "../../shared/units.ts";
import type {Specs} from "./headers.ts";
import type {RawSheet} from "./rawSheet.ts";
import {RULES, type RuleId} from "./rules/catalogue.ts";
import {findingOf, rankOf, ROW_STATES, type RowState} from "./sink.ts";

export const HELD = rankOf("held");
const SET_ASIDE = rankOf("set aside");

/** From so many rows and such a share of a column on, an oddity is its habit and told once. */
const HABIT_ROWS = 20;
const HABIT_SHARE = 0.1;

/** What a rule says about one row; the draft adds the place and the cell. */
export interface RowFound {
  readonly column?: string;
  readonly found?: string | null;
  readonly taken?: string | null;
  readonly message: string;
  readonly remedy?: string;
  /** when the rule treats this row otherwise than the catalogue says */
  readonly row?: RowState;
  /** other rows that the finding is about, to be shown beside it */
  readonly beside?: readonly {readonly draft: Draft; readonly row: number}[];
}

/** Of one rule, so many findings show their rows side by side: a hundred tell what there is to see. */
const SHOWN_FINDINGS = 100;
/** Rows shown beside one. */
const SHOWN_BESIDE = 6;

/** Text of a column, one a row; null is missing. Codes are filled in by the conversion. */
export interface TextColumn {
  readonly codes: Int32Array;
  readonly words: string[];
}

export class Draft {
  readonly log: "runs" | "rebuilds" | "lives";
  readonly specs: Specs;
  readonly sheet: RawSheet;
  readonly rows: number;
  readonly state: Uint8Array;
  readonly numbers = new Map<string, Float64Array>();
  readonly texts = new Map<string, TextColumn>();
  readonly flags = new Map<string, Int8Array>();
  /** dates that carry a time of day, by column */
  readonly timed = new Map<string, Uint8Array>();
  /** unit that the plain numbers of a column were read in; a column that could not be read has none */
  readonly units = new Map<string, Unit>();
  /** columns that were read without the range of a run, because they may hold readings of a meter */
  readonly unranged = new Set<string>();
  /** the first of two columns whose headers look exchanged: its rows are not told one by one */
  readonly exchanged = new Set<string>();
  /** index of the cell column a column was read from */
  readonly cellOf = new Map<string, number>();
  readonly #findings: Finding[];
  readonly #shown = new Map<RuleId, number>();

  constructor(log: Draft["log"], specs: Specs, sheet: RawSheet, findings: Finding[]) {
    this.log = log;
    this.specs = specs;
    this.sheet = sheet;
    this.rows = sheet.rows;
    this.state = new Uint8Array(sheet.rows);
    this.#findings = findings;
  }

  /** True while the row is neither held nor set aside. */
  used(row: number): boolean {
    return this.state[row]! < HELD;
  }

  /** True where the row waits for an answer. */
  held(row: number): boolean {
    return this.state[row] === HELD;
  }

  mark(row: number, state: RowState): void {
    const rank = rankOf(state);
    if (rank > this.state[row]!) this.state[row] = rank;
  }

  /** Records a finding about a row and what it means for it; a row that is set aside already needs no more reasons. */
  tell(rule: RuleId, row: number, {column, found, taken, message, remedy, row: outcome, beside}: RowFound): void {
    if (this.state[row] === SET_ASIDE) return;
    const becomes = outcome ?? RULES[rule].row;
    if (becomes !== "as it was") this.mark(row, becomes);
    this.#findings.push(
      findingOf({
        rule,
        file: this.sheet.file,
        line: this.sheet.line[row] ?? null,
        column: column === undefined ? null : this.headerOf(column),
        found: found ?? (column === undefined ? null : this.raw(column, row)),
        taken: taken ?? null,
        message,
        ...(remedy === undefined ? {} : {remedy}),
        ...(beside === undefined ? {} : this.#rowsShown(rule, row, beside)),
      }),
    );
  }

  #rowsShown(rule: RuleId, row: number, beside: NonNullable<RowFound["beside"]>): {rows?: readonly RowShown[]} {
    const count = this.#shown.get(rule) ?? 0;
    if (count >= SHOWN_FINDINGS) return {};
    this.#shown.set(rule, count + 1);
    return {rows: [this.#rowShown(row), ...beside.slice(0, SHOWN_BESIDE).map((ref) => ref.draft.#rowShown(ref.row))]};
  }

  #rowShown(row: number): RowShown {
    const cells = [...this.cellOf.keys()].flatMap((column) => {
      const text = this.raw(column, row);
      return text === null ? [] : [[column, text] as const];
    });
    return {file: this.sheet.file, line: this.sheet.line[row] ?? 0, cells};
  }

  /** Records a finding about a column or the whole file. */
  note(rule: RuleId, {column, found, taken, message, remedy}: RowFound): void {
    this.#findings.push(
      findingOf({
        rule,
        file: this.sheet.file,
        column: column === undefined ? null : this.headerOf(column),
        found: found ?? null,
        taken: taken ?? null,
        message,
        ...(remedy === undefined ? {} : {remedy}),
      }),
    );
  }

  /** The header a column was read from, or its own name. */
  headerOf(column: string): string {
    const cell = this.cellOf.get(column);
    return cell === undefined ? column : (this.sheet.header[cell] ?? column);
  }

  /** The cell as it stands in the file; null where it is empty or the file has no such column. */
  raw(column: string, row: number): string | null {
    const cell = this.cellOf.get(column);
    const words = cell === undefined ? undefined : this.sheet.cells[cell];
    const code = words?.codes[row] ?? -1;
    return code < 0 ? null : (words?.words[code] ?? null);
  }

  /** The cells of a column with outer spaces gone; codes are those of the sheet. */
  trimmed(cell: number): Words {
    const {codes, words} = this.sheet.cells[cell]!;
    return {codes, words: words.map((word) => word.trim())};
  }

  /**
   * Tells about the cells of a column that `concerns` picks: each row by itself where they are the exception, once for
   * the column where they are its habit.
   */
  tellEach(
    rule: RuleId,
    column: string,
    concerns: (code: number) => boolean,
    message: string,
    taken: (code: number) => string | null,
  ): void {
    const cell = this.cellOf.get(column);
    const words = cell === undefined ? undefined : this.sheet.cells[cell];
    if (words === undefined) return;
    const concerned = words.words.map((_, code) => concerns(code));
    if (!concerned.includes(true)) return;
    let filled = 0;
    const rows: number[] = [];
    words.codes.forEach((code, row) => {
      if (code < 0) return;
      ++filled;
      if (concerned[code]) rows.push(row);
    });
    if (rows.length > HABIT_ROWS && rows.length > filled * HABIT_SHARE) {
      const code = words.codes[rows[0]!]!;
      this.note(rule, {
        column,
        found: words.words[code]!,
        taken: taken(code),
        message: `${message} (${rows.length} rows)`,
      });
    } else {
      for (const row of rows) this.tell(rule, row, {column, taken: taken(words.codes[row]!), message});
    }
  }

  text(column: string, row: number): string | null {
    const words = this.texts.get(column);
    const code = words?.codes[row] ?? -1;
    return code < 0 ? null : (words?.words[code] ?? null);
  }

  number(column: string, row: number): number {
    return this.numbers.get(column)?.[row] ?? NaN;
  }

  required(column: string): boolean {
    return this.specs[column]?.required === true;
  }

  /** How many rows ended in each state. */
  counts(): Record<RowState, number> {
    const counts: Record<RowState, number> = {accepted: 0, repaired: 0, held: 0, "set aside": 0};
    for (const rank of this.state) ++counts[ROW_STATES[rank]!];
    return counts;
  }
}
