/**
 * The parts of a zipped workbook. What the archive says about its own size is summed before anything is unpacked, and
 * nothing is unpacked beyond what it says: a small file cannot fill the memory.
 */
import {unzipEntry, zipEntries, ZipTrouble} from "../zip/readZip.ts";

/** Bytes that all parts in use may have unpacked: far above a full sheet, and a text that a machine can hold. */
export const MOST_UNPACKED = 400_000_000;

/** A sheet packs to a tenth or a thirtieth; one that says it packs so much better, and is large, is made to fill a machine. */
const MOST_RATIO = 200;
const LARGE = 100_000_000;

/** A workbook has a few dozen parts. */
const MOST_PARTS = 4096;

export type Unpacked =
  | {readonly parts: ReadonlyMap<string, string>; readonly refused: null}
  | {readonly parts: null; readonly refused: string};

/** Parts that hold cells or say how they are to be read. */
const WANTED = /^\/?xl\/(?:[^/]*\.xml|_rels\/[^/]*\.rels|worksheets\/[^/]*\.xml|[^/]*\/sharedStrings\.xml)$/i;

/**
 * @param bytes of the archive
 * @returns texts of the parts by name in lower case, or in plain words why there are none
 */
export function unpack(bytes: Uint8Array): Unpacked {
  try {
    const wanted = zipEntries(bytes, MOST_PARTS).filter(({name}) => WANTED.test(name));
    const size = wanted.reduce((sum, entry) => sum + entry.size, 0);
    if (size > MOST_UNPACKED)
      return {parts: null, refused: `it would unpack to more than ${Math.round(MOST_UNPACKED / 1e6)} MB`};
    const swollen = wanted.find((entry) => entry.size > LARGE && entry.size > MOST_RATIO * entry.packed);
    if (swollen !== undefined)
      return {parts: null, refused: `${swollen.name} in it would unpack to more than ${MOST_RATIO} times its size`};
    const texts = new Map<string, string>();
    for (const entry of wanted) {
      const name = entry.name.replace(/^\//, "").toLowerCase();
      // whichever was taken, cells of the other would be lost in silence
      if (texts.has(name)) return {parts: null, refused: `it holds ${name} twice`};
      texts.set(name, textOf(unzipEntry(bytes, entry)));
    }
    return {parts: texts, refused: null};
  } catch (error) {
    if (error instanceof ZipTrouble) return {parts: null, refused: error.message};
    throw error;
  }
}

function textOf(part: Uint8Array): string {
  const encoding =
    part[0] === 0xff && part[1] === 0xfe ? "utf-16le" : part[0] === 0xfe && part[1] === 0xff ? "utf-16be" : "utf-8";
  return new TextDecoder(encoding).decode(part);
}
