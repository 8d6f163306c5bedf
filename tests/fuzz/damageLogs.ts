/** Ways to damage a log as text: its bytes, encodings, cells, rows, headers and lines. */
import type {LogFile} from "../../src/logs/index.ts";
import type {Random} from "../../src/statistics/index.ts";
import {changed, pick, times} from "./draws.ts";
import {ENCODINGS, TEXTS} from "./logs.ts";

const CELLS = [
  ...[
    "",
    "N/A",
    "-",
    "12,5",
    "1,250",
    "~90",
    "<1",
    "85 hrs",
    "1.2E+05",
    "#REF!",
    "=1+2",
    "=cmd|'/C calc'!A0",
    "@SUM(1)",
  ],
  ...["03/04/24", "31/12/2023", "45321", '"', '6-1/2"', "\u00a0", "é", "Infinity", "-1e309", "NaN", "0", "-5"],
  ...["erotion", "KCl / mud", "TOTAL", "\u0000", "💧", "__proto__", "constructor", "\ud800", "K1-1O1", "9".repeat(400)],
];
const HEADERS = [
  "",
  "tool",
  "Circ Hrs",
  "Flow (ppg)",
  "end",
  "units",
  "hours",
  "[]",
  "()",
  "(%)",
  "a,b",
  "Run End [degF]",
];

export const LOG_WAYS: Readonly<Record<string, (random: Random) => readonly LogFile[]>> = {
  "cells, rows and headers": (random) => texts(random, times(random, 6)),
  encodings: (random) => texts(random, times(random, 2), ENCODINGS),
  "bytes of text": (random) =>
    texts(random, 0, ENCODINGS).map(({name, bytes}) => ({name, bytes: changed(random, bytes)})),
  "very wide lines": (random) => [wideLine(random)],
  "any bytes": (random) => [
    {name: "runs.csv", bytes: Uint8Array.from({length: pick(random, 400)}, () => pick(random, 256))},
  ],
};

function texts(random: Random, changes: number, encodings: typeof ENCODINGS = ENCODINGS.slice(0, 1)): LogFile[] {
  return TEXTS.map(([name, lines]) => {
    const rows = lines.map((line) => line.split(","));
    for (let i = 0; i < changes; ++i) changeRows(random, rows);
    const delimiter = [",", ",", ",", ";", "\t", "|"][pick(random, 6)]!;
    const ending = ["\n", "\r\n", "\r"][pick(random, 3)]!;
    const text = rows.map((row) => row.join(delimiter)).join(ending);
    return {name, bytes: encodings[pick(random, encodings.length)]!(text)};
  });
}

function changeRows(random: Random, rows: string[][]): void {
  const at = pick(random, Math.max(1, rows.length));
  const row = rows[at];
  if (row === undefined) return;
  const how = pick(random, 9);
  if (how < 4) row[pick(random, Math.max(1, row.length))] = CELLS[pick(random, CELLS.length)]!;
  else if (how === 4) rows[0]?.splice(pick(random, 13), 1, HEADERS[pick(random, HEADERS.length)]!);
  else if (how === 5) rows.splice(at, 1);
  else if (how === 6) rows.splice(at, 0, [...row]);
  else if (how === 7) row.splice(pick(random, row.length + 1), 1);
  else rows.splice(at, 0, ...rows.splice(pick(random, rows.length), 1));
}

/** A line of a hundred thousand to a million cells, as the headers or as a row. */
function wideLine(random: Random): LogFile {
  const cells = 10 ** (3 + pick(random, 4));
  const good = TEXTS[0]![1];
  const line = good[0]! + [",x", ',"', ",", ',"a b"'][pick(random, 4)]!.repeat(cells);
  const lines = pick(random, 2) === 0 ? [line, ...good.slice(1)] : [...good, line];
  return {name: "runs.csv", bytes: new TextEncoder().encode(lines.join("\n"))};
}
