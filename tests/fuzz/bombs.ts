/** Packed bytes that swell to gigabytes, made without making the gigabytes. */
import {Deflate, strToU8} from "fflate";
import {joined} from "../logs/zipFiles.ts";

export interface Bomb {
  /** DEFLATE (RFC 1951) */
  readonly packed: Uint8Array;
  /** bytes it unpacks to */
  readonly size: number;
}

/** The last block of a stream: stored, of no bytes (RFC 1951, 3.2.4). */
const LAST = Uint8Array.of(1, 0, 0, 0xff, 0xff);
const PIECE = 1 << 20;

/** A text again and again until it has so many bytes. One piece is packed, ends on a whole byte, and is put down many times. */
export function bombOf(text: string, size: number): Bomb {
  const piece = strToU8(text.repeat(Math.ceil(PIECE / text.length)));
  const packed: Uint8Array[] = [];
  const stream = new Deflate({level: 9}, (bytes) => packed.push(bytes.slice()));
  stream.push(piece);
  stream.flush();
  const one = joined(packed);
  const count = Math.ceil(size / piece.length);
  return {packed: joined([...Array.from({length: count}, () => one), LAST]), size: count * piece.length};
}
