/** Zip archives made and changed by hand (PKWARE APPNOTE 6.3.10), so that a test can say exactly what is wrong in one. */
import {strToU8, Zip, ZipDeflate, ZipPassThrough} from "fflate";

export const IN_DIRECTORY = 0x02014b50;
export const BEFORE_DATA = 0x04034b50;
export const END = 0x06054b50;

/** Where the fields of a header stand, in the directory and before the data. */
export const FIELDS = {
  directory: {flags: 8, method: 10, checksum: 16, packed: 20, size: 24, place: 42},
  data: {flags: 6, method: 8, checksum: 14, packed: 18, size: 22},
} as const;

export type ZipFiles = readonly (readonly [name: string, file: string | Uint8Array])[];

/** Files in their order; names may be any, and twice. */
export function zip(files: ZipFiles | Readonly<Record<string, string | Uint8Array>>, level: 0 | 6 | 9 = 6): Uint8Array {
  const pieces: Uint8Array[] = [];
  const archive = new Zip((_, piece) => pieces.push(piece));
  for (const [name, file] of Array.isArray(files) ? (files as ZipFiles) : Object.entries(files)) {
    const entry = level === 0 ? new ZipPassThrough(name) : new ZipDeflate(name, {level});
    archive.add(entry);
    entry.push(typeof file === "string" ? strToU8(file) : file.slice(), true);
  }
  archive.end();
  return joined(pieces);
}

/** Offsets of every header of one kind. */
export function headersOf(archive: Uint8Array, signature: number): number[] {
  const view = new DataView(archive.buffer, archive.byteOffset, archive.length);
  const found: number[] = [];
  for (let at = 0; at + 22 <= archive.length; ++at) if (view.getUint32(at, true) === signature) found.push(at);
  return found;
}

/** A copy with bytes changed, e.g. `changed(archive, (view, directory) => view.setUint32(directory[0]! + 24, 9, true))`. */
export function changed(
  archive: Uint8Array,
  change: (view: DataView, directory: readonly number[], data: readonly number[]) => void,
): Uint8Array {
  const copy = archive.slice();
  change(new DataView(copy.buffer), headersOf(copy, IN_DIRECTORY), headersOf(copy, BEFORE_DATA));
  return copy;
}

/** The same archive written as one that might be larger than 4 GB: sizes and places stand in eight bytes. */
export function zip64(archive: Uint8Array): Uint8Array {
  const view = new DataView(archive.buffer, archive.byteOffset, archive.length);
  const [end = 0] = headersOf(archive, END).slice(-1);
  const from = view.getUint32(end + 16, true);
  const entries = headersOf(archive, IN_DIRECTORY).map((at) => {
    const nameLength = view.getUint16(at + 28, true);
    const entry = new Uint8Array(46 + nameLength + 28);
    entry.set(archive.subarray(at, at + 46 + nameLength));
    const out = new DataView(entry.buffer);
    const field = 46 + nameLength;
    out.setUint16(30, 28, true);
    out.setUint16(field, 1, true);
    out.setUint16(field + 2, 24, true);
    [24, 20, 42].forEach((place, i) => {
      out.setUint32(field + 4 + 8 * i, view.getUint32(at + place, true), true);
      out.setUint32(place, 0xffffffff, true);
    });
    return entry;
  });
  const size = entries.reduce((sum, {length}) => sum + length, 0);
  const wide = new DataView(new ArrayBuffer(56));
  wide.setUint32(0, 0x06064b50, true);
  wide.setUint32(4, 44, true);
  for (const at of [24, 32]) wide.setUint32(at, entries.length, true);
  wide.setUint32(40, size, true);
  wide.setUint32(48, from, true);
  const locator = new DataView(new ArrayBuffer(20));
  locator.setUint32(0, 0x07064b50, true);
  locator.setUint32(8, from + size, true);
  locator.setUint32(16, 1, true);
  const last = archive.slice(end);
  const ends = new DataView(last.buffer);
  for (const at of [8, 10]) ends.setUint16(at, 0xffff, true);
  for (const at of [12, 16]) ends.setUint32(at, 0xffffffff, true);
  return joined([archive.subarray(0, from), ...entries, bytesOf(wide), bytesOf(locator), last]);
}

const bytesOf = ({buffer}: DataView): Uint8Array => new Uint8Array(buffer);

export function joined(pieces: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(pieces.reduce((sum, {length}) => sum + length, 0));
  let at = 0;
  for (const piece of pieces) {
    all.set(piece, at);
    at += piece.length;
  }
  return all;
}
