/**
 * Rows that were read and are in no table, with as much of them as was understood: what they cost, and whose they are,
 * can still be said. Columns, as in the tables.
 */
import type {Words} from "../../shared/columnar.ts";
import type {Draft} from "./draft.ts";
import type {RowOrigin} from "./logTable.ts";
import {RowRefs} from "./RowRefs.ts";
import {origins} from "./mergeDrafts.ts";

export interface LeftOutRows extends RowOrigin {
  readonly rows: number;
  /** 1: of the rebuild log, 0: of the run log */
  readonly isRebuild: Uint8Array;
  /** 1: held for an answer, 0: set aside */
  readonly isHeld: Uint8Array;
  readonly tool: Words;
  readonly fleet: Words;
  readonly shop: Words;
  readonly component: Words;
  readonly position: Words;
  readonly action: Words;
  /** end of the run, or date of the rebuild, ms since 1970 UTC; NaN where it was not understood */
  readonly time: Float64Array;
}

const NO_WORDS: Words = {codes: new Int32Array(0), words: []};
export const NOTHING_LEFT_OUT: LeftOutRows = {
  rows: 0,
  file: NO_WORDS,
  line: new Int32Array(0),
  isRebuild: new Uint8Array(0),
  isHeld: new Uint8Array(0),
  tool: NO_WORDS,
  fleet: NO_WORDS,
  shop: NO_WORDS,
  component: NO_WORDS,
  position: NO_WORDS,
  action: NO_WORDS,
  time: new Float64Array(0),
};

export function leftOutRows(drafts: readonly Draft[]): LeftOutRows {
  const total = drafts.reduce((sum, draft) => sum + countUnused(draft), 0);
  if (total === 0) return NOTHING_LEFT_OUT;
  const of = new Uint32Array(total);
  const rows = new Int32Array(total);
  const isHeld = new Uint8Array(total);
  const isRebuild = new Uint8Array(total);
  let count = 0;
  drafts.forEach((draft, at) => {
    for (let row = 0; row < draft.rows; ++row) {
      if (draft.used(row)) continue;
      of[count] = at;
      rows[count] = row;
      isHeld[count] = draft.held(row) ? 1 : 0;
      isRebuild[count++] = draft.log === "rebuilds" ? 1 : 0;
    }
  });
  const refs = new RowRefs(drafts, of, rows);
  const ends = refs.numbers("end");
  const dates = refs.numbers("date");
  return {
    rows: total,
    ...origins(refs),
    isRebuild,
    isHeld,
    tool: refs.words("tool"),
    fleet: refs.words("fleet"),
    shop: refs.words("shop"),
    component: refs.words("component"),
    position: refs.words("position"),
    action: refs.words("action"),
    time: ends.map((end, row) => (isRebuild[row] === 1 ? dates[row]! : end)),
  };
}

function countUnused(draft: Draft): number {
  let count = 0;
  for (let row = 0; row < draft.rows; ++row) if (!draft.used(row)) ++count;
  return count;
}
