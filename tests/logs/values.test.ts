import {describe, expect, it} from "vitest";
import {decimalEvidence, readNumber} from "../../src/logs/values/readNumber.ts";
import {orderEvidence, readDate, type DateOrder} from "../../src/logs/values/readDate.ts";

describe("decimalEvidence(text)", () => {
  for (const [text, shows] of [
    ["12,5", ","],
    ["12.5", "."],
    ["1,250", "either"],
    ["1.250", "either"],
    ["0,250", ","],
    ["0.005", "."],
    ["1,250.5", "."],
    ["1.250,5", ","],
    ["1,250,000", "."],
    ["1250", "none"],
    ["N/A", "none"],
  ] as const) {
    it(`says ${shows} of ${text}`, () => expect(decimalEvidence(text)).toBe(shows));
  }
});

describe("readNumber(text, mark)", () => {
  const number = (value: number, unit: string | null = null, sign: string | null = null): object => ({
    kind: "number",
    value,
    unit,
    sign,
  });
  for (const [text, mark, expected] of [
    ["12,5", ",", number(12.5)],
    ["1.250,5", ",", number(1250.5)],
    ["1,250", ".", number(1250)],
    ["1,250", ",", number(1.25)],
    ["1,250", null, {kind: "ambiguous"}],
    ["1 250,5", ",", number(1250.5)],
    ["1'250.5", ".", number(1250.5)],
    ["41.0", ",", number(41)],
    ["85 hrs", ".", number(85, "hrs")],
    ["<0.1", ".", number(0.1, null, "<")],
    ["~90", ".", number(90, null, "~")],
    ["4-3/4 in", ".", number(4.75, "in")],
    ["-50.6", ".", number(-50.6)],
    ["1.2E+05", ".", number(120000)],
    ["inf", ".", number(Infinity)],
    ["N/A", ".", {kind: "missing"}],
    ["#DIV/0!", ".", {kind: "formula error"}],
    ["sixty", ".", {kind: "unreadable"}],
    ["12,34,5", ".", {kind: "unreadable"}],
    ["1.2.3", ".", {kind: "unreadable"}],
  ] as const) {
    it(`reads ${text} in a column of ${mark ?? "no"} marks`, () => expect(readNumber(text, mark)).toEqual(expected));
  }
});

describe("readDate(text, order)", () => {
  const cases: readonly (readonly [text: string, order: DateOrder | null, iso: string])[] = [
    ["2024-03-05", null, "2024-03-05T00:00"],
    ["2024-03-05T14:30", null, "2024-03-05T14:30"],
    ["2024-03-05 14:30:15", null, "2024-03-05T14:30"],
    ["2024-03-05T14:30+02:00", null, "2024-03-05T12:30"],
    ["2024-03-05T14:30Z", null, "2024-03-05T14:30"],
    ["20240305", null, "2024-03-05T00:00"],
    ["05/03/2024", "day first", "2024-03-05T00:00"],
    ["05/03/2024", "month first", "2024-05-03T00:00"],
    ["25/03/24 07:15", "day first", "2024-03-25T07:15"],
    ["5.3.2024", "day first", "2024-03-05T00:00"],
    ["3/5/2024 2:30 pm", "month first", "2024-03-05T14:30"],
    ["5-Mar-2024", null, "2024-03-05T00:00"],
    ["Mar 5, 2024", null, "2024-03-05T00:00"],
    ["Tue 5 March 2024 23:59", null, "2024-03-05T23:59"],
    ["31. März 2024 03:00", null, "2024-03-31T03:00"],
    ["5 août 2024", null, "2024-08-05T00:00"],
    ["5 ene 2024", null, "2024-01-05T00:00"],
    ["5 okt. 24", null, "2024-10-05T00:00"],
    ["2024-03-05 24:00", null, "2024-03-06T00:00"],
    // Excel's own day numbers, counted from 1899-12-30 (Office support, "DATE systems": 45321 is 2024-01-30)
    ["45321", null, "2024-01-30T00:00"],
    ["45447.62500", null, "2024-06-04T15:00"],
  ];
  for (const [text, order, iso] of cases) {
    it(`reads ${text} as ${iso}`, () => {
      const read = readDate(text, order);
      expect(read.kind === "date" ? new Date(read.ms).toISOString().slice(0, 16) : read.kind).toBe(iso);
    });
  }

  for (const [text, kind] of [
    ["05/03/2024", "ambiguous"],
    ["2024-02-30", "impossible"],
    ["31/02/2024", "impossible"],
    ["5 Smarch 2024", "unreadable"],
    ["12345", "unreadable"],
    ["2024-03-05 25:10", "unreadable"],
    ["TBA", "missing"],
    ["#VALUE!", "formula error"],
  ] as const) {
    it(`calls ${text} ${kind}`, () => expect(readDate(text, null).kind).toBe(kind));
  }

  it("says what a date shows of its order", () => {
    expect(orderEvidence("25/03/24")).toBe("day first");
    expect(orderEvidence("03/25/24")).toBe("month first");
    expect(orderEvidence("03/04/24")).toBe("either");
    expect(orderEvidence("04/04/24")).toBeNull();
    expect(orderEvidence("2024-03-05")).toBeNull();
  });
});
