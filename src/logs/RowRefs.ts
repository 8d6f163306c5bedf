/** Rows of several drafts in one order: of millions of rows, numbers are kept and no objects. */
import type {Words} from "../../shared/columnar.ts";
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
  /** columns that were asked for: several checks look at the same, and the table takes them */
  readonly #words = new Map<string, Words>();
  readonly #numbers = new Map<string, Float64Array>();
  #slots: Groups | null = null;

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
    const known = this.#numbers.get(name);
    if (known !== undefined) return known;
    const values = new Float64Array(this.length).fill(NaN);
    this.drafts.forEach((draft, at) => {
      const column = draft.numbers.get(name);
      if (column === undefined) return;
      for (let i = 0; i < values.length; ++i) if (this.of[i] === at) values[i] = column[this.row[i]!]!;
    });
    this.#numbers.set(name, values);
    return values;
  }

  /** A text column in the order of the rows, with one dictionary for all drafts. */
  words(name: string): Words {
    const known = this.#words.get(name);
    if (known !== undefined) return known;
    const dictionary = new SharedDictionary();
    const codes = new Int32Array(this.length).fill(-1);
    this.drafts.forEach((draft, at) => {
      const column = draft.texts.get(name);
      if (column === undefined) return;
      const own = column.codes;
      const shared = new Int32Array(column.words.length).fill(-1);
      dictionary.begin();
      for (let i = 0; i < codes.length; ++i) {
        if (this.of[i] !== at) continue;
        const code = own[this.row[i]!]!;
        if (code < 0) continue;
        if (shared[code]! < 0) shared[code] = dictionary.code(column.words[code]!);
        codes[i] = shared[code]!;
      }
    });
    const words = {codes, words: dictionary.words};
    this.#words.set(name, words);
    return words;
  }

  /** A text column was changed: it is read from the drafts again. */
  changed(name: string): void {
    this.#words.delete(name);
  }

  /** A number for each row that rows of the same place of a part share. Rows of a rebuild log only. */
  get slots(): Groups {
    this.#slots ??= groupsOf(["tool", "component", "position"].map((name) => this.words(name)));
    return this.#slots;
  }
}

/** One dictionary for the columns of several drafts; only words that a row in use holds come into it. */
class SharedDictionary {
  readonly words: string[] = [];
  #index: Map<string, number> | null = null;

  /** Before the words of each column, which differ among themselves: those of the first need no looking up. */
  begin(): void {
    if (this.words.length > 0) this.#index ??= new Map(this.words.map((word, code) => [word, code]));
  }

  code(word: string): number {
    const known = this.#index?.get(word);
    if (known !== undefined) return known;
    const code = this.words.push(word) - 1;
    this.#index?.set(word, code);
    return code;
  }
}

/** Rows put together; numbers are dense from 0. */
export interface Groups {
  readonly of: Int32Array;
  readonly count: number;
}

/** Up to so many pairs are numbered in a table; more are looked up. */
const MOST_TABLED = 1 << 22;

/** A number for each row that rows of the same texts in all these columns share, in the order in which they come. */
function groupsOf(columns: readonly Words[]): Groups {
  let of = new Int32Array(columns[0]?.codes.length ?? 0);
  let count = 1;
  for (const {codes, words} of columns) {
    const width = words.length + 1;
    const number = numbering(count * width);
    const next = new Int32Array(of.length);
    for (let i = 0; i < next.length; ++i) next[i] = number.of(of[i]! * width + codes[i]! + 1);
    of = next;
    count = number.count();
  }
  return {of, count};
}

/** Numbers keys in the order in which they come. */
function numbering(keys: number): {of(key: number): number; count(): number} {
  let count = 0;
  if (keys <= MOST_TABLED) {
    const table = new Int32Array(keys).fill(-1);
    return {
      of: (key) => (table[key]! >= 0 ? table[key]! : (table[key] = count++)),
      count: () => count,
    };
  }
  const known = new Map<number, number>();
  return {
    of: (key) => {
      const number = known.get(key);
      if (number !== undefined) return number;
      known.set(key, count);
      return count++;
    },
    count: () => count,
  };
}
