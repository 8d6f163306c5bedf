/** What every import must keep, whatever comes in. */
import {expect} from "vitest";
import {REBUILD_COLUMNS, RUN_COLUMNS} from "../../shared/columns.ts";
import type {Logs} from "../../src/logs/index.ts";
import {addsUp} from "./logFiles.ts";

/** What holds for every import. */
export function holds({runs, rebuilds, findings, counts}: Logs): void {
  expect(counts.every(addsUp)).toBe(true);
  const used = counts.reduce((sum, {accepted, repaired}) => sum + accepted + repaired, 0);
  expect(runs.rows + rebuilds.rows).toBe(used);
  for (const [table, specs] of [
    [runs, RUN_COLUMNS],
    [rebuilds, REBUILD_COLUMNS],
  ] as const) {
    expect(table.line).toHaveLength(table.rows);
    for (const [name, spec] of Object.entries(specs)) {
      const column = table.columns[name as keyof typeof table.columns] as unknown as {
        length?: number;
        codes?: Int32Array;
      };
      expect(column.codes?.length ?? column.length, name).toBe(table.rows);
      // a row that is used has what its log requires
      if ("required" in spec && column.codes !== undefined)
        expect(
          [...column.codes].every((code) => code >= 0),
          name,
        ).toBe(true);
      if ("required" in spec && column instanceof Float64Array)
        expect(
          [...column].every((value) => Number.isFinite(value)),
          name,
        ).toBe(true);
      if (column instanceof Float64Array)
        expect(
          [...column].some((value) => value === Infinity || value === -Infinity),
          name,
        ).toBe(false);
    }
  }
  // whatever is not used says why
  for (const {file, held, setAside} of counts) {
    if (held + setAside > 0)
      expect(findings.some((finding) => finding.file === file && finding.kind !== "repaired")).toBe(true);
  }
}

/** How many times more runs than usual, when someone tries long by hand. */
export const LONG = process.env["FUZZ_RUNS"] === undefined ? 1 : Number(process.env["FUZZ_RUNS"]);
