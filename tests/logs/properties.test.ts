/**
 * Damaged files: bytes, cells, rows and headers of good logs changed at random. Whatever comes in, nothing is thrown and
 * every row that was read is in exactly one of the four states.
 */
import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {importLogs, readLifeTable, type Logs} from "../../src/logs/index.ts";
import {holds, LONG} from "./holds.ts";
import {addsUp, bytesOf, importTexts} from "./logFiles.ts";

const RUNS = [
  "Run No,Tool SN,Fleet,Run Start,Run End,Circ Hrs,BRT Hrs,Mud Type,MW [SG],Flow (gpm),Outcome,Failed At [h],Remarks",
  "1,K1-101,Alder,2024-01-03 10:00,2024-01-07 09:00,60.5,80,KCl polymer,1.25,250,completed,,",
  "2,K1-102,Alder,2024-01-04 10:00,2024-01-08 09:00,55,81,brine,1.20,240,failed,40.5,no pulses",
  '3,K1-101,Alder,2024-02-03 10:00,2024-02-06 09:00,41.2,70,NADF,1.30,260,completed,,"two, words"',
  "4,K1-103,Alder,2024-02-13 10:00,2024-02-16 09:00,31.2,60,OBM,1.30,260,LIH,,",
  "5,K1-102,Alder,2024-03-03 10:00,2024-03-06 09:00,21.2,50,KCl,1.10,260,pulled,,",
];
const REBUILDS = [
  "WO,Tool S/N,Teardown Date,Part,Position,Found,Defect,Ended Run,Action,Part SN,Hours On Part,Measured (mm),Remarks",
  "R1,K1-101,2024-01-15,Lip seal,upper,FAILED,abraded,yes,Replaced,,60.5,1.2,",
  "R1,K1-101,2024-01-15,Liner,,OK,,no,Reused,L-1,60.5,40.1,",
  "R2,K1-102,2024-01-20,Tip,,worn,edge chipped,no,Replaced,T-4,55,28,",
  "R3,K1-102,2024-03-20,Shaft,,OK,,,Fitted used,S-7,76,,from stock",
];

const NASTY = [
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
  "03/04/24",
  "31/12/2023",
  "45321",
  '"',
  '6-1/2"',
  "\u00a0",
  "é",
  "Infinity",
  "-1e309",
  "NaN",
  "0",
  "-5",
  "erotion",
  "KCl / mud",
  "TOTAL",
  "\u0000",
  "💧",
  "__proto__",
  "constructor",
];
const junk = fc.oneof(fc.constantFrom(...NASTY), fc.string({maxLength: 8}), fc.string({unit: "binary", maxLength: 4}));

type Change =
  | {readonly what: "cell"; readonly row: number; readonly column: number; readonly text: string}
  | {readonly what: "row"; readonly row: number; readonly how: "drop" | "repeat" | "blank" | "cut" | "swap"}
  | {readonly what: "header"; readonly column: number; readonly text: string}
  | {readonly what: "delimiter"; readonly text: string};

const change: fc.Arbitrary<Change> = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.record({what: fc.constant("cell" as const), row: fc.nat(9), column: fc.nat(12), text: junk}),
  },
  {
    weight: 3,
    arbitrary: fc.record({
      what: fc.constant("row" as const),
      row: fc.nat(9),
      how: fc.constantFrom("drop" as const, "repeat" as const, "blank" as const, "cut" as const, "swap" as const),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      what: fc.constant("header" as const),
      column: fc.nat(12),
      text: fc.oneof(junk, fc.constantFrom("Circ Hrs", "tool", "end", "Flow (ppg)", "units")),
    }),
  },
  {weight: 1, arbitrary: fc.record({what: fc.constant("delimiter" as const), text: fc.constantFrom(";", "\t", "|")})},
);

/** A log after the changes; cells are put in raw, so that a comma or a quote in one damages its line. */
function damaged(lines: readonly string[], changes: readonly Change[]): string {
  const rows = lines.map((line) => line.split(","));
  for (const one of changes) {
    if (one.what === "cell") {
      const row = rows[one.row % rows.length];
      if (row !== undefined && row.length > 0) row[one.column % row.length] = one.text;
    } else if (one.what === "header") {
      const row = rows[0];
      if (row !== undefined && row.length > 0) row[one.column % row.length] = one.text;
    } else if (one.what === "delimiter") {
      for (const row of rows) row.splice(0, row.length, row.join(one.text));
    } else {
      const at = one.row % Math.max(1, rows.length);
      const row = rows[at];
      if (row === undefined) continue;
      if (one.how === "drop") rows.splice(at, 1);
      else if (one.how === "repeat") rows.splice(at, 0, [...row]);
      else if (one.how === "blank") rows.splice(at, 0, [""]);
      else if (one.how === "cut") row.splice(row.length >> 1);
      else rows.splice(at, 0, ...rows.splice((at + 1) % rows.length, 1));
    }
  }
  return rows.map((row) => row.join(",")).join("\n");
}

