/**
 * i ** shape for whole i and many shapes. The conditions of a component share the shapes of its parameter draws, and a
 * cumulative hazard at a grid age is (i · step / scale) ** shape = (step / scale) ** shape · i ** shape, so the powers are
 * worked out once for all of its rows.
 */
export class AgePowers {
  readonly #shapes: Float64Array;
  #width = 0;
  #table = new Float64Array(0);

  constructor(shapes: Float64Array) {
    this.#shapes = shapes;
  }

  /** Row-major [shape × width] with at least `ages` columns; column i holds i ** shape. */
  upTo(ages: number): {readonly table: Float64Array; readonly width: number} {
    if (ages > this.#width) this.#grow(Math.max(ages, Math.ceil(1.5 * this.#width)));
    return {table: this.#table, width: this.#width};
  }

  #grow(width: number): void {
    const table = new Float64Array(this.#shapes.length * width);
    const logs = Float64Array.from({length: width}, (_, i) => Math.log(i));
    for (let d = 0; d < this.#shapes.length; d++) {
      const shape = this.#shapes[d]!;
      for (let i = 1; i < width; i++) table[d * width + i] = Math.exp(shape * logs[i]!);
    }
    this.#table = table;
    this.#width = width;
  }
}
