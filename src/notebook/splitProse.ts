/** Words between two cells, paragraph by paragraph. */
import {missingFence} from "./readAnalysis.ts";

/**
 * Pieces that joined give the text back: each ends with the blank lines behind it; a fence is never cut in two.
 *
 * @param prose the text of a prose block
 */
export function splitProse(prose: string): string[] {
  const pieces: string[] = [];
  let piece = "";
  for (const found of prose.match(/(?:[^\n]*\S[^\n]*(?:\n|$))+(?:[ \t\r]*\n)*|(?:[ \t\r]*\n)+|[ \t\r]+$/g) ?? []) {
    piece += found;
    if (missingFence(piece) !== null || piece.trim() === "") continue;
    pieces.push(piece);
    piece = "";
  }
  return piece === "" ? pieces : [...pieces, piece];
}
