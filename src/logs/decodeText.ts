/** Bytes to text: byte order mark, else UTF-8 where it is valid, else the Western code page that spreadsheets save in. */
import {looksWide} from "./sniff.ts";

export interface Decoded {
  readonly text: string;
  readonly encoding: "utf-8" | "utf-16le" | "utf-16be" | "windows-1252";
  /** UTF-8 that had been read as Western text and saved again (`Â°C`) is put right */
  readonly mended: boolean;
}

export function decodeText(bytes: Uint8Array): Decoded {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return decode(bytes.subarray(2), "utf-16le");
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return decode(bytes.subarray(2), "utf-16be");
  const wide = looksWide(bytes);
  if (wide !== null) return decode(bytes, wide);
  try {
    const text = new TextDecoder("utf-8", {fatal: true}).decode(bytes);
    const mended = TWICE_ENCODED.test(text);
    return {text: mended ? text.replace(TWICE_ENCODED_ALL, onceEncoded) : text, encoding: "utf-8", mended};
  } catch {
    return decode(bytes, "windows-1252");
  }
}

function decode(bytes: Uint8Array, encoding: Decoded["encoding"]): Decoded {
  return {text: new TextDecoder(encoding).decode(bytes), encoding, mended: false};
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
