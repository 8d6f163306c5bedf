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
  /**
   * pairs of a hash and an entry's number plus 1, 0 where the slot is free: side by side, since a large table is not in any
   * cache. Open addressing, so that nothing is made for a cell
   */
  #slots = new Int32Array(128);
  /** bytes of all distinct cells in turn */
  #bytes = new Uint8Array(512);
  /** where each entry's bytes begin; one more than there are entries */
  #begins = new Int32Array(33);
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
    const slots = this.#slots;
    const mask = slots.length - 2;
    for (let slot = firstSlot(hash, mask); ; slot = (slot + 2) & mask) {
      const entry = slots[slot + 1]! - 1;
      if (entry < 0) return this.#add(bytes, start, end, hash, slot);
      if (slots[slot] === hash && this.#isEntry(entry, bytes, start, end)) return entry;
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
    if (entry === this.#codeOf.length) {
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
    this.#slots[slot] = hash;
    this.#slots[slot + 1] = entry + 1;
    this.#codeOf[entry] = this.#isBlank(begin, behind) ? -1 : this.#words++;
    if (this.#entries > (this.#slots.length / 2) * FULL) this.#spread();
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
    const old = this.#slots;
    const slots = new Int32Array(2 * old.length);
    const mask = slots.length - 2;
    for (let from = 0; from < old.length; from += 2) {
      if (old[from + 1] === 0) continue;
      let slot = firstSlot(old[from]!, mask);
      while (slots[slot + 1] !== 0) slot = (slot + 2) & mask;
      slots[slot] = old[from]!;
      slots[slot + 1] = old[from + 1]!;
    }
    this.#slots = slots;
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

/** The lower bits of the hash are its poorer ones. */
function firstSlot(hash: number, mask: number): number {
  return ((hash ^ (hash >>> 15)) << 1) & mask;
}

function widened<T extends Int32Array | Uint8Array>(old: T, wider: T): T {
  wider.set(old);
  return wider;
}
