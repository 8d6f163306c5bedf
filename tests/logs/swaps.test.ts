import {describe, expect, it} from "vitest";
import {byRule, importTexts, rebuilds, runs} from "./logFiles.ts";

const DAY = 86_400_000;
const START = Date.UTC(2024, 0, 1);

function date(day: number): string {
  return new Date(START + day * DAY).toISOString().slice(0, 10);
}

/**
 * Two tools with a run every ten days (A of 30 h, B of 70 h) and a teardown every 40; the shop counts rightly. The run
 * log gives the runs of days `from` to `to` to the other tool.
 */
function logs(from: number, to: number): Record<string, string> {
  const runRows: string[] = [];
  const rebuildRows: string[] = [];
  for (const [tool, other, hours, shift] of [
    ["A", "B", 30, 0],
    ["B", "A", 70, 3],
  ] as const) {
    rebuildRows.push(`${tool}0,${tool},${date(0)},LINR,not inspected,,renewed,,`);
    for (let i = 0; i < 20; ++i) {
      const day = 2 + shift + 10 * i;
      const serial = day >= from && day < to ? other : tool;
      runRows.push(`${tool}${i},${serial},${date(day)} 00:00,${date(day + 4)} 00:00,${hours},90`);
    }
    for (let k = 1; k <= 5; ++k)
      rebuildRows.push(`${tool}${k},${tool},${date(40 * k)},LINR,good,,kept,,${hours * 4 * k}`);
  }
  return {"runs.csv": runs(...runRows), "rebuilds.csv": rebuilds(...rebuildRows)};
}

describe("importLogs(files) on serials exchanged for a while", () => {
  it("names the two tools and the runs, and explains the differences by them", async () => {
    const {findings} = await importTexts(logs(80, 130));
    const [swap, ...more] = byRule(findings, "serials-swapped");
    expect(more).toEqual([]);
    expect(swap?.message).toContain(
      "exchanging the serials of A and B in the runs that end from 2024-03-27 to 2024-05-09",
    );
    expect(swap?.message).toContain("within 0 h");
    expect(byRule(findings, "hours-differ")).toEqual([]);
    expect(byRule(findings, "run-unlogged")).toEqual([]);
  });

  it("says nothing where the hours agree", async () => {
    const {findings} = await importTexts(logs(0, 0));
    expect(findings).toEqual([]);
  });

  it("does not explain a missing run by an exchange", async () => {
    const files = logs(0, 0);
    files["runs.csv"] = files["runs.csv"]!.split("\n")
      .filter((row) => !row.startsWith("A9,"))
      .join("\n");
    const {findings} = await importTexts(files);
    expect(byRule(findings, "serials-swapped")).toEqual([]);
    expect(byRule(findings, "run-unlogged")).toHaveLength(1);
  });
});
