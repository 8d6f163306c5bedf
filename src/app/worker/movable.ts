/**
 * A copy to be moved to another thread, with the buffers to move. A message that is only cloned writes every table into one
 * more buffer and reads it out again: for large logs that is as much memory again, twice.
 */
export interface Movable<T> {
  readonly value: T;
  readonly buffers: ArrayBuffer[];
}

/** Tables are copied, once each, and texts shared until they are cloned; what is one object in `value` is one in the copy. */
export function movable<T>(value: T): Movable<T> {
  const buffers: ArrayBuffer[] = [];
  const copies = new Map<object, object>();
  const copyOf = (part: unknown): unknown => {
    if (typeof part !== "object" || part === null) return part;
    const known = copies.get(part);
    if (known !== undefined) return known;
    if (isTable(part)) {
      const copy = part.slice();
      copies.set(part, copy);
      buffers.push(copy.buffer);
      return copy;
    }
    if (!isRecord(part)) return part; // arrays of texts, maps and the like are left to the clone
    const copy: Record<string, unknown> = {};
    copies.set(part, copy);
    for (const [name, inside] of Object.entries(part)) copy[name] = copyOf(inside);
    return copy;
  };
  return {value: copyOf(value) as T, buffers};
}

type Table = Float64Array<ArrayBuffer> | Int32Array<ArrayBuffer> | Uint8Array<ArrayBuffer>;

function isTable(part: object): part is Table {
  return ArrayBuffer.isView(part) && !(part instanceof DataView);
}

function isRecord(part: object): part is Readonly<Record<string, unknown>> {
  return Object.getPrototypeOf(part) === Object.prototype;
}
