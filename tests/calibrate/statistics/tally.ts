/** Counts of how often limits missed the truth. */
import type {Limits} from "../../../src/statistics/types.ts";

export class Tally {
  sets = 0;
  below = 0;
  above = 0;
  missing = 0;

  /** A missing end cannot miss; it is counted as such. */
  add([low, high]: Limits, truth: number): void {
    this.sets++;
    if (low === null || high === null) this.missing++;
    if (low !== null && truth < low) this.below++;
    if (high !== null && truth > high) this.above++;
  }

  /** "90.1 (4.8 / 5.1)": covered, truth below the lower limit, truth above the upper limit, in percent. */
  toString(): string {
    if (this.sets === 0) return "–";
    const percent = (count: number): string => ((100 * count) / this.sets).toFixed(1);
    const lost = this.missing > 0.005 * this.sets ? `, ${percent(this.missing)} without an end` : "";
    return `${percent(this.sets - this.below - this.above)} (${percent(this.below)} / ${percent(this.above)}${lost})`;
  }
}

/** Rows of cells in columns as wide as their widest. */
export function table(rows: readonly (readonly string[])[]): string {
  const widths = rows[0]!.map((_, c) => Math.max(...rows.map((row) => (row[c] ?? "").length)));
  return rows
    .map((row) =>
      row
        .map((cell, c) => cell.padEnd(widths[c]!))
        .join("  ")
        .trimEnd(),
    )
    .join("\n");
}
