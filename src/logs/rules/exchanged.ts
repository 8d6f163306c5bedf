/**
 * Two columns whose headers are exchanged: what one row would say of itself as a slip, as good as all rows say. It is
 * told once and asked, and no row is told of it again.
 */
import type {FileMapping} from "../../../shared/mapping.ts";
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
  return runs.flatMap((draft) =>
    [...PAIRS, ...(tools.size === 0 ? [] : [serials])].flatMap((pair) => look(draft, pair, answersOf(draft))),
  );
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
  if (holds) for (let row = 0; row < draft.rows; ++row) if (draft.used(row)) draft.mark(row, "held");
  return [{draft, columns, rows: exchanged}];
}
