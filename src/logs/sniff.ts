/** What kind of file some bytes are, from their first bytes; never from the name. */

export type FileKind =
  "text" | "empty" | "xlsx or zip" | "old Excel" | "Parquet" | "PDF" | "HTML" | "gzip" | "image" | "binary";

const SIGNATURES: readonly (readonly [FileKind, readonly number[]])[] = [
  ["xlsx or zip", [0x50, 0x4b, 0x03, 0x04]],
  ["xlsx or zip", [0x50, 0x4b, 0x05, 0x06]],
  ["old Excel", [0xd0, 0xcf, 0x11, 0xe0]],
  ["Parquet", [0x50, 0x41, 0x52, 0x31]],
  ["PDF", [0x25, 0x50, 0x44, 0x46]],
  ["gzip", [0x1f, 0x8b]],
  ["image", [0x89, 0x50, 0x4e, 0x47]],
  ["image", [0xff, 0xd8, 0xff]],
  ["image", [0x47, 0x49, 0x46, 0x38]],
];

/** Bytes looked at: enough for a page of text, little enough to cost nothing. */
const SAMPLE = 4096;

export function sniff(bytes: Uint8Array): FileKind {
  if (bytes.length === 0) return "empty";
  for (const [kind, signature] of SIGNATURES) if (signature.every((byte, i) => bytes[i] === byte)) return kind;
  const wide = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
  const sample = bytes.subarray(0, SAMPLE);
  if (!wide && !looksWide(sample)) {
    let odd = 0;
    for (const byte of sample) if (byte < 9 || (byte > 13 && byte < 32 && byte !== 27)) ++odd;
    if (odd > sample.length / 100) return "binary";
  }
  const start = String.fromCharCode(...sample.subarray(0, 512))
    .replace(/\0/g, "")
    .replace(/^[^\w<]+/, "")
    .toLowerCase();
  if (/^<(!doctype html|html|head|table|\?xml)/.test(start)) return "HTML";
  return "text";
}

/** UTF-16 without a byte order mark: every other byte of plain text is zero. */
export function looksWide(bytes: Uint8Array): "utf-16le" | "utf-16be" | null {
  let even = 0;
  let odd = 0;
  const length = Math.min(bytes.length, SAMPLE) & ~1;
  for (let i = 0; i < length; i += 2) {
    if (bytes[i] === 0) ++even;
    if (bytes[i + 1] === 0) ++odd;
  }
  if (length < 8) return null;
  if (odd > length / 4 && even < length / 100) return "utf-16le";
  if (even > length / 4 && odd < length / 100) return "utf-16be";
  return null;
}
