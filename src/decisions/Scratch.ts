/**
 * Arrays that one computation after another writes over. A sheet prices a hundred rows, each with tables of a megabyte
 * that nobody wants afterwards; made anew every time, clearing them away costs as much as the pricing.
 */
export class Scratch {
  readonly #kept = new Map<string, Float64Array>();

  /** An array of a length, filled with whatever the last user left; the next call with the same name writes over it. */
  array(name: string, length: number): Float64Array {
    const kept = this.#kept.get(name);
    if (kept !== undefined && kept.length >= length) return kept.subarray(0, length);
    const wider = new Float64Array(Math.ceil(1.3 * length));
    this.#kept.set(name, wider);
    return wider.subarray(0, length);
  }
}
