/**
 * Columns as the whole program passes them: typed arrays for numbers, dates and flags,
 * dictionary codes for text. There are no arrays of row objects on the main path.
 *
 * Missing is NaN in a number or date column, -1 in a flag column and code -1 in a text column.
 */

/** A dictionary-encoded text column: row i reads `words[codes[i]]`; code -1 is missing. */
export interface Words {
  readonly codes: Int32Array;
  readonly words: readonly string[];
}

/** What one column holds. Dates are milliseconds since 1970-01-01 UTC. Flags are 1, 0 or -1 (missing). */
export type ColumnType = "text" | "number" | "date" | "flag";

export interface ColumnShape {
  readonly type: ColumnType;
}

type ColumnOf<T extends ColumnType> = T extends "text" ? Words : T extends "flag" ? Int8Array : Float64Array;

/** The columns that a definition (name → shape) describes. */
export type ColumnsOf<S extends Readonly<Record<string, ColumnShape>>> = {
  readonly [K in keyof S]: ColumnOf<S[K]["type"]>;
};

/** The text in a row, or null where it is missing. */
export function wordAt(column: Words, row: number): string | null {
  const code = column.codes[row] ?? -1;
  return code < 0 ? null : (column.words[code] ?? null);
}

/** Collects the text of a column row by row; equal texts share one dictionary entry. */
export class WordsBuilder {
  #codes = new Int32Array(64);
  #length = 0;
  #last = "";
  #lastCode = -1;
  readonly #words: string[] = [];
  readonly #index = new Map<string, number>();

  get length(): number {
    return this.#length;
  }

  push(text: string | null): void {
    if (this.#length === this.#codes.length) {
      const wider = new Int32Array(2 * this.#length);
      wider.set(this.#codes);
      this.#codes = wider;
    }
    this.#codes[this.#length++] = text === null ? -1 : this.#codeOf(text);
  }

  build(): Words {
    return {codes: this.#codes.slice(0, this.#length), words: [...this.#words]};
  }

  #codeOf(text: string): number {
    // rows of a log repeat the cell above
    if (text === this.#last && this.#lastCode >= 0) return this.#lastCode;
    let code = this.#index.get(text);
    if (code === undefined) {
      code = this.#words.length;
      const own = ownText(text);
      this.#words.push(own);
      this.#index.set(own, code);
    }
    this.#last = text;
    this.#lastCode = code;
    return code;
  }
}

/** Shorter pieces of a text are copied by every engine; longer ones may hold on to the whole text they were cut from. */
const SHORT = 13;

/** A text that stands for itself, so that a file of megabytes is not kept for a few of its words. */
function ownText(text: string): string {
  if (text.length < SHORT || text.length > 1000) return text;
  const codes: number[] = [];
  for (let i = 0; i < text.length; ++i) codes.push(text.charCodeAt(i));
  return String.fromCharCode(...codes);
}

/** The column of the given texts, one a row. */
export function wordsOf(texts: Iterable<string | null>): Words {
  const builder = new WordsBuilder();
  for (const text of texts) builder.push(text);
  return builder.build();
}

/** The rows of a column named by `rows`, in that order; the dictionary is kept whole. */
export function takeWords({codes, words}: Words, rows: Int32Array): Words {
  return {codes: rows.map((row) => codes[row] ?? -1), words};
}
