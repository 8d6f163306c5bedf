/**
 * CSV bytes to records. Plain records, as nearly all are, are cut up as bytes; the others are read as text, together with
 * some that follow, since one that takes a second look is seldom alone.
 */
import {ByteRow} from "./ByteRow.ts";
import {LONGEST_CELL, scanCsv, type ScanTarget} from "./scanCsv.ts";

export interface RecordTarget extends ScanTarget {
  /** Takes a plain record as bytes, or says with false that it wants it as text. */
  plain(bytes: Uint8Array, row: ByteRow, line: number): boolean;
  /** number of cells a record should have */
  width(): number;
}

/** Where a reading stands: the next byte and its line. */
export interface BytePlace {
  readonly at: number;
  readonly line: number;
}

/** Bytes read as text when a record is not plain: more than the longest cell. */
const SHORTEST_TEXT = 4 * LONGEST_CELL;
const LONGEST_TEXT = 128 * LONGEST_CELL;

export class RecordReader {
  readonly #bytes: Uint8Array;
  readonly #delimiter: string;
  readonly #target: RecordTarget;
  readonly #row = new ByteRow();
  readonly #decoder = new TextDecoder("utf-8", {ignoreBOM: true});
  readonly #encoder = new TextEncoder();
  #at: number;
  #line: number;
  /** where the last text that was read ends, and how long the next will be */
  #textEnd = 0;
  #textLength = SHORTEST_TEXT;

  /** @param bytes UTF-8 */
  constructor(bytes: Uint8Array, delimiter: string, target: RecordTarget, from: BytePlace) {
    this.#bytes = bytes;
    this.#delimiter = delimiter;
    this.#target = target;
    this.#at = from.at;
    this.#line = from.line;
  }

  /** share of the bytes that are read, 0 to 1 */
  get share(): number {
    return this.#bytes.length === 0 ? 1 : this.#at / this.#bytes.length;
  }

  /** Reads at least `most` records unless the file ends before, and seldom more; gives how many lines; 0 at the end. */
  read(most: number): number {
    const bytes = this.#bytes;
    const row = this.#row;
    const target = this.#target;
    const delimiter = this.#delimiter.charCodeAt(0);
    const from = this.#line;
    while (this.#at < bytes.length && this.#line - from < most) {
      if (!row.read(bytes, this.#at, delimiter)) this.#readText();
      else {
        if (!target.plain(bytes, row, this.#line)) target.record(this.#texts(row), this.#line);
        this.#at = row.next;
        ++this.#line;
      }
    }
    return this.#line - from;
  }

  #texts({starts, ends, count}: ByteRow): string[] {
    return Array.from({length: count}, (_, i) => this.#decoder.decode(this.#bytes.subarray(starts[i], ends[i])));
  }

  #readText(): void {
    // where such records are many, longer texts waste less of their ends
    const again = this.#at - this.#textEnd < this.#textLength;
    this.#textLength = again ? Math.min(2 * this.#textLength, LONGEST_TEXT) : SHORTEST_TEXT;
    for (; ; this.#textLength *= 2) {
      const end = this.#at + this.#textLength;
      const text = this.#decoder.decode(this.#bytes.subarray(this.#at, end));
      const from = {at: 0, line: this.#line};
      const width = (): number => this.#target.width();
      const {at, line} = scanCsv(text, this.#delimiter, this.#target, width, from, Infinity, end >= this.#bytes.length);
      if (at === 0) continue; // one record is longer than the text
      this.#at += this.#encoder.encode(text.slice(0, at)).length;
      this.#line = line;
      this.#textEnd = this.#at;
      return;
    }
  }
}
