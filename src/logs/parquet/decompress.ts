/** Packed pages to bytes. No room is made for more than packing could have made of them, and none is filled beyond it. */
import {Gunzip} from "fflate";
import {snappyUncompress} from "hyparquet";

/** @throws DamagedParquet, or whatever the reader of packed bytes throws */
export type Decompress = (input: Uint8Array, length: number) => Uint8Array;

export class DamagedParquet extends Error {}

/** A copy of 64 bytes takes 3 (Snappy format description, 2.2.2). */
const MOST_SNAPPY = 64 / 3;
/** 258 bytes of two bits (RFC 1951). */
const MOST_GZIP = 1032;
/** Packed bytes unpacked at a time: what comes of them is counted before the next. */
const SLICE = 1 << 14;

export function unsnap(input: Uint8Array, length: number): Uint8Array {
  const output = room(input, length, MOST_SNAPPY);
  snappyUncompress(input, output);
  return output;
}

export function gunzip(input: Uint8Array, length: number): Uint8Array {
  const output = room(input, length, MOST_GZIP);
  let filled = 0;
  const stream = new Gunzip((piece) => {
    if (filled + piece.length > length) throw new DamagedParquet("a page larger than it says");
    output.set(piece, filled);
    filled += piece.length;
  });
  for (let from = 0; from < input.length; from += SLICE)
    stream.push(input.subarray(from, from + SLICE), from + SLICE >= input.length);
  if (filled !== length) throw new DamagedParquet("a page smaller than it says");
  return output;
}

function room(input: Uint8Array, length: number, ratio: number): Uint8Array {
  if (length > (input.length + 1) * ratio) throw new DamagedParquet("a page larger than its bytes can unpack to");
  return new Uint8Array(length);
}
