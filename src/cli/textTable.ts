/** Columns lined up for a terminal. Numbers are right-aligned; a missing value is a dash. */

export interface TextColumn {
  readonly label: string;
  readonly values: readonly (string | number | null)[];
}

export function textTable(columns: readonly TextColumn[]): string {
  const drawn = columns.map(({label, values}) => {
    const right = values.some((value) => typeof value === "number");
    const cells = [label, ...values.map((value) => (value === null ? "–" : String(value)))];
    const width = Math.max(...cells.map((cell) => cell.length));
    return cells.map((cell) => (right ? cell.padStart(width) : cell.padEnd(width)));
  });
  const rows = drawn[0]?.length ?? 0;
  return Array.from({length: rows}, (_, row) =>
    drawn
      .map((cells) => cells[row])
      .join("  ")
      .trimEnd(),
  ).join("\n");
}

/** Four significant digits, without a needless exponent; null where there is none. */
export function digits(value: number | null, significant = 4): string | null {
  if (value === null || !Number.isFinite(value)) return null;
  const rounded = Number(value.toPrecision(significant));
  return Math.abs(rounded) >= 1e-4 && Math.abs(rounded) < 1e9 ? String(rounded) : rounded.toExponential(2);
}

/** "180 to 250"; an end that does not exist is said in words. */
export function limitsText([lower, upper]: readonly [number | null, number | null], significant = 4): string {
  if (lower === null && upper === null) return "no limits";
  if (upper === null) return `${digits(lower, significant)} or more`;
  if (lower === null) return `up to ${digits(upper, significant)}`;
  return `${digits(lower, significant)} to ${digits(upper, significant)}`;
}
