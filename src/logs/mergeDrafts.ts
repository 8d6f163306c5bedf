/** Checked drafts to one sorted table: only rows that are used, every one with the line it came from. */
import type {Words} from "../../shared/columnar.ts";
import {REBUILD_COLUMNS, RUN_COLUMNS, type ColumnSpec} from "../../shared/columns.ts";
import type {Draft} from "./draft.ts";
import type {RebuildColumns, RebuildTable, RunColumns, RunTable} from "./logTable.ts";
import {RowRefs} from "./RowRefs.ts";

/** @param refs rows in use, in the order of the table */
export function runTable(refs: RowRefs): RunTable {
  return {rows: refs.length, ...origins(refs), columns: columnsOf(RUN_COLUMNS, refs) as RunColumns};
}

/** @param refs rows in use, in the order of the table */
export function rebuildTable(refs: RowRefs): RebuildTable {
  return {rows: refs.length, ...origins(refs), columns: columnsOf(REBUILD_COLUMNS, refs) as RebuildColumns};
}

/** Used rows by tool, then time, then the order of files and lines. */
export function sorted(drafts: readonly Draft[], time: "end" | "date"): RowRefs {
  const used = usedRows(drafts);
  const ranks = toolRanks(drafts);
  const tools = used.words("tool");
  const rankOf = Int32Array.from(tools.words, (word) => ranks.get(word) ?? -1);
  const rank = tools.codes.map((code) => (code < 0 ? -1 : rankOf[code]!));
  const when = used.numbers(time);
  const order = byRank(rank, ranks.size);
  sortWithin(order, rank, when);
  return new RowRefs(
    drafts,
    Uint32Array.from(order, (i) => used.of[i]!),
    order.map((i) => used.row[i]!),
  );
}

/** Rows by rank, -1 first; those of one rank keep their order (counting sort). */
function byRank(rank: Int32Array, ranks: number): Int32Array {
  const begins = new Int32Array(ranks + 2);
  for (const of of rank) ++begins[of + 2]!;
  for (let i = 1; i < begins.length; ++i) begins[i]! += begins[i - 1]!;
  const order = new Int32Array(rank.length);
  rank.forEach((of, row) => (order[begins[of + 1]!++] = row));
  return order;
}

/** Sorts the rows of each rank by time. Logs are written in its order, mostly, and then nothing is to be done. */
function sortWithin(order: Int32Array, rank: Int32Array, when: Float64Array): void {
  for (let from = 0, to = 1; from < order.length; from = to++) {
    let rises = true;
    while (to < order.length && rank[order[to]!] === rank[order[from]!]) {
      rises &&= when[order[to - 1]!]! <= when[order[to]!]!;
      ++to;
    }
    if (!rises) order.subarray(from, to).sort((a, b) => when[a]! - when[b]! || a - b);
  }
}

function usedRows(drafts: readonly Draft[]): RowRefs {
  const total = drafts.reduce((sum, {rows}) => sum + rows, 0);
  const of = new Uint32Array(total);
  const rows = new Int32Array(total);
  let count = 0;
  drafts.forEach((draft, at) => {
    for (let row = 0; row < draft.rows; ++row) {
      if (!draft.used(row)) continue;
      of[count] = at;
      rows[count++] = row;
    }
  });
  return new RowRefs(drafts, of.subarray(0, count), rows.subarray(0, count));
}

/** Serials in the order in which a person would list them: 9 before 10. */
function toolRanks(drafts: readonly Draft[]): Map<string, number> {
  const tools = new Set<string>();
  for (const draft of drafts) for (const word of draft.texts.get("tool")?.words ?? []) tools.add(word);
  const collator = new Intl.Collator("en", {numeric: true});
  const listed = [...tools].sort((a, b) => collator.compare(a, b) || (a < b ? -1 : 1));
  return new Map(listed.map((tool, i) => [tool, i]));
}

export function origins(refs: RowRefs): {file: Words; line: Int32Array} {
  const words: string[] = [];
  const nameOf = refs.drafts.map(({sheet: {file}}) => {
    const known = words.indexOf(file);
    return known >= 0 ? known : words.push(file) - 1;
  });
  const line = new Int32Array(refs.length);
  const codes = new Int32Array(refs.length);
  for (let i = 0; i < line.length; ++i) {
    const draft = refs.of[i]!;
    line[i] = refs.drafts[draft]!.sheet.line[refs.row[i]!]!;
    codes[i] = nameOf[draft]!;
  }
  return {file: {codes, words}, line};
}

function columnsOf(specs: Readonly<Record<string, ColumnSpec>>, refs: RowRefs): object {
  return Object.fromEntries(
    Object.entries(specs).map(([name, {type}]) => {
      if (type === "text") return [name, refs.words(name)];
      if (type === "flag") return [name, flagsOf(name, refs)];
      return [name, refs.numbers(name)];
    }),
  );
}

function flagsOf(name: string, refs: RowRefs): Int8Array {
  const columns = refs.drafts.map((draft) => draft.flags.get(name));
  const flags = new Int8Array(refs.length);
  for (let i = 0; i < flags.length; ++i) flags[i] = columns[refs.of[i]!]?.[refs.row[i]!] ?? -1;
  return flags;
}
