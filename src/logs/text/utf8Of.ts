/** Any text file to UTF-8: byte order mark, else UTF-8 where it is valid, else the Western code page that spreadsheets save in. */
import {looksWide} from "../sniff.ts";

export type Encoding = "utf-8" | "utf-16le" | "utf-16be" | "windows-1252";

export interface Utf8 {
  /** the text in UTF-8, without byte order mark; the file's own bytes where they are that already */
  readonly bytes: Uint8Array;
  /** of the file */
  readonly encoding: Encoding;
  /** the text had been saved twice in different encodings, and was put right */
  readonly mended: boolean;
}

/** Bytes decoded in one go: enough to be quick, little beside what a large file holds. */
const PIECE_BYTES = 1 << 22;

/** The text of a file, which is never held as one string: a large one would not fit. */
export function utf8Of(bytes: Uint8Array): Utf8 {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return encoded(bytes.subarray(2), "utf-16le");
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return encoded(bytes.subarray(2), "utf-16be");
  const wide = looksWide(bytes);
  if (wide !== null) return encoded(bytes, wide);
  const bare = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? bytes.subarray(3) : bytes;
  if (isAscii(bare)) return {bytes: bare, encoding: "utf-8", mended: false};
  return isUtf8(bare) ? mended(bare) : encoded(bytes, "windows-1252");
}

function encoded(bytes: Uint8Array, encoding: Encoding): Utf8 {
  const encoder = new TextEncoder();
  return {bytes: joined([...texts(bytes, encoding)].map((text) => encoder.encode(text))), encoding, mended: false};
}

function mended(bytes: Uint8Array): Utf8 {
  let found = false;
  for (const text of texts(bytes, "utf-8")) found ||= TWICE_ENCODED.test(text);
  if (!found) return {bytes, encoding: "utf-8", mended: false};
  const encoder = new TextEncoder();
  const pieces = Array.from(texts(bytes, "utf-8"), (text) =>
    encoder.encode(text.replace(TWICE_ENCODED_ALL, onceEncoded)),
  );
  return {bytes: joined(pieces), encoding: "utf-8", mended: true};
}

/** The pieces together are the text. */
function* texts(bytes: Uint8Array, encoding: Encoding): Generator<string, void> {
  const decoder = new TextDecoder(encoding);
  for (let from = 0; from < bytes.length; from += PIECE_BYTES) {
    const to = from + PIECE_BYTES;
    yield decoder.decode(bytes.subarray(from, to), {stream: to < bytes.length});
  }
}

function joined(pieces: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(pieces.reduce((sum, {length}) => sum + length, 0));
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}

/** Most logs are, and then nothing needs to be decoded to know it. Four bytes at a time, where they are aligned. */
function isAscii(bytes: Uint8Array): boolean {
  const head = Math.min(-bytes.byteOffset & 3, bytes.length);
  const fours = new Uint32Array(bytes.buffer, bytes.byteOffset + head, (bytes.length - head) >> 2);
  for (let i = 0; i < fours.length; ++i) if ((fours[i]! & 0x80808080) !== 0) return false;
  for (let i = 0; i < head; ++i) if (bytes[i]! > 127) return false;
  for (let i = head + 4 * fours.length; i < bytes.length; ++i) if (bytes[i]! > 127) return false;
  return true;
}

function isUtf8(bytes: Uint8Array): boolean {
  const decoder = new TextDecoder("utf-8", {fatal: true});
  try {
    for (let from = 0; from < bytes.length; from += PIECE_BYTES)
      decoder.decode(bytes.subarray(from, from + PIECE_BYTES), {stream: from + PIECE_BYTES < bytes.length});
    return true;
  } catch {
    return false;
  }
}

/** What the Western code page shows for the bytes 0x80 to 0x9f; a dot where it shows nothing. */
const UPPER = "€.‚ƒ„…†‡ˆ‰Š‹Œ.Ž..‘’“”•–—˜™š›œ.žŸ";

/** Text that had been UTF-8, was read as Western text and saved again: `Â°C`. */
const TWICE_ENCODED = new RegExp(`[ÂÃ][\\u0080-\\u00bf${UPPER.replaceAll(".", "")}]`);
const TWICE_ENCODED_ALL = new RegExp(TWICE_ENCODED, "g");

/** The letter whose two UTF-8 bytes are shown as two Western letters. */
function onceEncoded(pair: string): string {
  const second = pair.charCodeAt(1);
  const byte = second <= 0xbf ? second : 0x80 + UPPER.indexOf(pair[1]!);
  return String.fromCharCode(((pair.charCodeAt(0) & 0x1f) << 6) | (byte & 0x3f));
}
