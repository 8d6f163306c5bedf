/** What a rebuild row says a part was, before anything is said about its age. */
import {MODES} from "../../shared/vocabulary/index.ts";
import type {Words} from "../../shared/columnar.ts";
import type {RebuildTable} from "../logs/logTable.ts";

/** As found; a small number, since it is asked of every row. */
export const FOUND_AS = {good: 0, worn: 1, failed: 2, damaged: 3, notInspected: 4} as const;
export type FoundAs = (typeof FOUND_AS)[keyof typeof FOUND_AS];

export const ACTION_AS = {kept: 0, renewed: 1, swapped: 2, reworked: 3, missing: 4} as const;
export type ActionAs = (typeof ACTION_AS)[keyof typeof ACTION_AS];

/** What the vocabulary says of each code of a mode column. */
export interface ModeFacts {
  readonly serviceInduced: Uint8Array;
  readonly nothingFound: Uint8Array;
  /** 1 where the vocabulary calls for a new part, so that one put back is doubted */
  readonly wantsRenewal: Uint8Array;
  /** component of the mode; null where the vocabulary has no such mode */
  readonly component: readonly (string | null)[];
}

export interface Verdicts {
  readonly found: Uint8Array;
  readonly action: Uint8Array;
  readonly modes: ModeFacts;
}

const FOUND_WORDS: Readonly<Record<string, FoundAs>> = {
  good: FOUND_AS.good,
  worn: FOUND_AS.worn,
  failed: FOUND_AS.failed,
  "damaged at service": FOUND_AS.damaged,
  "not inspected": FOUND_AS.notInspected,
};
const ACTION_WORDS: Readonly<Record<string, ActionAs>> = {
  kept: ACTION_AS.kept,
  renewed: ACTION_AS.renewed,
  "swapped for a used part": ACTION_AS.swapped,
  reworked: ACTION_AS.reworked,
};

/**
 * The verdict of every row. Where `found` is empty the mode stands for it: nothing found is good, any other mode is
 * failed, and neither is not inspected. Failed or worn with nothing found is good.
 */
export function verdicts({rows, columns}: RebuildTable): Verdicts {
  const modes = modeFacts(columns.mode);
  const foundOf = Array.from(columns.found.words, (word) => FOUND_WORDS[word] ?? -1);
  const actionOf = Array.from(columns.action.words, (word) => ACTION_WORDS[word] ?? ACTION_AS.missing);
  const found = new Uint8Array(rows);
  const action = new Uint8Array(rows);
  for (let row = 0; row < rows; row++) {
    const known = foundOf[columns.found.codes[row]!] ?? -1;
    const mode = columns.mode.codes[row]!;
    const nothing = mode >= 0 && modes.nothingFound[mode] === 1;
    if (known >= 0) found[row] = nothing && isBad(known) ? FOUND_AS.good : known;
    else if (mode < 0) found[row] = FOUND_AS.notInspected;
    else found[row] = nothing ? FOUND_AS.good : FOUND_AS.failed;
    action[row] = actionOf[columns.action.codes[row]!] ?? ACTION_AS.missing;
  }
  return {found, action, modes};
}

function modeFacts({words}: Words): ModeFacts {
  return {
    serviceInduced: Uint8Array.from(words, (code) => (MODES[code]?.serviceInduced === true ? 1 : 0)),
    nothingFound: Uint8Array.from(words, (code) => (code.endsWith("-NFF") ? 1 : 0)),
    wantsRenewal: Uint8Array.from(words, (code) => (MODES[code]?.activity.startsWith("replace") === true ? 1 : 0)),
    component: words.map((code) => MODES[code]?.component ?? null),
  };
}

/** True where the part no longer did, or would no longer have done, its work. */
export function isBad(found: number): boolean {
  return found === FOUND_AS.worn || found === FOUND_AS.failed;
}
