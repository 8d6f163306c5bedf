/** Checked drafts to one sorted table: only rows that are used, every one with the line it came from. */
import type {Words} from "../../shared/columnar.ts";
import {REBUILD_COLUMNS, RUN_COLUMNS, type ColumnSpec} from "../../shared/columns.ts";
import type {Draft, TextColumn} from "./draft.ts";
import type {RebuildColumns, RebuildTable, RunColumns, RunTable} from "./logTable.ts";

/** A row of one of the drafts. */
export interface RowRef {
  readonly draft: Draft;
  readonly row: number;
}

/** @param refs rows in use, in the order of the table */
export function runTable(drafts: readonly Draft[], refs: readonly RowRef[]): RunTable {
  return {rows: refs.length, ...origins(refs), columns: columnsOf(RUN_COLUMNS, drafts, refs) as RunColumns};
}

/** @param refs rows in use, in the order of the table */
export function rebuildTable(drafts: readonly Draft[], refs: readonly RowRef[]): RebuildTable {
  return {rows: refs.length, ...origins(refs), columns: columnsOf(REBUILD_COLUMNS, drafts, refs) as RebuildColumns};
}

/** Used rows by tool, then time, then the order of files and lines. */
export function sorted(drafts: readonly Draft[], time: "end" | "date"): RowRef[] {
  const refs: RowRef[] = [];
  for (const draft of drafts) for (let row = 0; row < draft.rows; ++row) if (draft.used(row)) refs.push({draft, row});
  const ranks = toolRanks(drafts);
  const rank = refs.map(({draft, row}) => ranks.get(draft.text("tool", row) ?? "") ?? -1);
  const when = Float64Array.from(refs, ({draft, row}) => draft.number(time, row));
  const order = Int32Array.from(refs.keys()).sort((a, b) => rank[a]! - rank[b]! || when[a]! - when[b]! || a - b);
  return Array.from(order, (i) => refs[i]!);
}

/** Serials in the order in which a person would list them: 9 before 10. */
function toolRanks(drafts: readonly Draft[]): Map<string, number> {
  const tools = new Set<string>();
  for (const draft of drafts) for (const word of draft.texts.get("tool")?.words ?? []) tools.add(word);
  const collator = new Intl.Collator("en", {numeric: true});
  const listed = [...tools].sort((a, b) => collator.compare(a, b) || (a < b ? -1 : 1));
  return new Map(listed.map((tool, i) => [tool, i]));
}

function origins(refs: readonly RowRef[]): {file: Words; line: Int32Array} {
  const names = [...new Set(refs.map(({draft}) => draft.sheet.file))];
  const index = new Map(names.map((name, i) => [name, i]));
  return {
    file: {codes: Int32Array.from(refs, ({draft}) => index.get(draft.sheet.file)!), words: names},
    line: Int32Array.from(refs, ({draft, row}) => draft.sheet.line[row]!),
  };
}

function columnsOf(
  specs: Readonly<Record<string, ColumnSpec>>,
  drafts: readonly Draft[],
  refs: readonly RowRef[],
): object {
  return Object.fromEntries(
    Object.entries(specs).map(([name, {type}]) => {
      if (type === "text") return [name, mergedWords(name, drafts, refs)];
      if (type === "flag") {
        const flags = new Int8Array(refs.length);
        refs.forEach(({draft, row}, i) => (flags[i] = draft.flags.get(name)?.[row] ?? -1));
        return [name, flags];
      }
      const numbers = new Float64Array(refs.length);
      refs.forEach(({draft, row}, i) => (numbers[i] = draft.number(name, row)));
      return [name, numbers];
    }),
  );
}

/** One dictionary for all drafts; only words that a used row holds are kept. */
function mergedWords(name: string, drafts: readonly Draft[], refs: readonly RowRef[]): Words {
  const words: string[] = [];
  const index = new Map<string, number>();
  const maps = new Map<Draft, Int32Array>();
  for (const draft of drafts) maps.set(draft, new Int32Array(draft.texts.get(name)?.words.length ?? 0).fill(-1));
  const codes = new Int32Array(refs.length).fill(-1);
  let of: Draft | null = null;
  let column: TextColumn | undefined;
  let map: Int32Array = new Int32Array(0);
  refs.forEach(({draft, row}, i) => {
    if (draft !== of) {
      of = draft;
      column = draft.texts.get(name);
      map = maps.get(draft) ?? new Int32Array(0);
    }
    const code = column?.codes[row] ?? -1;
    if (column === undefined || code < 0) return;
    if (map[code]! < 0) {
      const word = column.words[code]!;
      let merged = index.get(word);
      if (merged === undefined) {
        merged = words.length;
        words.push(word);
        index.set(word, merged);
      }
      map[code] = merged;
    }
    codes[i] = map[code]!;
  });
  return {codes, words};
}
