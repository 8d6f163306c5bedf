import fc from "fast-check";
import Papa from "papaparse";
import {describe, expect, it} from "vitest";
import {scanCsv} from "../../src/logs/text/scanCsv.ts";

interface Scan {
  readonly records: string[][];
  readonly lines: number[];
  readonly broken: number[];
}

function scan(text: string, delimiter = ",", width = 0): Scan {
  const result: Scan = {records: [], lines: [], broken: []};
  scanCsv(
    text,
    delimiter,
    {
      record: (cells, line) => {
        result.records.push([...cells]);
        result.lines.push(line);
      },
      brokenQuote: (line) => result.broken.push(line),
    },
    () => width,
  );
  return result;
}

const cell = fc.oneof(
  fc.string({maxLength: 6}),
  fc.constantFrom("", "a,b", 'say "hi"', "two\nlines", "x\r\ny", "1,5", " "),
);
const table = fc
  .tuple(fc.integer({min: 1, max: 4}), fc.integer({min: 1, max: 6}))
  .chain(([width, height]) =>
    fc.array(fc.array(cell, {minLength: width, maxLength: width}), {minLength: height, maxLength: height}),
  );

describe("scanCsv(text, delimiter, target, width)", () => {
  // papaparse 5.7.1 as the second parser, on what it wrote itself: it doubles quotes and quotes after RFC 4180
  it("reads what another program wrote, cell for cell", () => {
    fc.assert(
      fc.property(
        table,
        fc.constantFrom(",", ";", "\t", "|"),
        fc.constantFrom("\n", "\r\n"),
        (rows, delimiter, newline) => {
          const text = Papa.unparse(rows, {delimiter, newline, quotes: true});
          expect(scan(text, delimiter, rows[0]!.length).records).toEqual(rows);
          const unquoted = Papa.unparse(rows, {delimiter, newline});
          const other = Papa.parse<string[]>(unquoted, {delimiter, newline}).data;
          if (unquoted !== "" && !unquoted.endsWith(newline))
            expect(scan(unquoted, delimiter, rows[0]!.length).records).toEqual(other);
        },
      ),
      {seed: 1, numRuns: 300},
    );
  });

  it("gives every record its first line, also behind cells that span lines", () => {
    const {records, lines} = scan('a,b\n1,"two\nlines"\r\n3,4\n', ",", 2);
    expect(records).toEqual([
      ["a", "b"],
      ["1", "two\nlines"],
      ["3", "4"],
    ]);
    expect(lines).toEqual([1, 2, 4]);
  });

  it("takes a quote that is never closed as a character, and reports it", () => {
    const {records, broken} = scan('a,b\n"1,2\n3,4\n', ",", 2);
    expect(records).toEqual([
      ["a", "b"],
      ['"1', "2"],
      ["3", "4"],
    ]);
    expect(broken).toEqual([2]);
  });

  // this line once swallowed the next one: its quote finds a partner there
  it("does not let a stray quote swallow the next row", () => {
    const {records, broken} = scan('a,b,c\n1,"x,3\n4,"y",6\n', ",", 3);
    expect(records.map((record) => record.length)).toEqual([3, 3, 3]);
    expect(broken).toEqual([2]);
  });

  it("keeps inch marks inside cells", () => {
    expect(scan('6-1/2",4-3/4" tool\n').records).toEqual([['6-1/2"', '4-3/4" tool']]);
  });

  it("loses no line of any text", () => {
    fc.assert(
      fc.property(fc.string({unit: fc.constantFrom('"', ",", "\n", "\r", "a", " ", ";"), maxLength: 60}), (text) => {
        const {records, lines} = scan(text, ",", 3);
        const physical =
          text === ""
            ? 0
            : (text.endsWith("\n") || text.endsWith("\r") ? text : `${text}\n`).split(/\r\n|\r|\n/).length - 1;
        const spanned = records.map((record) => record.join("").split(/\r\n|\r|\n/).length);
        expect(lines.every((line, i) => i === 0 || line > lines[i - 1]!)).toBe(true);
        const last = lines.length - 1;
        if (last >= 0) expect(lines[last]! + spanned[last]! - 1).toBeLessThanOrEqual(physical);
        lines.forEach((line, i) => {
          if (i > 0) expect(line).toBe(lines[i - 1]! + spanned[i - 1]!);
        });
      }),
      {seed: 2, numRuns: 1000},
    );
  });

  it("cuts a text that comes in pieces as it cuts the whole", () => {
    const rows = Array.from(
      {length: 9000},
      (_, i) => `R${i >> 3},K7,${i % 5 === 0 ? `"two, ${i}\nlines"` : "same"},${i % 7 === 0 ? '6-1/2" x' : "same"}`,
    );
    rows[4000] = 'R500,"K7,never closed,x';
    const text = rows.join("\r\n");
    const whole = scan(text, ",", 4);
    const pieced: Scan = {records: [], lines: [], broken: []};
    const target = {
      record: (cells: readonly string[], line: number) => {
        pieced.records.push([...cells]);
        pieced.lines.push(line);
      },
      brokenQuote: (line: number) => pieced.broken.push(line),
    };
    let rest = "";
    let line = 1;
    for (let from = 0; from < text.length; from += 50_000) {
      rest += text.slice(from, from + 50_000);
      const place = scanCsv(rest, ",", target, () => 4, {at: 0, line}, Infinity, from + 50_000 >= text.length);
      rest = rest.slice(place.at);
      line = place.line;
    }
    expect(rest).toBe("");
    expect(pieced).toEqual(whole);
  });
});
