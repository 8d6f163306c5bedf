/**
 * Looks at every page of a Parquet file before its values are read: what a page says about itself must fit the file, and
 * its runs must not claim more values than it has. The reader believes both, so that one damaged byte could otherwise
 * fill the memory.
 */
import type {FileMetaData} from "hyparquet";
import {parquetHeader} from "hyparquet/src/column.js";
import {readVarInt} from "hyparquet/src/thrift.js";
import {DamagedParquet, type Decompress} from "./decompress.ts";

/** Values of all columns together: four times the largest logs we know of. */
const MOST_VALUES = 120_000_000;
const MOST_PAGE_BYTES = 256_000_000;
/** Bytes of all pages together, unpacked. */
const MOST_BYTES = 1_000_000_000;

/** @throws DamagedParquet, or whatever the reader of headers throws */
export function checkPages(
  bytes: Uint8Array,
  {row_groups, num_rows}: FileMetaData,
  optional: ReadonlySet<string>,
  decompressors: Readonly<Partial<Record<string, Decompress>>>,
): void {
  let values = 0;
  let rows = 0;
  let unpacked = 0;
  for (const group of row_groups) {
    rows += Number(group.num_rows);
    for (const {meta_data: column} of group.columns) {
      if (column === undefined) throw new DamagedParquet("a column without description");
      const expected = Number(column.num_values);
      values += expected;
      if (!(expected >= 0) || values > MOST_VALUES) throw new DamagedParquet(`more than ${MOST_VALUES} values`);
      const from = Number(column.dictionary_page_offset ?? column.data_page_offset);
      const to = from + Number(column.total_compressed_size);
      if (!(from >= 4 && to <= bytes.length && from <= to)) throw new DamagedParquet("a column outside the file");
      const name = column.path_in_schema[0] ?? "";
      const flat = column.path_in_schema.length === 1;
      const room = MOST_BYTES - unpacked;
      const chunk = bytes.subarray(from, to);
      unpacked += checkChunk(chunk, expected, flat && optional.has(name), decompressors[column.codec], room);
    }
  }
  if (rows !== Number(num_rows)) throw new DamagedParquet(`row groups of ${rows} rows in a file of ${num_rows}`);
}

/** @returns bytes that its pages unpack to: at most `room` */
function checkChunk(
  chunk: Uint8Array,
  expected: number,
  optional: boolean,
  decompress: Decompress | undefined,
  room: number,
): number {
  const reader = {view: new DataView(chunk.buffer, chunk.byteOffset, chunk.length), offset: 0};
  let seen = 0;
  let unpacked = 0;
  while (reader.offset < chunk.length - 1 && seen < expected) {
    const header = parquetHeader(reader);
    const {compressed_page_size: packed, uncompressed_page_size: size} = header;
    if (!(packed >= 0) || !(size >= 0) || size > MOST_PAGE_BYTES || reader.offset + packed > chunk.length)
      throw new DamagedParquet("a page that does not fit the file");
    unpacked += size;
    if (unpacked > room) throw new DamagedParquet(`it would unpack to more than ${MOST_BYTES / 1e6} MB`);
    const body = chunk.subarray(reader.offset, reader.offset + packed);
    reader.offset += packed;
    const {data_page_header: one, data_page_header_v2: two, dictionary_page_header: dictionary} = header;
    const count = one?.num_values ?? two?.num_values ?? 0;
    seen += count;
    if (count < 0 || seen > expected || (dictionary?.num_values ?? 0) > size + 1)
      throw new DamagedParquet("a page with more values than its column");
    if (one !== undefined) {
      const page = decompress === undefined ? body : decompress(body, size);
      let at = 0;
      if (optional) {
        const length = new DataView(page.buffer, page.byteOffset, page.length).getUint32(0, true);
        checkRuns(page.subarray(4, 4 + length), 1, count);
        at = 4 + length;
      }
      // how many of the values are missing is not said here, so the runs may end early
      if (isCoded(one.encoding)) checkRuns(page.subarray(at + 1), page[at] ?? 0, count, optional);
    } else if (two !== undefined) {
      const {repetition_levels_byte_length: repetition, definition_levels_byte_length: definition} = two;
      const nulls = two.num_nulls;
      const fits = repetition >= 0 && definition >= 0 && repetition + definition <= Math.min(packed, size);
      if (!fits || !(nulls >= 0 && nulls <= count)) throw new DamagedParquet("a page that does not fit the file");
      const levels = repetition + definition;
      if (optional) checkRuns(body.subarray(repetition, levels), 1, count);
      const rest = body.subarray(levels);
      const page = two.is_compressed === false || decompress === undefined ? rest : decompress(rest, size - levels);
      if (isCoded(two.encoding)) checkRuns(page.subarray(1), page[0] ?? 0, count - nulls);
    }
  }
  return unpacked;
}

function isCoded(encoding: string): boolean {
  return encoding === "RLE_DICTIONARY" || encoding === "PLAIN_DICTIONARY";
}

/** Runs of one repeated value and runs of packed values; a run may end a few values behind the last one. */
function checkRuns(bytes: Uint8Array, width: number, count: number, early = false): void {
  if (width > 32) throw new DamagedParquet("codes too wide");
  const reader = {view: new DataView(bytes.buffer, bytes.byteOffset, bytes.length), offset: 0};
  let seen = 0;
  while (seen < count && reader.offset < bytes.length) {
    const header = readVarInt(reader);
    const run = (header & 1) === 1 ? (header >>> 1) * 8 : header >>> 1;
    if (run === 0) throw new DamagedParquet("an empty run");
    seen += run;
    if (seen > count + PADDING) throw new DamagedParquet("a run with more values than its page");
    reader.offset += (header & 1) === 1 ? (header >>> 1) * width : (width + 7) >> 3;
  }
  if (seen < count && !early) throw new DamagedParquet("a page with fewer values than it says");
}

/** Packed runs hold whole groups of 8; writers pad to 512 at most. */
const PADDING = 512;
