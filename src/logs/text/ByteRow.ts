/** One record of a CSV file, found in its bytes without making a text of any cell. */
import {HASH_PRIME, HASH_SEED} from "./hash.ts";

const QUOTE = 34;
const LF = 10;
const CR = 13;

/** Cells of the widest record that is read so. */
const MOST_CELLS = 1024;

export class ByteRow {
  /** first byte of each cell, quotes left out; as far as `count` */
  readonly starts = new Int32Array(MOST_CELLS);
  /** byte behind the last of each cell, quotes left out */
  readonly ends = new Int32Array(MOST_CELLS);
  /** of the bytes of each cell, after `hashOf` */
  readonly hashes = new Int32Array(MOST_CELLS);
  count = 0;
  /** where the next record begins */
  next = 0;

  /**
   * Reads the record that begins at `at`, if it is a plain one: on one line, with quotes only around whole cells and
   * none inside. False: what it is takes looking at the text, by `scanCsv`, which reads plain records alike.
   */
  read(bytes: Uint8Array, at: number, delimiter: number): boolean {
    const {starts, ends, hashes} = this;
    const {length} = bytes;
    for (let count = 0; count < MOST_CELLS; ++count) {
      let hash = HASH_SEED;
      let code = at < length ? bytes[at]! : LF;
      if (code === QUOTE) {
        starts[count] = ++at;
        for (; ; ++at) {
          if (at >= length) return false;
          code = bytes[at]!;
          if (code === QUOTE) break;
          if (code === LF || code === CR) return false;
          hash = Math.imul(hash ^ code, HASH_PRIME);
        }
        ends[count] = at++;
        code = at < length ? bytes[at]! : LF;
        if (code !== delimiter && code !== LF && code !== CR) return false;
      } else {
        starts[count] = at;
        while (code !== delimiter && code !== LF && code !== CR) {
          hash = Math.imul(hash ^ code, HASH_PRIME);
          code = ++at < length ? bytes[at]! : LF;
        }
        ends[count] = at;
      }
      hashes[count] = hash;
      ++at;
      if (code === delimiter) continue;
      if (code === CR && bytes[at] === LF) ++at;
      this.count = count + 1;
      this.next = Math.min(at, length);
      return true;
    }
    return false;
  }
}
