import fc from "fast-check";
import {describe, expect, it} from "vitest";
import {CellWords} from "../../src/logs/text/CellWords.ts";
import {hashOf} from "../../src/logs/text/hash.ts";
import {RecordReader} from "../../src/logs/text/RecordReader.ts";
import {LONGEST_CELL, scanCsv} from "../../src/logs/text/scanCsv.ts";
import {utf8Of} from "../../src/logs/text/utf8Of.ts";

interface Read {
  readonly records: string[][];
  readonly lines: number[];
  readonly broken: number[];
}

const encoder = new TextEncoder();
const decoder = new TextDecoder("utf-8", {ignoreBOM: true});

/** As the importer reads it: plain records as bytes, others as text. */
function readBytes(text: string, delimiter: string, width: number): Read & {readonly plain: number} {
  const result = {records: [] as string[][], lines: [] as number[], broken: [] as number[], plain: 0};
  const add = (cells: readonly string[], line: number): void => {
    result.records.push([...cells]);
    result.lines.push(line);
  };
  const bytes = encoder.encode(text);
  const target = {
    plain: (
      given: Uint8Array,
      row: {starts: Int32Array; ends: Int32Array; hashes: Int32Array; count: number},
      line: number,
    ) => {
      const places = Array.from({length: row.count}, (_, i) => [row.starts[i]!, row.ends[i]!] as const);
      add(
        places.map(([start, end]) => decoder.decode(given.subarray(start, end))),
        line,
      );
      expect(places.map(([start, end]) => hashOf(given, start, end))).toEqual([...row.hashes.subarray(0, row.count)]);
      result.plain += 1;
      return true;
    },
    record: add,
    brokenQuote: (line: number) => result.broken.push(line),
    width: () => width,
  };
  const reader = new RecordReader(bytes, delimiter, target, {at: 0, line: 1});
  while (reader.read(3) > 0);
  expect(reader.share).toBe(1);
  return result;
}

/** As text, from its beginning to its end. */
function readText(text: string, delimiter: string, width: number): Read {
  const result: Read = {records: [], lines: [], broken: []};
  const record = (cells: readonly string[], line: number): void => {
    result.records.push([...cells]);
    result.lines.push(line);
  };
  scanCsv(text, delimiter, {record, brokenQuote: (line) => result.broken.push(line)}, () => width);
  return result;
}

function same(text: string, delimiter: string, width: number): number {
  const {plain, ...read} = readBytes(text, delimiter, width);
  expect(read).toEqual(readText(text, delimiter, width));
  return plain;
}

const piece = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.constantFrom(
      ",",
      ";",
      "\n",
      "\r\n",
      "\r",
      '"',
      '""',
      " ",
      "12.5",
      "K1-101",
      "Spülung",
      "泥",
      "\ufeff",
    ),
  },
  {weight: 2, arbitrary: fc.string({unit: "grapheme", maxLength: 5})},
);

describe("RecordReader.read(most)", () => {
  it("reads bytes as scanCsv reads their text, whatever stands in them", () => {
    fc.assert(
      fc.property(
        fc.array(piece, {maxLength: 60}).map((pieces) => pieces.join("")),
        fc.constantFrom(",", ";", "\t"),
        fc.integer({min: 0, max: 4}),
        (text, delimiter, width) => void same(text, delimiter, width),
      ),
      {seed: 11, numRuns: 2000},
    );
  });

  it("goes back to bytes behind records that are not plain, however many there are", () => {
    const row = (i: number): string => (i % 7 === 3 ? `${i},"4 3/4"" tool",x` : `${i},plain ${i},x`);
    const rows = Array.from({length: 60_000}, (_, i) => row(i < 20_000 || i > 20_050 ? 0 : i));
    const plain = same(`${rows.join("\n")}\n`, ",", 3);
    expect(plain).toBeGreaterThan(40_000);
    expect(plain).toBeLessThan(60_000);
  });

  it("reads a record that is longer than any text it first tries", () => {
    const cell = `"${'a""b\n'.repeat(LONGEST_CELL / 8)}"`;
    same(`1,2\n${Array.from({length: 40}, () => cell).join(",")}\n3,4`, ",", 40);
    same(`1,2\n"never closed,${"x,".repeat(200_000)}\n3,4\n`, ",", 2);
  });
});

describe("CellWords", () => {
  it("gives back every cell, blank ones as missing, each distinct one once", () => {
    const cell = fc.oneof(
      fc.constantFrom("", " ", "\u00a0", "\u3000 ", "a", "ab", "ä", "K1-101"),
      fc.string({unit: "grapheme", maxLength: 8}),
    );
    fc.assert(
      fc.property(fc.array(cell, {maxLength: 300}), (cells) => {
        const column = new CellWords();
        cells.forEach((text, i) => {
          const bytes = encoder.encode(`x${text}y`);
          if (i % 2 === 0) column.pushText(text);
          else column.push(bytes, 1, bytes.length - 1, hashOf(bytes, 1, bytes.length - 1));
        });
        const {codes, words} = column.build();
        expect(Array.from(codes, (code) => words[code] ?? null)).toEqual(
          cells.map((text) => (text.trim() === "" ? null : text)),
        );
        expect(new Set(words).size).toBe(words.length);
      }),
      {seed: 12, numRuns: 300},
    );
  });

  it("tells cells apart whose hashes are one", () => {
    const column = new CellWords();
    for (const text of ["left", "right", "left", "rights"]) {
      const bytes = encoder.encode(text);
      column.push(bytes, 0, bytes.length, 7);
    }
    expect(column.build()).toEqual({codes: Int32Array.of(0, 1, 0, 2), words: ["left", "right", "rights"]});
  });
});

describe("utf8Of(bytes)", () => {
  it("finds what is not ASCII wherever it stands, also in bytes that do not begin on a word of memory", () => {
    for (let offset = 0; offset < 4; ++offset)
      for (let at = 0; at < 9; ++at) {
        const whole = new Uint8Array(offset + 9).fill(97);
        whole[offset + at] = 0xe4;
        expect(utf8Of(whole.subarray(offset)).encoding).toBe("windows-1252");
      }
    expect(utf8Of(encoder.encode("plain")).encoding).toBe("utf-8");
  });
});
