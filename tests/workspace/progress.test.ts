import {expect, it} from "vitest";
import {openLogs} from "../../src/workspace/openLogs.ts";

const DAY = 86_400_000;
const log = (first: number): Uint8Array =>
  new TextEncoder().encode(
    [
      "run,tool,end,circulating_h",
      ...Array.from({length: 60_000}, (_, i) => {
        const end = new Date(Date.UTC(2010, 0, 1) + Math.floor(i / 50) * DAY).toISOString().slice(0, 10);
        return `${first + i},T${first}-${i % 50},${end},20`;
      }),
    ].join("\n"),
  );

it("openLogs tells how much of all files is read, never going back, and then that they are checked", async () => {
  const given = [
    {name: "runs-2023.csv", bytes: log(0)},
    {name: "runs-2024.csv", bytes: log(100_000)},
  ];
  const told: {readonly text: string; readonly share?: number}[] = [];
  await openLogs(given, false, (text, share) => told.push({text, ...(share === undefined ? {} : {share})}));
  const shares = told.flatMap(({share}) => (share === undefined ? [] : [share]));
  expect(shares.length).toBeGreaterThan(0);
  expect(shares).toEqual([...shares].sort((a, b) => a - b));
  expect(shares.every((share) => share > 0 && share <= 1)).toBe(true);
  const second = told.filter(({text}) => text.startsWith("reading runs-2024.csv"));
  expect(second.every(({share = 0}) => share > 0.45)).toBe(true);
  expect(told.find(({text}) => text.startsWith("checking the rows"))?.share).toBeUndefined();
});
