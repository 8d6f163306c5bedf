/** Typed columns that grow row by row and are cut to length at the end. */

type Numbers = Float64Array | Int32Array | Uint8Array;
type Kind = "number" | "code" | "small";
type ColumnOfKind<K extends Kind> = K extends "number" ? Float64Array : K extends "code" ? Int32Array : Uint8Array;
type Kinds = Readonly<Record<string, Kind>>;

export type ColumnsOfKinds<S extends Kinds> = {[K in keyof S]: ColumnOfKind<S[K]>};

/**
 * The caller writes a row itself, cell by cell (`const {columns} = table; const row = table.add(); columns.age[row] = …`):
 * with millions of rows a generic `push(row)` costs more than all the rest. `columns` must be read after `add`, which may
 * have replaced the arrays.
 */
export class GrowingColumns<S extends Kinds> {
  readonly columns: ColumnsOfKinds<S>;
  readonly #kinds: S;
  #rows = 0;
  #room = 1024;

  constructor(kinds: S) {
    this.#kinds = kinds;
    this.columns = this.#made(() => null);
  }

  get rows(): number {
    return this.#rows;
  }

  /** Adds a row of zeros and returns its number. */
  add(): number {
    if (this.#rows === this.#room) {
      this.#room *= 2;
      Object.assign(
        this.columns,
        this.#made((name) => this.columns[name] ?? null),
      );
    }
    return this.#rows++;
  }

  /** The column as it stands, cut to length (a view, no copy). */
  column<K extends keyof S>(name: K): ColumnOfKind<S[K]> {
    return this.columns[name].subarray(0, this.#rows) as ColumnOfKind<S[K]>;
  }

  #made(old: (name: string) => Numbers | null): ColumnsOfKinds<S> {
    return Object.fromEntries(
      Object.entries(this.#kinds).map(([name, kind]) => {
        const column = made(kind, this.#room);
        const before = old(name);
        if (before !== null) column.set(before);
        return [name, column];
      }),
    ) as ColumnsOfKinds<S>;
  }
}

function made(kind: Kind, length: number): Numbers {
  return kind === "number"
    ? new Float64Array(length)
    : kind === "code"
      ? new Int32Array(length)
      : new Uint8Array(length);
}
