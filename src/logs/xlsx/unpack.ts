/**
 * The parts of a zipped workbook. What the archive says about its own size is summed before anything is unpacked, and
 * nothing is unpacked beyond what it says: a small file cannot fill the memory.
 */
import {unzipSync} from "fflate";

/** Bytes that all parts in use may have unpacked: far above a full sheet, and a text that a machine can hold. */
export const MOST_UNPACKED = 400_000_000;

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
  let size = 0;
  let parts = 0;
  let tooMuch = false;
  try {
    // the first pass unpacks nothing: it only sums what the archive says of itself
    unzipSync(bytes, {
      filter: ({name, originalSize}) => {
        if (++parts > MOST_PARTS) throw new Refusal(`it holds more than ${MOST_PARTS} parts`);
        if (WANTED.test(name)) size += originalSize;
        tooMuch ||= size > MOST_UNPACKED || originalSize < 0;
        return false;
      },
    });
    if (tooMuch) {
      const megabytes = Math.round(MOST_UNPACKED / 1e6);
      return {parts: null, refused: `it would unpack to more than ${megabytes} MB`};
    }
    const unpacked = unzipSync(bytes, {filter: ({name}) => WANTED.test(name)});
    const texts = new Map<string, string>();
    for (const [name, part] of Object.entries(unpacked)) {
      texts.set(name.replace(/^\//, "").toLowerCase(), textOf(part));
    }
    return {parts: texts, refused: null};
  } catch (error) {
    const why = error instanceof Refusal ? error.message : "its zip archive is damaged";
    return {parts: null, refused: why};
  }
}

class Refusal extends Error {}

function textOf(part: Uint8Array): string {
  const encoding =
    part[0] === 0xff && part[1] === 0xfe ? "utf-16le" : part[0] === 0xfe && part[1] === 0xff ? "utf-16be" : "utf-8";
  return new TextDecoder(encoding).decode(part);
}
