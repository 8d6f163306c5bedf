/**
 * Reads zip archives and believes nothing they say of themselves (PKWARE APPNOTE 6.3.10, sections 4.3 and 4.5.3): what an
 * entry unpacks to may be no more than packing could have made of its bytes, unpacking stops where the entry says it
 * ends, and what comes out must have the checksum that stands beside it.
 */
import {Inflate} from "fflate";
import {crc32} from "./crc32.ts";

export interface ZipEntry {
  readonly name: string;
  /** bytes it unpacks to, as the archive says */
  readonly size: number;
  readonly packed: number;
  /** where its own header stands */
  readonly at: number;
  /** 0: stored; 8: deflated */
  readonly method: number;
  readonly locked: boolean;
  readonly checksum: number;
}

/** Says in plain words why an archive, or one file in it, cannot be read. */
export class ZipTrouble extends Error {}

const END = 0x06054b50;
const END_64 = 0x06064b50;
const LOCATOR_64 = 0x07064b50;
const IN_DIRECTORY = 0x02014b50;
const BEFORE_DATA = 0x04034b50;
const WHOLE = 0xffffffff;
/** DEFLATE makes at most 258 bytes of two bits: 1032 to 1. */
const MOST_RATIO = 1032;
/** Packed bytes unpacked at a time: what comes of them is counted before the next. */
const SLICE = 1 << 14;

/**
 * What the directory of an archive lists, in its order.
 *
 * @param most entries that may be listed
 * @throws ZipTrouble
 */
export function zipEntries(archive: Uint8Array, most: number): ZipEntry[] {
  return withinBounds(() => {
    const view = viewOf(archive);
    const {count, from, to} = directoryOf(view);
    if (count > most) throw new ZipTrouble(`it holds more than ${most} files`);
    const entries: ZipEntry[] = [];
    let at = from;
    for (let i = 0; i < count; ++i) {
      if (view.getUint32(at, true) !== IN_DIRECTORY) throw new ZipTrouble("its directory is damaged");
      const nameLength = view.getUint16(at + 28, true);
      const furtherLength = view.getUint16(at + 30, true);
      const flags = view.getUint16(at + 8, true);
      entries.push({
        name: nameOf(archive.subarray(at + 46, at + 46 + nameLength), (flags & 0x800) !== 0),
        ...sizesOf(view, at, at + 46 + nameLength, furtherLength),
        method: view.getUint16(at + 10, true),
        locked: (flags & 0x41) !== 0,
        checksum: view.getUint32(at + 16, true),
      });
      at += 46 + nameLength + furtherLength + view.getUint16(at + 32, true);
    }
    // a directory that goes on behind its count would hide files
    if (at !== to) throw new ZipTrouble("its directory is damaged");
    return entries;
  });
}

/** @throws ZipTrouble: the entry is locked, packed in a way that is not known, or not what the directory says it is */
export function unzipEntry(
  archive: Uint8Array,
  {name, size, packed, at, method, locked, checksum}: ZipEntry,
): Uint8Array {
  const trouble = (what: string): ZipTrouble => new ZipTrouble(`${printable(name)} in it ${what}`);
  if (locked) throw trouble("is locked by a password");
  if (method !== 0 && method !== 8) throw trouble("is packed in a way that is not read here");
  const damaged = trouble("is damaged");
  return withinBounds(() => {
    const view = viewOf(archive);
    if (view.getUint32(at, true) !== BEFORE_DATA) throw damaged;
    const from = at + 30 + view.getUint16(at + 26, true) + view.getUint16(at + 28, true);
    if (from + packed > archive.length) throw damaged;
    const data = archive.subarray(from, from + packed);
    const bytes = method === 0 ? data.slice() : inflated(data, size, damaged);
    if (bytes.length !== size || crc32(bytes) !== checksum) throw damaged;
    return bytes;
  }, damaged);
}

/** As a person can read it. */
export const printable = (name: string): string => name.replace(/\p{Cc}/gu, "·").slice(0, 120);

function inflated(data: Uint8Array, size: number, damaged: ZipTrouble): Uint8Array {
  // before room is made for it
  if (size > (data.length + 1) * MOST_RATIO) throw damaged;
  const bytes = new Uint8Array(size);
  let length = 0;
  let ended = false;
  const stream = new Inflate((piece, last) => {
    if (length + piece.length > size) throw damaged;
    bytes.set(piece, length);
    length += piece.length;
    ended = last;
  });
  try {
    for (let from = 0; from < data.length; from += SLICE)
      stream.push(data.subarray(from, from + SLICE), from + SLICE >= data.length);
  } catch {
    throw damaged;
  }
  return ended ? bytes.subarray(0, length) : bytes.subarray(0, 0);
}

interface Directory {
  readonly count: number;
  readonly from: number;
  readonly to: number;
}

function directoryOf(view: DataView): Directory {
  const none = new ZipTrouble("it has no directory: it is cut off, or no zip file");
  // the archive ends in a remark of at most 65,535 bytes
  let end = view.byteLength - 22;
  while (end >= 0 && view.getUint32(end, true) !== END) if (--end < view.byteLength - 22 - 0xffff) throw none;
  if (end < 0) throw none;
  let count = view.getUint16(end + 10, true);
  let size = view.getUint32(end + 12, true);
  let from = view.getUint32(end + 16, true);
  if (
    (count === 0xffff || size === WHOLE || from === WHOLE) &&
    end >= 20 &&
    view.getUint32(end - 20, true) === LOCATOR_64
  ) {
    const wide = long(view, end - 12);
    if (view.getUint32(wide, true) !== END_64) throw new ZipTrouble("its directory is damaged");
    count = long(view, wide + 32);
    size = long(view, wide + 40);
    from = long(view, wide + 48);
  }
  if (from + size > view.byteLength) throw new ZipTrouble("its directory is damaged");
  return {count, from, to: from + size};
}

/** Sizes and place; where they need more than four bytes they stand in the field 0x0001, in this order (4.5.3). */
function sizesOf(
  view: DataView,
  at: number,
  further: number,
  length: number,
): Pick<ZipEntry, "size" | "packed" | "at"> {
  const narrow = [view.getUint32(at + 24, true), view.getUint32(at + 20, true), view.getUint32(at + 42, true)];
  let wide = 0;
  for (let field = further; field + 4 <= further + length; field += 4 + view.getUint16(field + 2, true))
    if (view.getUint16(field, true) === 1) wide = field + 4;
  const [size = 0, packed = 0, place = 0] = narrow.map((value) => {
    if (value !== WHOLE || wide === 0) return value;
    wide += 8;
    return long(view, wide - 8);
  });
  return {size, packed, at: place};
}

function long(view: DataView, at: number): number {
  return view.getUint32(at, true) + 2 ** 32 * view.getUint32(at + 4, true);
}

/** Whoever packs a file in its own language often forgets to say that its name is UTF-8. */
function nameOf(bytes: Uint8Array, said: boolean): string {
  try {
    return new TextDecoder("utf-8", {fatal: !said}).decode(bytes);
  } catch {
    return new TextDecoder("windows-1252").decode(bytes);
  }
}

const viewOf = (bytes: Uint8Array): DataView => new DataView(bytes.buffer, bytes.byteOffset, bytes.length);

/** What lies outside of the archive is damage like another. */
function withinBounds<T>(read: () => T, damaged = new ZipTrouble("its directory is damaged")): T {
  try {
    return read();
  } catch (error) {
    if (error instanceof RangeError) throw damaged;
    throw error;
  }
}