describe("importLogs(files) on damaged files", () => {
  it("never throws and never loses a row, whatever happens to cells, rows and headers", async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(change, {maxLength: 6}),
        fc.array(change, {maxLength: 6}),
        async (toRuns, toRebuilds) => {
          const files = {"runs.csv": damaged(RUNS, toRuns), "rebuilds.csv": damaged(REBUILDS, toRebuilds)};
          const logs = await importTexts(files);
          holds(logs);
          // rows that hold something, less the header, are all read where no quote joins lines
          const text = files["runs.csv"];
          const count = logs.counts.find(({file}) => file === "runs.csv");
          if (
            !text.includes('"') &&
            !/[\r\p{Cc}]/u.test(text.replaceAll("\n", "")) &&
            toRuns.every(({what}) => what === "cell" || what === "row") &&
            count?.log === "runs"
          ) {
            const filled = text.split("\n").filter((line) => line.replace(/[,\s]/g, "") !== "").length;
            expect(count.read).toBeLessThanOrEqual(filled);
            expect(filled - count.read).toBeLessThanOrEqual(1 + linesNamed(logs, "runs.csv"));
          }
        },
      ),
      {seed: 20240305, numRuns: 250 * LONG},
    );
  });

  it("never throws and never loses a row, whatever happens to bytes", async () => {
    const good = bytesOf(RUNS.join("\r\n"));
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.nat(good.length - 1), fc.nat(255)), {minLength: 1, maxLength: 12}),
        fc.nat(good.length),
        async (changes, length) => {
          const bytes = good.slice(0, length);
          for (const [at, byte] of changes) if (at < bytes.length) bytes[at] = byte;
          holds(await importLogs([{name: "runs.csv", bytes}]));
        },
      ),
      {seed: 20240306, numRuns: 250 * LONG},
    );
  });

  it("never throws on bytes of any kind", async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.uint8Array({maxLength: 300}),
        fc.constantFrom("runs.csv", "rebuilds.csv", "x"),
        async (bytes, name) => {
          holds(await importLogs([{name, bytes}]));
          const lives = await readLifeTable({name, bytes});
          expect(addsUp(lives.counts)).toBe(true);
        },
      ),
      {seed: 20240307, numRuns: 200 * LONG},
    );
  });

  it("gives the same tables for the same file twice: the second copy is all duplicates", async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(change, {maxLength: 4}), async (changes) => {
        const text = damaged(
          RUNS,
          changes.filter(({what}) => what === "cell" || what === "row"),
        );
        const once = await importTexts({"runs-1.csv": text});
        const twice = await importTexts({"runs-1.csv": text, "runs-2.csv": text});
        expect(twice.runs.rows).toBe(once.runs.rows);
      }),
      {seed: 20240308, numRuns: 100 * LONG},
    );
  });

  // every row was once compared with every other of its number, in full
  it("reads thousands of runs that carry one number without comparing them all in full", async () => {
    const day = (i: number): string => new Date(Date.UTC(1995, 0, 1) + i * 86_400_000).toISOString().slice(0, 10);
    const rows = Array.from({length: 8000}, (_, i) => `1,A,${day(i)},4`);
    const logs = await importTexts({"runs.csv": ["run,tool,end,circulating_h", ...rows].join("\n")});
    holds(logs);
    expect(logs.runs.rows).toBe(8000);
  });

  it("reads a line of very many cells", async () => {
    const wide = `run,tool,end,circulating_h${",x".repeat(200_000)}\n1,A,2024-03-05,40\n`;
    holds(await importTexts({"runs.csv": wide}));
    holds(await importTexts({"runs.csv": `run,tool,end,circulating_h\n1,A,2024-03-05,40${",9".repeat(200_000)}\n`}));
  });
});

/** Lines that a finding about the whole file says are no rows: titles, units. */
function linesNamed({findings}: Logs, file: string): number {
  return findings
    .filter((finding) => finding.file === file && ["title-lines", "unit-row"].includes(finding.rule))
    .reduce((sum, {rule, message}) => sum + (rule === "unit-row" ? 1 : Number(/^\d+/.exec(message)?.[0] ?? 0)), 0);
}
