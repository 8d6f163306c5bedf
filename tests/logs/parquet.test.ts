import {gzipSync} from "fflate";
import {parquetWriteBuffer} from "hyparquet-writer";
import {describe, expect, it} from "vitest";
import {importLogs, readLifeTable} from "../../src/logs/index.ts";
import {bytesOf, importTexts} from "./logFiles.ts";

type ColumnData = Parameters<typeof parquetWriteBuffer>[0]["columnData"];

const RUNS: ColumnData = [
  {name: "Run No", data: ["1", "2", "3"], type: "STRING"},
  {name: "Tool SN", data: ["K1-101", "K1-102", "K1-101"], type: "STRING"},
  {
    name: "Run Start",
    data: ["2024-01-03T10:00Z", "2024-01-04T10:30Z", "2024-02-03T07:45Z"].map((text) => new Date(text)),
    type: "TIMESTAMP",
  },
  {name: "Run End", data: Int32Array.of(19729, 19730, 19759)},
  {name: "Circ Hrs", data: [60.5, 55, 41.234], type: "DOUBLE"},
  {name: "BRT Hrs", data: Float32Array.of(80.1, 70, 60)},
  {name: "Mud Type", data: ["KCl polymer", null, "OBM"], type: "STRING"},
  {name: "pulses", data: [120000n, 90000n, 80000n], type: "INT64"},
];
// 19729 days since 1970 is 2024-01-07
const SCHEMA = [
  {name: "root", num_children: 8},
  {name: "Run No", type: "BYTE_ARRAY", converted_type: "UTF8", repetition_type: "REQUIRED"},
  {name: "Tool SN", type: "BYTE_ARRAY", converted_type: "UTF8", repetition_type: "REQUIRED"},
  {name: "Run Start", type: "INT64", converted_type: "TIMESTAMP_MILLIS", repetition_type: "REQUIRED"},
  {name: "Run End", type: "INT32", converted_type: "DATE", repetition_type: "REQUIRED"},
  {name: "Circ Hrs", type: "DOUBLE", repetition_type: "OPTIONAL"},
  {name: "BRT Hrs", type: "FLOAT", repetition_type: "REQUIRED"},
  {name: "Mud Type", type: "BYTE_ARRAY", converted_type: "UTF8", repetition_type: "OPTIONAL"},
  {name: "pulses", type: "INT64", repetition_type: "REQUIRED"},
] as const;

const written = (options: Partial<Parameters<typeof parquetWriteBuffer>[0]> = {}): Uint8Array => {
  const columnData = RUNS.map(({name, data}) => ({name, data}));
  return new Uint8Array(parquetWriteBuffer({columnData, schema: [...SCHEMA], ...options}));
};

describe("importLogs([parquet])", () => {
  const CSV = [
    "Run No,Tool SN,Run Start,Run End,Circ Hrs,BRT Hrs,Mud Type,pulses",
    "1,K1-101,2024-01-03 10:00,2024-01-07,60.5,80.1,KCl polymer,120000",
    "2,K1-102,2024-01-04 10:30,2024-01-08,55,70,,90000",
    "3,K1-101,2024-02-03 07:45,2024-02-06,41.234,60,OBM,80000",
  ].join("\n");

  const packings: readonly (readonly [string, Partial<Parameters<typeof parquetWriteBuffer>[0]>])[] = [
    ["snappy", {}],
    ["no compression", {codec: "UNCOMPRESSED"}],
    ["gzip", {codec: "GZIP", compressors: {GZIP: (input) => gzipSync(input)}}],
    ["many row groups", {rowGroupSize: 1}],
  ];
  for (const [packing, options] of packings) {
    it(`gives what the same log gives as CSV, with ${packing}`, async () => {
      const logs = await importLogs([{name: "runs.parquet", bytes: written(options)}]);
      const text = await importTexts({"runs.csv": CSV});
      expect(logs.runs.columns).toEqual(text.runs.columns);
      expect(logs.runs.line).toEqual(text.runs.line);
      expect(logs.findings.map(({rule}) => rule)).toEqual(text.findings.map(({rule}) => rule));
    });
  }

  it("tells of a packing it cannot undo", async () => {
    const bytes = written({codec: "ZSTD", compressors: {ZSTD: (input) => input}});
    const logs = await importLogs([{name: "runs.parquet", bytes}]);
    expect(logs.findings).toMatchObject([
      {rule: "file-unread", message: "runs.parquet cannot be read as Parquet: its columns are packed by ZSTD"},
    ]);
    expect(logs.counts).toHaveLength(1);
  });

  it("tells of columns that hold lists", async () => {
    const columnData: ColumnData = [
      ...RUNS.map(({name, data}) => ({name, data})),
      {name: "readings", data: [[1], [2], []]},
    ];
    const schema = [
      {name: "root", num_children: 9},
      ...SCHEMA.slice(1),
      {name: "readings", converted_type: "LIST", num_children: 1, repetition_type: "OPTIONAL"},
      {name: "list", num_children: 1, repetition_type: "REPEATED"},
      {name: "element", type: "INT32", repetition_type: "OPTIONAL"},
    ] as Parameters<typeof parquetWriteBuffer>[0]["schema"];
    const logs = await importLogs([
      {name: "runs.parquet", bytes: new Uint8Array(parquetWriteBuffer({columnData, schema: schema!}))},
    ]);
    expect(logs.runs.rows).toBe(3);
    expect(logs.findings).toContainEqual(
      expect.objectContaining({rule: "header-unknown", message: '"readings" holds lists or records and is not used'}),
    );
  });

  it("tells of a file that breaks off", async () => {
    const good = written();
    for (const bytes of [good.slice(0, good.length - 20), bytesOf("PAR1"), good.slice(0, 40)]) {
      const logs = await importLogs([{name: "runs.parquet", bytes}]);
      expect(logs.findings.map(({rule}) => rule)).toEqual(["file-unread"]);
    }
  });

  it("stops at once when it is told to", async () => {
    const stop = new AbortController();
    const files = [{name: "runs.parquet", bytes: written()}];
    stop.abort(new Error("enough"));
    await expect(importLogs(files, {signal: stop.signal})).rejects.toThrow("enough");
  });
});

describe("readLifeTable(parquet)", () => {
  it("reads ages, statuses and groups", async () => {
    const columnData: ColumnData = [
      {name: "time", data: Float64Array.of(410, 700)},
      {name: "status", data: ["failed", "suspended"], type: "STRING"},
      {name: "lot", data: ["L1", "L2"], type: "STRING"},
    ];
    const lives = await readLifeTable({name: "lives.parquet", bytes: new Uint8Array(parquetWriteBuffer({columnData}))});
    expect([...lives.lower]).toEqual([410, 700]);
    expect([...lives.upper]).toEqual([410, Infinity]);
    expect(Object.keys(lives.columns)).toEqual(["lot"]);
  });
});
