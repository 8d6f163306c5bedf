/**
 * Parquet files to raw sheets. Values come typed: dates and numbers become texts that can be read one way only, never
 * through the words of a locale. Rows are numbered as in a table whose headers stand in line 1.
 */
import {parquetMetadata, parquetRead, type DecodedArray, type FileMetaData, type ParquetParsers} from "hyparquet";
import type {Words} from "../../shared/columnar.ts";
import {MOST_COLUMNS} from "./SheetBuilder.ts";
import type {LogFile, RawSheet, SheetsRead} from "./rawSheet.ts";
import type {FoundWith} from "./sink.ts";
import type {Watch} from "./Watch.ts";
import {checkPages} from "./parquet/checkPages.ts";
import {gunzip, unsnap, type Decompress} from "./parquet/decompress.ts";
import {plain} from "./xlsx/numberFormats.ts";

const DECOMPRESSORS = {SNAPPY: unsnap, GZIP: gunzip} as const satisfies Partial<Record<string, Decompress>>;

/** Dates as texts, so that no object is made for each. */
const PARSERS: Partial<ParquetParsers> = {
  dateFromDays: (days) => dateText(days * 86_400_000),
  timestampFromMilliseconds: (ms) => dateText(Number(ms)),
  timestampFromMicroseconds: (us) => dateText(Number(us / 1000n)),
  timestampFromNanoseconds: (ns) => dateText(Number(ns / 1_000_000n)),
  jsonFromBytes: (bytes) => new TextDecoder().decode(bytes),
};

function dateText(ms: number): string {
  if (!(Math.abs(ms) < 8.64e15)) return "";
  const iso = new Date(ms).toISOString();
  if (iso.endsWith("T00:00:00.000Z")) return iso.slice(0, 10);
  return iso.slice(0, iso.endsWith(":00.000Z") ? 16 : 19).replace("T", " ");
}

export async function readParquet({name: file, bytes}: LogFile, watch: Watch): Promise<SheetsRead> {
  const refuse = (message: string, remedy: string): SheetsRead => ({
    sheets: [],
    notes: [{rule: "file-unread", file, message: `${file} cannot be read as Parquet: ${message}`, remedy}],
  });
  let metadata: FileMetaData;
  try {
    metadata = parquetMetadata(bytes, {geoparquet: false});
  } catch {
    return refuse("its directory is damaged or missing", "export it again");
  }
  const codec = metadata.row_groups
    .flatMap(({columns}) => columns.map(({meta_data}) => meta_data?.codec ?? "unknown"))
    .find((one) => one !== "UNCOMPRESSED" && !Object.hasOwn(DECOMPRESSORS, one));
  if (codec !== undefined)
    return refuse(`its columns are packed by ${codec}`, "write it with snappy, gzip or no compression, or as CSV");
  const leaves = topColumns(metadata);
  try {
    checkPages(bytes, metadata, new Set(leaves.filter(({optional}) => optional).map(({name}) => name)), DECOMPRESSORS);
    return await readColumns(file, bytes, metadata, leaves, watch);
  } catch (error) {
    watch.rethrowStop();
    return refuse(error instanceof Error ? error.message : "it is damaged", "export it again");
  }
}

interface Column {
  readonly name: string;
  readonly optional: boolean;
  /** a list or a record */
  readonly nested: boolean;
  readonly single: boolean;
}

/** The columns below the root of the schema, which lists all of them depth first. */
function topColumns({schema}: FileMetaData): Column[] {
  const columns: Column[] = [];
  let inside = 0;
  for (const {name, num_children, repetition_type, type} of schema.slice(1)) {
    const children = num_children ?? 0;
    if (inside === 0) {
      const nested = children > 0 || repetition_type === "REPEATED";
      columns.push({name, nested, optional: repetition_type === "OPTIONAL", single: type === "FLOAT"});
    } else --inside;
    inside += children;
  }
  return columns;
}

async function readColumns(
  file: string,
  bytes: Uint8Array,
  metadata: FileMetaData,
  columns: readonly Column[],
  watch: Watch,
): Promise<SheetsRead> {
  const notes: FoundWith[] = [];
  const rows = Number(metadata.num_rows);
  const flat = columns.filter(({nested}) => !nested).slice(0, MOST_COLUMNS);
  for (const {name} of columns.filter(({nested}) => nested)) {
    const message = `"${name}" holds lists or records and is not used`;
    notes.push({rule: "header-unknown", file, column: name, found: name, message});
  }
  if (columns.length - notes.length > flat.length)
    notes.push({rule: "header-unknown", file, message: `columns beyond the first ${MOST_COLUMNS} are not used`});
  const source = {
    byteLength: bytes.length,
    slice: (start: number, end?: number) => Uint8Array.from(bytes.subarray(start, end)).buffer,
  };
  const cells: Words[] = [];
  for (const {name, single} of flat) {
    const coder = new Coder(rows, single);
    const onChunk = ({columnData, rowStart}: {columnData: DecodedArray; rowStart: number}): void =>
      coder.take(columnData, rowStart);
    await parquetRead({
      file: source,
      metadata,
      columns: [name],
      compressors: DECOMPRESSORS,
      parsers: PARSERS,
      geoparquet: false,
      onChunk,
    });
    cells.push(coder.build());
    // a column of a log takes some tens of milliseconds: a good place to let others act
    const pause = watch.share(cells.length / flat.length, rows);
    if (pause !== null) await pause;
  }
  const sheet: RawSheet = {
    file,
    sheet: null,
    header: flat.map(({name}) => name.trim().replace(/\s+/g, " ")),
    headerLine: 1,
    unitRow: null,
    rows,
    line: Int32Array.from({length: rows}, (_, row) => row + 2),
    cells,
    surplus: new Map(),
    decimalHint: ".",
  };
  return {sheets: [sheet], notes};
}

/** Values of one column to codes; a value that stands in a thousand rows is turned into text once. */
class Coder {
  readonly #codes: Int32Array;
  readonly #single: boolean;
  readonly #words: string[] = [];
  readonly #byText = new Map<string, number>();
  readonly #byValue = new Map<unknown, number>();

  constructor(rows: number, single: boolean) {
    this.#codes = new Int32Array(rows).fill(-1);
    this.#single = single;
  }

  take(values: DecodedArray, from: number): void {
    const length = Math.min(values.length, this.#codes.length - from);
    for (let i = 0; i < length; ++i) {
      const value: unknown = values[i];
      if (value === null || value === undefined) continue;
      let code = this.#byValue.get(value);
      if (code === undefined) {
        code = this.#codeOf(textOf(value, this.#single));
        this.#byValue.set(value, code);
      }
      this.#codes[from + i] = code;
    }
  }

  build(): Words {
    return {codes: this.#codes, words: this.#words};
  }

  #codeOf(text: string): number {
    if (text.trim() === "") return -1;
    let code = this.#byText.get(text);
    if (code === undefined) {
      code = this.#words.push(text) - 1;
      this.#byText.set(text, code);
    }
    return code;
  }
}

/** A number of single precision has 7 digits; more would only be noise. NaN is how some writers say nothing. */
function textOf(value: unknown, single: boolean): string {
  if (typeof value === "string") return value;
  if (typeof value === "number") {
    if (Number.isNaN(value)) return "";
    return plain(single ? Number(value.toPrecision(7)) : value);
  }
  if (typeof value === "bigint") return value.toString();
  if (typeof value === "boolean") return value ? "TRUE" : "FALSE";
  if (value instanceof Uint8Array) return new TextDecoder().decode(value);
  return "";
}
