/**
 * What a reader of logs must be told about a row: nothing is dropped, repaired or doubted in silence.
 */

/**
 * What became of the row.
 * - `repaired`: used, after the named change
 * - `set aside`: not used, until someone mends it
 * - `asked`: held until a person answers a question about it
 * - `doubted`: used as it is, but look at it
 */
export type FindingKind = "repaired" | "set aside" | "asked" | "doubted";

/** A row as it stands in its file, to be looked at beside another one. */
export interface RowShown {
  readonly file: string;
  readonly line: number;
  /** our column and the text of its cell; empty cells are left out */
  readonly cells: readonly (readonly [column: string, text: string])[];
}

export interface Finding {
  readonly kind: FindingKind;
  /** short stable name of the rule, e.g. `date-order`, for grouping and for tests */
  readonly rule: string;
  /** file name as given, never a path of the machine */
  readonly file: string;
  /** 1-based line of the file (the header is line 1); null when it concerns the whole file */
  readonly line: number | null;
  /** column name as it stands in the file; null when it concerns the whole row */
  readonly column: string | null;
  /** the text found, verbatim; null when there is none */
  readonly found: string | null;
  /** what it was taken for, in words; null when it was not taken */
  readonly taken: string | null;
  /** one plain sentence: what is wrong */
  readonly message: string;
  /** one plain sentence: how to mend it */
  readonly remedy: string;
  /** where rows speak against each other: the row itself first, then the others */
  readonly rows?: readonly RowShown[];
}

/** How many rows of one file went where; `read` equals the sum of the other four. */
export interface RowCount {
  readonly file: string;
  readonly log: "runs" | "rebuilds" | "lives" | "unknown";
  readonly read: number;
  readonly accepted: number;
  readonly repaired: number;
  readonly held: number;
  readonly setAside: number;
}
