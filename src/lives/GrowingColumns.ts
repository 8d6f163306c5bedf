/** Typed columns that grow row by row and are cut to length at the end. */

type Numbers = Float64Array | Int32Array | Uint8Array;
type Kind = "number" | "code" | "small";
type ColumnOfKind<K extends Kind> = K extends "number" ? Float64Array : K extends "code" ? Int32Array : Uint8Array;

export class GrowingColumns<S extends Readonly<Record<string, Kind>>> {
  readonly #names: readonly (keyof S & string)[];
  readonly #columns: Record<string, Numbers>;
  #rows = 0;
  #room = 1024;

  constructor(kinds: S) {
    this.#names = Object.keys(kinds);
    this.#columns = Object.fromEntries(this.#names.map((name) => [name, made(kinds[name]!, this.#room)]));
  }

  get rows(): number {
    return this.#rows;
  }

  /** Adds a row and returns its number. */
  push(row: {readonly [K in keyof S]: number}): number {
    if (this.#rows === this.#room) this.#grow();
    for (const name of this.#names) this.#columns[name]![this.#rows] = row[name];
    return this.#rows++;
  }

  /** The column as it stands, cut to length (a view, no copy). */
  column<K extends keyof S & string>(name: K): ColumnOfKind<S[K]> {
    return this.#columns[name]!.subarray(0, this.#rows) as ColumnOfKind<S[K]>;
  }

  #grow(): void {
    this.#room *= 2;
    for (const name of this.#names) {
      const column = this.#columns[name]!;
      const wider = sized(column, this.#room);
      wider.set(column);
      this.#columns[name] = wider;
    }
  }
}

function made(kind: Kind, length: number): Numbers {
  return kind === "number"
    ? new Float64Array(length)
    : kind === "code"
      ? new Int32Array(length)
      : new Uint8Array(length);
}

function sized(like: Numbers, length: number): Numbers {
  return like instanceof Float64Array
    ? new Float64Array(length)
    : like instanceof Int32Array
      ? new Int32Array(length)
      : new Uint8Array(length);
}
