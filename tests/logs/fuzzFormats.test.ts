/**
 * Damaged workbooks and Parquet files: bytes of the archive, of its parts and of its cells changed at random. Whatever
 * comes in, nothing is thrown, nothing hangs, and every row that was read is in exactly one of the four states.
 */
import fc from "fast-check";
import {strToU8, zipSync} from "fflate";
import {parquetWriteBuffer} from "hyparquet-writer";
import {describe, expect, it} from "vitest";
import {importLogs, readLifeTable} from "../../src/logs/index.ts";
import {holds, LONG} from "./holds.ts";
import {addsUp} from "./logFiles.ts";
import {dayOf, partsOf, STYLES, workbook, type TestCell, type TestSheet} from "./workbook.ts";

const SHEETS: readonly TestSheet[] = [
  {
    name: "Runs",
    rows: [
      ["Run No", "Tool SN", "Run End", "Circ Hrs", "Mud Type", "Sand (%)"],
      ["1", "K1-101", {day: dayOf("2024-01-07")}, 60.5, "KCl polymer", 0.2],
      [
        "2",
        "K1-102",
        {day: dayOf("2024-01-08T10:00"), style: STYLES.dateTime},
        {day: 2.5, style: STYLES.elapsed},
        "brine",
        null,
      ],
      ["3", "K1-101", {day: dayOf("2024-02-06")}, {raw: 't="e"><f>A1</f><v>#N/A</v>'}, "OBM", true],
    ],
    merges: ["B2:B3"],
    hidden: [3],
  },
  {
    name: "Rebuilds",
    rows: [
      ["WO", "Tool S/N", "Teardown Date", "Part", "Found", "Defect", "Action"],
      ["R1", "K1-101", {day: dayOf("2024-01-15")}, "Lip seal", "FAILED", "abraded", "Replaced"],
      [null, null, null, "Liner", "OK", null, "Reused"],
    ],
    inline: true,
  },
];

const damage = (length: number) => fc.array(fc.tuple(fc.nat(length - 1), fc.nat(255)), {minLength: 1, maxLength: 10});

function damagedBytes(good: Uint8Array, changes: readonly (readonly [number, number])[], length: number): Uint8Array {
  const bytes = good.slice(0, length);
  for (const [at, byte] of changes) if (at < bytes.length) bytes[at] = byte;
  return bytes;
}

/** Half of the damaged files keep their end, where archives and Parquet have their directory. */
const lengths = (length: number) => fc.oneof(fc.constant(length), fc.constant(length), fc.nat(length));

describe("importLogs(files) on damaged workbooks", () => {
  const good = workbook(SHEETS);

  it("never throws and never loses a row, whatever happens to the bytes of the archive", async () => {
    await fc.assert(
      fc.asyncProperty(damage(good.length), lengths(good.length), async (changes, length) => {
        const bytes = damagedBytes(good, changes, length);
        holds(await importLogs([{name: "logs.xlsx", bytes}]));
        expect(addsUp((await readLifeTable({name: "logs.xlsx", bytes})).counts)).toBe(true);
      }),
      {seed: 20240311, numRuns: 250 * LONG},
    );
  });

  it("never throws and never loses a row, whatever happens to the text of its parts", async () => {
    const parts = partsOf(SHEETS);
    const names = Object.keys(parts).filter((name) => name.startsWith("xl/"));
    const change = fc.record({
      part: fc.constantFrom(...names),
      at: fc.nat(3000),
      cut: fc.nat(30),
      text: fc.oneof(
        fc.constantFrom(
          "<",
          ">",
          '"',
          "&#x110000;",
          "&amp",
          "<row",
          "</row>",
          "<c",
          "</sheetData>",
          "<v>",
          "]]>",
          "<![CDATA[",
        ),
        fc.constantFrom('r="ZZZ9"', 'r="A99999999999"', 't="s"', "<!--", "<?", "_x0000_", "1e309", "-1", "'"),
        fc.string({maxLength: 6}),
      ),
    });
    await fc.assert(
      fc.asyncProperty(fc.array(change, {minLength: 1, maxLength: 6}), async (changes) => {
        const changed = {...parts};
        for (const {part, at, cut, text} of changes) {
          const before = changed[part] ?? "";
          const from = at % Math.max(1, before.length);
          changed[part] = before.slice(0, from) + text + before.slice(from + cut);
        }
        const entries = Object.entries(changed).map(([name, text]) => [name, strToU8(text)] as const);
        holds(await importLogs([{name: "logs.xlsx", bytes: zipSync(Object.fromEntries(entries), {level: 0})}]));
      }),
      {seed: 20240312, numRuns: 250 * LONG},
    );
  });

  it("never throws and never loses a row, whatever stands in the cells", async () => {
    const cell: fc.Arbitrary<TestCell> = fc.oneof(
      fc.string({maxLength: 8}),
      fc.double({noNaN: true}),
      fc.boolean(),
      fc.record({day: fc.double({min: -1e6, max: 1e7, noNaN: true}), style: fc.nat(9)}),
      fc.constantFrom<TestCell>(
        null,
        "=cmd|' /C calc'!A0",
        "@SUM(1)",
        {raw: 't="e"><v>#REF!</v>'},
        {raw: "><f>1/0</f>"},
        {raw: 't="s"><v>-1</v>'},
        {raw: 't="d"><v>2024-13-45</v>'},
        {raw: 't="str"><f>A1</f><v></v>'},
        {raw: 't="zz"><v>1</v>'},
      ),
    );
    const change = fc.record({sheet: fc.nat(1), row: fc.nat(3), column: fc.nat(7), cell});
    await fc.assert(
      fc.asyncProperty(fc.array(change, {minLength: 1, maxLength: 8}), async (changes) => {
        const sheets = SHEETS.map((sheet) => ({...sheet, rows: sheet.rows.map((row) => [...row])}));
        for (const {sheet, row, column, cell: put} of changes) {
          const cells = sheets[sheet]?.rows[row];
          if (cells !== undefined) cells[Math.min(column, cells.length)] = put;
        }
        holds(await importLogs([{name: "logs.xlsx", bytes: workbook(sheets)}]));
      }),
      {seed: 20240313, numRuns: 200 * LONG},
    );
  });
});

describe("importLogs(files) on damaged Parquet files", () => {
  const columnData = [
    {name: "run", data: ["1", "2", "3", "4"]},
    {name: "tool", data: ["A", "B", "A", "A"]},
    {name: "end", data: ["2024-03-05", "2024-03-06", "2024-03-15", "2024-03-25"].map((day) => new Date(day))},
    {name: "circulating_h", data: [40, 41.5, null, 42]},
    {name: "mud", data: ["OBM", null, "OBM", "OBM"]},
  ];
  for (const codec of ["SNAPPY", "UNCOMPRESSED"] as const) {
    const good = new Uint8Array(parquetWriteBuffer({columnData, codec}));

    it(`never throws, never hangs and never loses a row, whatever happens to their bytes (${codec})`, async () => {
      await fc.assert(
        fc.asyncProperty(damage(good.length), lengths(good.length), async (changes, length) => {
          holds(await importLogs([{name: "runs.parquet", bytes: damagedBytes(good, changes, length)}]));
        }),
        {seed: 20240314, numRuns: 300 * LONG},
      );
    });
  }
});
