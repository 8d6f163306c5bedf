/** Good logs in every format that is read, small enough that a damaged one is read in a blink. All invented. */
import {parquetWriteBuffer} from "hyparquet-writer";
import type {LogFile} from "../../src/logs/index.ts";
import {dayOf, partsOf, STYLES, workbook, type TestSheet} from "../logs/workbook.ts";

const RUNS = [
  "Run No,Tool SN,Fleet,Run Start,Run End,Circ Hrs,BRT Hrs,Mud Type,MW [SG],Flow (gpm),Outcome,Failed At [h],Remarks",
  "1,K1-101,Alder,2024-01-03 10:00,2024-01-07 09:00,60.5,80,KCl polymer,1.25,250,completed,,",
  "2,K1-102,Alder,2024-01-04 10:00,2024-01-08 09:00,55,81,brine,1.20,240,failed,40.5,no pulses",
  '3,K1-101,Alder,2024-02-03 10:00,2024-02-06 09:00,41.2,70,NADF,1.30,260,completed,,"two, words"',
  "4,K1-103,Alder,13/02/2024,16/02/2024,31.2,60,OBM,1.30,260,LIH,,Ünruhig °C",
  "5,K1-102,Alder,03/03/2024,06/03/2024,21.2,50,KCl,1.10,260,pulled,,",
];
const REBUILDS = [
  "WO,Tool S/N,Teardown Date,Part,Position,Found,Defect,Ended Run,Action,Part SN,Hours On Part,Measured (mm),Remarks",
  "R1,K1-101,2024-01-15,Lip seal,upper,FAILED,abraded,yes,Replaced,,60.5,1.2,",
  "R1,K1-101,2024-01-15,Liner,,OK,,no,Reused,L-1,60.5,40.1,",
  "R2,K1-102,2024-01-20,Tip,,worn,edge chipped,no,Replaced,T-4,55,28,",
  "R3,K1-102,2024-03-20,Shaft,,OK,,,Fitted used,S-7,76,,from stock",
];

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);

function wide(text: string): Uint8Array {
  const bytes = new Uint8Array(2 + 2 * text.length);
  bytes.set([0xff, 0xfe]);
  for (let i = 0; i < text.length; ++i) {
    bytes[2 + 2 * i] = text.charCodeAt(i) & 0xff;
    bytes[3 + 2 * i] = text.charCodeAt(i) >> 8;
  }
  return bytes;
}

function western(text: string): Uint8Array {
  return Uint8Array.from(text, (letter) => letter.charCodeAt(0) & 0xff);
}

export const TEXTS: readonly (readonly [name: string, lines: readonly string[]])[] = [
  ["runs.csv", RUNS],
  ["rebuilds.csv", REBUILDS],
];

export const ENCODINGS: readonly ((text: string) => Uint8Array)[] = [
  utf8,
  (text) => utf8(`\ufeff${text}`),
  wide,
  western,
  (text) => utf8(String.fromCharCode(...utf8(text))),
];

const SHEETS: readonly TestSheet[] = [
  {
    name: "Runs",
    rows: [
      ["Run No", "Tool SN", "Run End", "Circ Hrs", "Mud Type", "Sand (%)"],
      ["1", "K1-101", {day: dayOf("2024-01-07")}, 60.5, "KCl polymer", 0.2],
      ["2", "K1-102", {day: dayOf("2024-01-08T10:00"), style: STYLES.dateTime}, 55, "brine", null],
      ["3", "K1-101", {day: dayOf("2024-02-06")}, {raw: 't="e"><f>A1</f><v>#N/A</v>'}, "=1+2", true],
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

export function bookFile(): LogFile {
  return {name: "logs.xlsx", bytes: workbook(SHEETS)};
}

/** The parts of the same workbook, as texts. */
export const bookParts = (): Record<string, string> => partsOf(SHEETS);

export function parquetFile(): LogFile {
  const rows = RUNS.slice(1).map((line) => line.split(","));
  const columnData = RUNS[0]!.split(",").map((name, at) => ({name, data: rows.map((row) => row[at] ?? "")}));
  return {name: "runs.parquet", bytes: new Uint8Array(parquetWriteBuffer({columnData}))};
}
