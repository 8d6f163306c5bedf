/** The cells of a column at the named rows, in that order, in a column of the same kind. */
export function taken<T extends Float64Array | Int32Array | Uint8Array>(column: T, rows: Int32Array): T {
  const result = (
    column instanceof Float64Array
      ? new Float64Array(rows.length)
      : column instanceof Int32Array
        ? new Int32Array(rows.length)
        : new Uint8Array(rows.length)
  ) as T;
  for (let i = 0; i < rows.length; i++) result[i] = column[rows[i]!]!;
  return result;
}
