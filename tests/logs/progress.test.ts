import {describe, expect, it} from "vitest";
import {importLogs, type Progress} from "../../src/logs/index.ts";
import {bytesOf, runs} from "./logFiles.ts";

const DAY = 86_400_000;
const row = (i: number): string =>
  `${i},T${i % 50},,${new Date(Date.UTC(2010, 0, 1) + Math.floor(i / 50) * 5 * DAY).toISOString().slice(0, 10)},40,60`;
const LARGE = [{name: "runs.csv", bytes: bytesOf(runs(...Array.from({length: 40_000}, (_, i) => row(i))))}];

describe("importLogs(files, {progress, signal})", () => {
  it("tells how many rows are read, in rising order, and gives the same tables as without", async () => {
    const told: Progress[] = [];
    const watched = await importLogs(LARGE, {progress: (progress) => told.push(progress)});
    expect(told.length).toBeGreaterThan(0);
    const rows = told.flatMap((one) => (one.rows === null ? [] : [one.rows]));
    expect(rows).toEqual([...rows].sort((a, b) => a - b));
    expect(told.every(({file}) => file === "runs.csv")).toBe(true);
    expect(watched).toEqual(await importLogs(LARGE));
  });

  it("stops between two pieces of the file and fails with the reason given", async () => {
    const stop = new AbortController();
    let told = 0;
    const progress = (): void => {
      ++told;
      stop.abort(new Error("closed the page"));
    };
    await expect(importLogs(LARGE, {progress, signal: stop.signal})).rejects.toThrow("closed the page");
    expect(told).toBe(1);
  });

  it("lets others act meanwhile", async () => {
    let turns = 0;
    const clock = setInterval(() => ++turns, 1);
    await importLogs(LARGE, {progress: () => undefined});
    clearInterval(clock);
    expect(turns).toBeGreaterThan(0);
  });
});
