/** Ways to damage a Parquet file: its bytes, its directory, the headers of its pages, and pages that swell. */
import {gzipSync} from "fflate";
import {parquetWriteBuffer} from "hyparquet-writer";
import type {LogFile} from "../../src/logs/index.ts";
import type {Random} from "../../src/statistics/index.ts";
import {chance, changed, oneOf, pick, times} from "./draws.ts";
import {parquetFile} from "./logs.ts";

const TEXTS = parquetFile().bytes;

const columnData = [
  {name: "run", data: ["1", "2", "3", "4"]},
  {name: "tool", data: ["A", "B", "A", "A"]},
  {name: "end", data: ["2024-03-05", "2024-03-06", "2024-03-15", "2024-03-25"].map((day) => new Date(day))},
  {name: "circulating_h", data: [40, 41.5, null, 42]},
  {name: "mud", data: ["OBM", null, "OBM", "OBM"]},
];
const TYPED = (["SNAPPY", "UNCOMPRESSED", "GZIP"] as const).map(
  (codec) => new Uint8Array(parquetWriteBuffer({columnData, codec, compressors: {GZIP: (bytes) => gzipSync(bytes)}})),
);
/** One page that unpacks to 30 MB, in 30 kB. */
const SWOLLEN = new Uint8Array(
  parquetWriteBuffer({
    columnData: [{name: "run", data: ["0".repeat(15_000_000), "0".repeat(15_000_000)]}, ...columnData.slice(1, 2)].map(
      ({name, data}) => ({name, data: data.slice(0, 2)}),
    ),
    codec: "GZIP",
    compressors: {GZIP: (bytes) => gzipSync(bytes, {level: 9})},
  }),
);

const named = (bytes: Uint8Array): LogFile[] => [{name: "runs.parquet", bytes}];

export const PARQUET_WAYS: Readonly<Record<string, (random: Random) => readonly LogFile[]>> = {
  "bytes of Parquet": (random) => named(changed(random, oneOf(random, [TEXTS, ...TYPED]))),
  "directory of Parquet": (random) => named(withDirectory(random, oneOf(random, [TEXTS, ...TYPED]))),
  "pages of Parquet": (random) =>
    named(withPages(random, chance(random, 12) ? SWOLLEN : oneOf(random, [TEXTS, ...TYPED]))),
};

/** A file ends in its directory, the length of that, and PAR1. */
function withDirectory(random: Random, good: Uint8Array): Uint8Array {
  const how = pick(random, 4);
  if (how === 0) return good.slice(0, good.length - 1 - pick(random, 200));
  const bytes = good.slice();
  const view = new DataView(bytes.buffer);
  const length = view.getUint32(bytes.length - 8, true);
  const from = bytes.length - 8 - length;
  if (how === 1) {
    const lengths = [0, 1, length - 1, length + 1, bytes.length, 0x7fffffff, 0xffffffff, pick(random, bytes.length)];
    view.setUint32(bytes.length - 8, oneOf(random, lengths), true);
  } else for (let i = times(random, 5); i >= 0; --i) bytes[from + pick(random, length)] = pick(random, 256);
  return bytes;
}

/** Pages stand between PAR1 and the directory, each behind a short header that says how long it is. */
function withPages(random: Random, good: Uint8Array): Uint8Array {
  const bytes = good.slice();
  const length = new DataView(bytes.buffer).getUint32(bytes.length - 8, true);
  const pages = bytes.length - 12 - length;
  for (let i = times(random, 4); i >= 0; --i) {
    const at = 4 + pick(random, Math.min(pages, chance(random, 2) ? 40 : pages));
    bytes[at] = oneOf(random, [0, 1, 0x7f, 0x80, 0xff, pick(random, 256)]);
  }
  return bytes;
}
