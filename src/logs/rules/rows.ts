/** Rows as a whole: repeated headers, totals, merged cells, cells that slipped, what is required. */
import type {Draft} from "../draft.ts";

/** Columns without any of which a row is no record of its log. */
const KEYS = {runs: ["tool", "end"], rebuilds: ["tool", "date"], lives: ["time", "lower", "upper"]} as const;

/** What merged cells of a rebuild cover. */
const FILLED_DOWN = ["rebuild", "tool", "date", "shop", "technician"] as const;

/** Before any conversion: rows that are no rows, by the cells as they stand. */
export function setAsideNonRows(draft: Draft): void {
  const {sheet} = draft;
  const surplusIsUsual = sheet.surplus.size > draft.rows / 2 && draft.rows > 1;
  if (surplusIsUsual)
    draft.note("header-unknown", {
      message: `${sheet.surplus.size} rows have cells beyond the last header; those cells are not used`,
    });
  const repeatsHeader = headerFinder(draft);
  const keys = KEYS[draft.log].flatMap((key) => {
    const cell = draft.cellOf.get(key);
    return cell === undefined ? [] : [sheet.cells[cell]!.codes];
  });
  for (let row = 0; row < draft.rows; ++row) {
    if (repeatsHeader(row)) {
      draft.tell("row-repeats-header", row, {found: cellsOf(draft, row), message: "the headers stand here again"});
      continue;
    }
    const surplus = surplusIsUsual ? undefined : sheet.surplus.get(row);
    if (surplus !== undefined) {
      const message = `the row has ${sheet.header.length + surplus.length} cells under ${sheet.header.length} headers`;
      draft.tell("surplus-cells", row, {found: surplus.join(" | "), message});
    }
    if (keys.every((codes) => codes[row]! < 0) && !continuesAbove(draft, row)) {
      draft.tell("row-total", row, {
        found: cellsOf(draft, row),
        message: `the row has no ${KEYS[draft.log].join(", no ")}`,
      });
    }
  }
}

/** Finds rows that say what the headers say, in most of their cells and at least in two. */
function headerFinder({sheet}: Draft): (row: number) => boolean {
  const cells = sheet.cells.map(({codes, words}, i) => {
    const header = sheet.header[i]!;
    const like = header === "" ? [] : words.flatMap((word, code) => (word.trim() === header ? [code] : []));
    return {codes, like: new Set(like)};
  });
  const telling = cells.filter(({like}) => like.size > 0);
  // a column whose name is also a word of its own is common; two in one row are not
  if (telling.length < 2) return () => false;
  return (row) => {
    let same = 0;
    for (const {codes, like} of telling) if (like.has(codes[row]!)) ++same;
    if (same < 2) return false;
    let filled = 0;
    for (const {codes} of cells) if (codes[row]! >= 0) ++filled;
    return same >= filled * 0.6;
  };
}

/** A rebuild row below the first of its block, whose tool and date are merged cells above. */
function continuesAbove(draft: Draft, row: number): boolean {
  return draft.log === "rebuilds" && draft.raw("component", row) !== null && draft.raw("action", row) !== null;
}

/** The cells of a row, for a finding. */
export function cellsOf({sheet}: Draft, row: number): string {
  const cells: string[] = [];
  for (const {codes, words} of sheet.cells) if (codes[row]! >= 0) cells.push(words[codes[row]!]!);
  return cells.join(" | ");
}

/** After conversion: rows of a merged block take tool and date from the row above them. */
export function fillDown(draft: Draft): void {
  if (draft.log !== "rebuilds") return;
  const tool = draft.texts.get("tool");
  const date = draft.numbers.get("date");
  if (tool === undefined || date === undefined) return;
  let above = -1;
  for (let row = 0; row < draft.rows; ++row) {
    if (!draft.used(row)) continue;
    const blank = draft.raw("tool", row) === null && draft.raw("date", row) === null;
    if (!blank) {
      above = row;
      continue;
    }
    if (above < 0 || !continuesAbove(draft, row)) continue;
    for (const name of FILLED_DOWN) {
      const texts = draft.texts.get(name);
      if (texts !== undefined && texts.codes[row]! < 0) texts.codes[row] = texts.codes[above]!;
    }
    date[row] = date[above]!;
    const taken = `${draft.text("tool", row) ?? "?"} of line ${draft.sheet.line[above]!}`;
    draft.tell("row-filled-down", row, {
      column: "tool",
      taken,
      message: "tool and date are blank below a row that has them",
    });
  }
}

/**
 * Rows that lack what is required, and are not held for another reason.
 *
 * @param complete whether the sheet has all required columns; where it has not, only those it has are looked at
 */
export function setAsideIncomplete(draft: Draft, complete: boolean): void {
  const required = Object.keys(draft.specs)
    .filter((name) => draft.required(name) && (complete || draft.cellOf.has(name)))
    .map((name) => ({name, lacks: lacksIn(draft, name)}));
  const [noFound, noMode] = ["found", "mode"].map((name) => lacksIn(draft, name)) as [Lacks, Lacks];
  for (let row = 0; row < draft.rows; ++row) {
    if (!draft.used(row)) continue;
    for (const {name, lacks} of required) {
      if (!lacks(row)) continue;
      draft.tell("row-incomplete", row, {
        column: name,
        message: `${draft.headerOf(name)} is missing`,
        found: draft.raw(name, row),
      });
    }
    if (draft.log === "rebuilds" && complete && draft.used(row) && noFound(row) && noMode(row)) {
      draft.tell("row-incomplete", row, {
        column: "found",
        message: "neither what the part was found to be nor its mode is given",
      });
    }
  }
}

type Lacks = (row: number) => boolean;

/** Whether a row lacks a value of the column. */
function lacksIn(draft: Draft, name: string): Lacks {
  const codes = draft.texts.get(name)?.codes;
  const numbers = draft.numbers.get(name);
  if (draft.specs[name]?.type === "text") return (row) => (codes?.[row] ?? -1) < 0;
  return (row) => Number.isNaN(numbers?.[row] ?? NaN);
}
