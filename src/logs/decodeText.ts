/** Bytes to text: byte order mark, else UTF-8 where it is valid, else the Western code page that spreadsheets save in. */
import {looksWide} from "./sniff.ts";

export interface Decoded {
  readonly text: string;
  readonly encoding: "utf-8" | "utf-16le" | "utf-16be" | "windows-1252";
}

export function decodeText(bytes: Uint8Array): Decoded {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return decode(bytes.subarray(2), "utf-16le");
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return decode(bytes.subarray(2), "utf-16be");
  const wide = looksWide(bytes);
  if (wide !== null) return decode(bytes, wide);
  try {
    return {text: new TextDecoder("utf-8", {fatal: true}).decode(bytes), encoding: "utf-8"};
  } catch {
    return decode(bytes, "windows-1252");
  }
}

function decode(bytes: Uint8Array, encoding: Decoded["encoding"]): Decoded {
  return {text: new TextDecoder(encoding).decode(bytes), encoding};
}
