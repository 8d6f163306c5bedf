/** Rows of several drafts in one order: of millions of rows, numbers are kept and no objects. */
import type {Draft} from "./draft.ts";

/** A row of one of the drafts. */
export interface RowRef {
  readonly draft: Draft;
  readonly row: number;
}

export class RowRefs {
  readonly drafts: readonly Draft[];
  /** index into `drafts` */
  readonly of: Uint32Array;
  readonly row: Int32Array;

  constructor(drafts: readonly Draft[], of: Uint32Array, row: Int32Array) {
    this.drafts = drafts;
    this.of = of;
    this.row = row;
  }

  get length(): number {
    return this.row.length;
  }

  at(i: number): RowRef {
    return {draft: this.drafts[this.of[i]!]!, row: this.row[i]!};
  }

  *[Symbol.iterator](): Generator<RowRef, void> {
    for (let i = 0; i < this.length; ++i) yield this.at(i);
  }

  /** A number column in the order of the rows; NaN where it is missing. */
  numbers(name: string): Float64Array {
    const columns = this.drafts.map((draft) => draft.numbers.get(name));
    const values = new Float64Array(this.length);
    for (let i = 0; i < values.length; ++i) values[i] = columns[this.of[i]!]?.[this.row[i]!] ?? NaN;
    return values;
  }

  /** A text column in the order of the rows, with one dictionary for all drafts. */
  words(name: string): {readonly codes: Int32Array; readonly words: readonly string[]} {
    const words: string[] = [];
    const index = new Map<string, number>();
    const columns = this.drafts.map((draft) => draft.texts.get(name));
    const maps = columns.map((column) => new Int32Array(column?.words.length ?? 0).fill(-1));
    const codes = new Int32Array(this.length).fill(-1);
    for (let i = 0; i < codes.length; ++i) {
      const draft = this.of[i]!;
      const column = columns[draft];
      if (column === undefined) continue;
      const code = column.codes[this.row[i]!]!;
      if (code < 0) continue;
      const map = maps[draft]!;
      let merged = map[code]!;
      if (merged < 0) {
        // only words that a row in use holds are kept
        const word = column.words[code]!;
        const known = index.get(word);
        merged = known ?? words.length;
        if (known === undefined) {
          index.set(word, merged);
          words.push(word);
        }
        map[code] = merged;
      }
      codes[i] = merged;
    }
    return {codes, words};
  }
}

/** A number for each row that rows of the same texts in all these columns share; numbers are dense from 0. */
export function groupsOf(refs: RowRefs, names: readonly string[]): {readonly of: Int32Array; readonly count: number} {
  let of = new Int32Array(refs.length);
  let count = 1;
  for (const name of names) {
    const {codes, words} = refs.words(name);
    const width = words.length + 1;
    const dense = new Map<number, number>();
    const next = new Int32Array(refs.length);
    for (let i = 0; i < next.length; ++i) {
      const key = of[i]! * width + codes[i]! + 1;
      let number = dense.get(key);
      if (number === undefined) {
        number = dense.size;
        dense.set(key, number);
      }
      next[i] = number;
    }
    of = next;
    count = dense.size;
  }
  return {of, count};
}
