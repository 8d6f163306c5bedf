/** Bytes to text: byte order mark, else UTF-8 where it is valid, else the Western code page that spreadsheets save in. */
import {looksWide} from "./sniff.ts";

export type Encoding = "utf-8" | "utf-16le" | "utf-16be" | "windows-1252";

export interface TextPieces {
  readonly encoding: Encoding;
  /** a piece of the text with the share of the bytes that are read; the pieces together are the text */
  pieces(): Generator<{readonly text: string; readonly share: number}, void>;
}

/** Bytes decoded in one go: enough to be quick, little beside what a large file holds. */
const PIECE_BYTES = 1 << 22;

/** The text of a file, piece by piece: a file of hundreds of megabytes is never held as one text beside its bytes. */
export function decodeText(bytes: Uint8Array): TextPieces {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return decode(bytes.subarray(2), "utf-16le");
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return decode(bytes.subarray(2), "utf-16be");
  return decode(bytes, looksWide(bytes) ?? (isUtf8(bytes) ? "utf-8" : "windows-1252"));
}

function decode(bytes: Uint8Array, encoding: Encoding): TextPieces {
  return {
    encoding,
    *pieces() {
      const decoder = new TextDecoder(encoding);
      for (let from = 0; from < bytes.length; from += PIECE_BYTES) {
        const to = from + PIECE_BYTES;
        const text = decoder.decode(bytes.subarray(from, to), {stream: to < bytes.length});
        yield {text, share: Math.min(1, to / bytes.length)};
      }
    },
  };
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

/** Text that had been UTF-8, was read as Western text and saved again (`Â°C`), put right; null where it was not. */
export function mendTwiceEncoded(text: string): string | null {
  return TWICE_ENCODED.test(text) ? text.replace(TWICE_ENCODED_ALL, onceEncoded) : null;
}

/** What the Western code page shows for the bytes 0x80 to 0x9f; a dot where it shows nothing. */
const UPPER = "€.‚ƒ„…†‡ˆ‰Š‹Œ.Ž..‘’“”•–—˜™š›œ.žŸ";

const TWICE_ENCODED = new RegExp(`[ÂÃ][\\u0080-\\u00bf${UPPER.replaceAll(".", "")}]`);
const TWICE_ENCODED_ALL = new RegExp(TWICE_ENCODED, "g");

/** The letter whose two UTF-8 bytes are shown as two Western letters. */
function onceEncoded(pair: string): string {
  const second = pair.charCodeAt(1);
  const byte = second <= 0xbf ? second : 0x80 + UPPER.indexOf(pair[1]!);
  return String.fromCharCode(((pair.charCodeAt(0) & 0x1f) << 6) | (byte & 0x3f));
}
