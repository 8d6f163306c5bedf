/**
 * Collects the cells of a column; equal cells share one dictionary entry. Cells come as bytes and are told apart as bytes: a
 * text is made of each distinct one only, when all are in. Nothing holds on to the file they came from.
 */
import type {Words} from "../../../shared/columnar.ts";
import {hashOf} from "./hash.ts";

/** Numbers that a slot of the hash table holds. */
const SLOT = 4;

/** Share of the slots that may be taken. */
const FULL = 0.5;

export class CellWords {
  #codes = new Int32Array(64);
  #length = 0;
  /**
   * open addressing: of each slot the hash, the entry's number plus 1 (0: free), and where its bytes begin and end. Side by
   * side, since a large table is in no cache and every look elsewhere waits for memory
   */
  #slots = new Int32Array(64 * SLOT);
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
    const own = this.#bytes;
    const last = slots.length - SLOT;
    for (let slot = firstSlot(hash, last); ; slot = (slot + SLOT) & last) {
      const entry = slots[slot + 1]! - 1;
      if (entry < 0) return this.#add(bytes, start, end, hash, slot);
      if (slots[slot] !== hash) continue;
      let at = slots[slot + 2]!;
      if (slots[slot + 3]! - at !== end - start) continue;
      let i = start;
      for (; i < end && own[at] === bytes[i]; ++i) ++at;
      if (i === end) return entry;
    }
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
    this.#slots[slot + 2] = begin;
    this.#slots[slot + 3] = behind;
    this.#codeOf[entry] = this.#isBlank(begin, behind) ? -1 : this.#words++;
    if (this.#entries > (this.#slots.length / SLOT) * FULL) this.#spread();
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
    const last = slots.length - SLOT;
    for (let from = 0; from < old.length; from += SLOT) {
      if (old[from + 1] === 0) continue;
      let slot = firstSlot(old[from]!, last);
      while (slots[slot + 1] !== 0) slot = (slot + SLOT) & last;
      for (let i = 0; i < SLOT; ++i) slots[slot + i] = old[from + i]!;
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

/** The lower bits of the hash are its poorer ones. @param last first number of the last slot: a mask of whole slots */
function firstSlot(hash: number, last: number): number {
  return ((hash ^ (hash >>> 15)) * SLOT) & last;
}

function widened<T extends Int32Array | Uint8Array>(old: T, wider: T): T {
  wider.set(old);
  return wider;
}
