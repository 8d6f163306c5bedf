/**
 * Collects the cells of a column; equal cells share one dictionary entry. Cells come as bytes and are told apart as bytes: a
 * text is made of each distinct one only, when all are in. Nothing holds on to the file they came from.
 */
import type {Words} from "../../../shared/columnar.ts";
import {hashOf} from "./hash.ts";

/** Share of the slots of the hash table that may be taken. */
const FULL = 0.5;

export class CellWords {
  #codes = new Int32Array(64);
  #length = 0;
  /** of each distinct cell, the entry behind; 0: free. Open addressing, so that nothing is made for a cell */
  #slots = new Int32Array(64);
  /** bytes of all distinct cells in turn */
  #bytes = new Uint8Array(512);
  /** where each entry's bytes begin; one more than there are entries */
  #begins = new Int32Array(33);
  #hashes = new Int32Array(32);
  /** of each entry; -1 for cells of blanks */
  #codeOf = new Int32Array(32);
  #entries = 0;
  #words = 0;
  #ascii = true;
  #scratch = new Uint8Array(192);
  readonly #encoder = new TextEncoder();

  /** A cell as bytes in UTF-8 with their hash; an empty or blank one is missing. */
  push(bytes: Uint8Array, start: number, end: number, hash: number): void {
    if (this.#length === this.#codes.length) this.#codes = widened(this.#codes, new Int32Array(2 * this.#length));
    let code = -1;
    if (start !== end) {
      const entry = this.#entryOf(bytes, start, end, hash); // may make the arrays anew
      code = this.#codeOf[entry]!;
    }
    this.#codes[this.#length++] = code;
  }

  pushText(text: string): void {
    const most = text.length * 3;
    if (most > this.#scratch.length) this.#scratch = new Uint8Array(2 * most);
    const {written} = this.#encoder.encodeInto(text, this.#scratch);
    this.push(this.#scratch, 0, written, hashOf(this.#scratch, 0, written));
  }

  build(): Words {
    return {codes: this.#codes.slice(0, this.#length), words: this.#texts()};
  }

  #entryOf(bytes: Uint8Array, start: number, end: number, hash: number): number {
    const mask = this.#slots.length - 1;
    const hashes = this.#hashes;
    // the lower bits of the hash are its poorer ones
    for (let slot = (hash ^ (hash >>> 15)) & mask; ; slot = (slot + 1) & mask) {
      const entry = this.#slots[slot]! - 1;
      if (entry < 0) return this.#add(bytes, start, end, hash, slot);
      if (hashes[entry] === hash && this.#isEntry(entry, bytes, start, end)) return entry;
    }
  }

  #isEntry(entry: number, bytes: Uint8Array, start: number, end: number): boolean {
    const own = this.#bytes;
    let at = this.#begins[entry]!;
    if (this.#begins[entry + 1]! - at !== end - start) return false;
    for (let i = start; i < end; ++i, ++at) if (own[at] !== bytes[i]) return false;
    return true;
  }

  #add(bytes: Uint8Array, start: number, end: number, hash: number, slot: number): number {
    const entry = this.#entries++;
    if (entry === this.#hashes.length) {
      this.#hashes = widened(this.#hashes, new Int32Array(2 * entry));
      this.#codeOf = widened(this.#codeOf, new Int32Array(2 * entry));
      this.#begins = widened(this.#begins, new Int32Array(2 * entry + 1));
    }
    const begin = this.#begins[entry]!;
    const behind = begin + end - start;
    if (behind > this.#bytes.length) {
      this.#bytes = widened(this.#bytes, new Uint8Array(Math.max(2 * this.#bytes.length, behind)));
    }
    this.#bytes.set(bytes.subarray(start, end), begin);
    this.#begins[entry + 1] = behind;
    this.#hashes[entry] = hash;
    this.#slots[slot] = entry + 1;
    this.#codeOf[entry] = this.#isBlank(begin, behind) ? -1 : this.#words++;
    if (this.#entries > this.#slots.length * FULL) this.#spread();
    return entry;
  }

  /** Notes too whether all bytes are ASCII. */
  #isBlank(from: number, to: number): boolean {
    const bytes = this.#bytes;
    let ascii = true;
    let blank = true;
    for (let i = from; i < to; ++i) {
      if (bytes[i]! > 127) ascii = false;
      else if (bytes[i]! > 32) blank = false;
    }
    if (!ascii) this.#ascii = false;
    // rare: what counts as blank, besides the plain ones, is the language's own business
    return blank && new TextDecoder().decode(bytes.subarray(from, to)).trim() === "";
  }

  #spread(): void {
    this.#slots = new Int32Array(2 * this.#slots.length);
    const mask = this.#slots.length - 1;
    for (let entry = 0; entry < this.#entries; ++entry) {
      const hash = this.#hashes[entry]!;
      let slot = (hash ^ (hash >>> 15)) & mask;
      while (this.#slots[slot] !== 0) slot = (slot + 1) & mask;
      this.#slots[slot] = entry + 1;
    }
  }

  #texts(): string[] {
    const decoder = new TextDecoder("utf-8", {ignoreBOM: true});
    const begins = this.#begins;
    const words: string[] = [];
    // a text per character of ASCII: cut from one text for all, at the places that the bytes have
    const all = this.#ascii ? decoder.decode(this.#bytes.subarray(0, begins[this.#entries])) : null;
    for (let entry = 0; entry < this.#entries; ++entry) {
      if (this.#codeOf[entry]! < 0) continue;
      const [from, to] = [begins[entry]!, begins[entry + 1]!];
      words.push(all === null ? decoder.decode(this.#bytes.subarray(from, to)) : all.slice(from, to));
    }
    return words;
  }
}

function widened<T extends Int32Array | Uint8Array>(old: T, wider: T): T {
  wider.set(old);
  return wider;
}
