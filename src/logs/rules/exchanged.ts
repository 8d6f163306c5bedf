/**
 * Two columns whose headers are exchanged: what one row would say of itself as a slip, as good as all rows say. It is
 * told once and asked, and no row is told of it again.
 */
import {ACTIONS, FOUND} from "../../../shared/columns.ts";
import type {FileMapping} from "../../../shared/mapping.ts";
import {listMeaning, type Synonyms} from "../../../shared/vocabulary/index.ts";
import type {Draft} from "../draft.ts";

/** Two columns that look exchanged. */
export interface Exchanged {
  readonly draft: Draft;
  readonly columns: readonly [string, string];
  /** rows that say so */
  readonly rows: number;
}

interface Pair {
  readonly columns: readonly [string, string];
  /** true where the row says that the two are exchanged, false where it says they are not, null where it says nothing */
  readonly shows: (draft: Draft, row: number) => boolean | null;
  readonly says: string;
  /** rows make no sense until it is answered */
  readonly holds: boolean;
}

const SHARE = 0.8;
const FEWEST = 4;
const DAY_MS = 86_400_000;
const TOLERANCE_H = 0.5;

const above =
  (first: string, second: string, slack: number) =>
  (draft: Draft, row: number): boolean | null => {
    const difference = draft.number(first, row) - draft.number(second, row);
    return Number.isNaN(difference) || Math.abs(difference) <= slack ? null : difference > 0;
  };

/** What the run log says alone. */
const PAIRS: readonly Pair[] = [
  {columns: ["start", "end"], shows: above("start", "end", DAY_MS), says: "end before they start", holds: true},
  {
    columns: ["circulating_h", "below_rotary_h"],
    shows: above("circulating_h", "below_rotary_h", TOLERANCE_H),
    says: "circulate longer than they are below rotary",
    holds: false,
  },
  {
    columns: ["drilling_h", "circulating_h"],
    shows: above("drilling_h", "circulating_h", TOLERANCE_H),
    says: "drill longer than they circulate",
    holds: false,
  },
];

/** Comes before the checks of single rows. */
export function checkExchanged(
  runs: readonly Draft[],
  rebuilds: readonly Draft[],
  answersOf: (draft: Draft) => FileMapping,
): Exchanged[] {
  const tools = new Set(rebuilds.flatMap((draft) => draft.texts.get("tool")?.words ?? []));
  const serials: Pair = {
    columns: ["run", "tool"],
    shows: (draft, row) => {
      const [run, tool] = [tools.has(draft.text("run", row) ?? ""), tools.has(draft.text("tool", row) ?? "")];
      return run === tool ? null : run;
    },
    says: "have for their number a tool that the rebuild log knows, and for their tool one that it does not",
    holds: true,
  };
  const pairs = tools.size === 0 ? PAIRS : [...PAIRS, serials];
  const found = runs.flatMap((draft) =>
    pairs.flatMap((pair) => look(draft, pair, answersOf(draft)).map((one) => ({...one, pair}))),
  );
  // all pairs were looked at before any of them takes rows out of use
  for (const {draft, pair} of found) if (pair.holds) holdAll(draft);
  const words = rebuilds.flatMap((draft): Exchanged[] =>
    draft.exchanged.has("found") ? [{draft, columns: ["found", "action"], rows: draft.rows}] : [],
  );
  return [...found, ...words];
}

function holdAll(draft: Draft): void {
  for (let row = 0; row < draft.rows; ++row) if (draft.used(row)) draft.mark(row, "held");
}

/**
 * Whether a rebuild log has its findings under the header of the actions and the other way round: each column holds
 * words of the other and none of its own. Comes before words are converted; the rows then are held.
 */
export function checkWordsExchanged(draft: Draft, synonyms: Synonyms, {columns: answered = {}}: FileMapping): boolean {
  const [found, action] = [draft.cellOf.get("found"), draft.cellOf.get("action")];
  if (draft.log !== "rebuilds" || found === undefined || action === undefined) return false;
  const headers = [found, action].map((cell) => draft.sheet.header[cell] ?? "");
  if (headers.every((header) => Object.hasOwn(answered, header))) return false;
  const known = (text: string, kind: "found" | "action"): boolean => {
    const meaning = listMeaning(text, kind, kind === "found" ? FOUND : ACTIONS, synonyms);
    return meaning.kind === "code" || meaning.kind === "synonym";
  };
  /** by code of the cell: 1 a word of the other column only, 0 one of its own, -1 neither */
  const side = (cell: number, own: "found" | "action", other: "found" | "action"): Int8Array =>
    Int8Array.from(draft.trimmed(cell).words, (word) => (known(word, own) ? 0 : known(word, other) ? 1 : -1));
  const [inFound, inAction] = [side(found, "found", "action"), side(action, "action", "found")];
  const [foundCodes, actionCodes] = [draft.sheet.cells[found]!.codes, draft.sheet.cells[action]!.codes];
  let [exchanged, told] = [0, 0];
  for (let row = 0; row < draft.rows; ++row) {
    const [a, b] = [inFound[foundCodes[row]!] ?? -1, inAction[actionCodes[row]!] ?? -1];
    if (a < 0 || b < 0) continue;
    ++told;
    if (a === 1 && b === 1) ++exchanged;
  }
  if (exchanged < FEWEST || exchanged < told * SHARE) return false;
  draft.exchanged.add("found");
  draft.note("headers-exchanged", {
    column: "found",
    message: `${exchanged} of ${told} rows say under ${headers[0]!} what was done and under ${headers[1]!} what was found: the two headers may be exchanged`,
  });
  holdAll(draft);
  return true;
}

function look(draft: Draft, {columns, shows, says, holds}: Pair, {columns: answered = {}}: FileMapping): Exchanged[] {
  const headers = columns.map((column) => draft.headerOf(column)) as [string, string];
  if (columns.some((column) => !draft.cellOf.has(column))) return [];
  if (headers.every((header) => Object.hasOwn(answered, header))) return [];
  let [exchanged, told] = [0, 0];
  for (let row = 0; row < draft.rows; ++row) {
    const shown = draft.used(row) ? shows(draft, row) : null;
    if (shown === null) continue;
    ++told;
    if (shown) ++exchanged;
    // whatever the other rows say, too few can be left
    else if (told - exchanged > draft.rows * (1 - SHARE)) return [];
  }
  if (exchanged < FEWEST || exchanged < told * SHARE) return [];
  draft.exchanged.add(columns[0]);
  draft.note("headers-exchanged", {
    column: columns[0],
    taken: holds ? null : "as they stand",
    message: `${exchanged} of ${told} rows ${says}: the headers ${headers[0]} and ${headers[1]} may be exchanged`,
  });
  return [{draft, columns, rows: exchanged}];
}
