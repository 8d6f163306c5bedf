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
  for (let row = 0; row < draft.rows; ++row) {
    if (repeatsHeader(draft, row)) {
      draft.tell("row-repeats-header", row, {found: cellsOf(draft, row), message: "the headers stand here again"});
      continue;
    }
    const surplus = surplusIsUsual ? undefined : sheet.surplus.get(row);
    if (surplus !== undefined) {
      const message = `the row has ${sheet.header.length + surplus.length} cells under ${sheet.header.length} headers`;
      draft.tell("surplus-cells", row, {found: surplus.join(" | "), message});
    }
    if (KEYS[draft.log].every((key) => draft.raw(key, row) === null) && !continuesAbove(draft, row)) {
      draft.tell("row-total", row, {
        found: cellsOf(draft, row),
        message: `the row has no ${KEYS[draft.log].join(", no ")}`,
      });
    }
  }
}

function repeatsHeader({sheet}: Draft, row: number): boolean {
  let filled = 0;
  let same = 0;
  for (let i = 0; i < sheet.cells.length; ++i) {
    const words = sheet.cells[i]!;
    const code = words.codes[row]!;
    if (code < 0) continue;
    ++filled;
    if (words.words[code]!.trim() === sheet.header[i]) ++same;
    else if (filled > 3 && same === 0) return false;
  }
  return same >= 2 && same >= filled * 0.6;
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
  const required = Object.keys(draft.specs).filter(
    (name) => draft.required(name) && (complete || draft.cellOf.has(name)),
  );
  for (let row = 0; row < draft.rows; ++row) {
    if (!draft.used(row)) continue;
    for (const name of required) {
      if (has(draft, name, row)) continue;
      draft.tell("row-incomplete", row, {
        column: name,
        message: `${draft.headerOf(name)} is missing`,
        found: draft.raw(name, row),
      });
    }
    if (
      draft.log === "rebuilds" &&
      complete &&
      draft.used(row) &&
      !has(draft, "found", row) &&
      !has(draft, "mode", row)
    ) {
      draft.tell("row-incomplete", row, {
        column: "found",
        message: "neither what the part was found to be nor its mode is given",
      });
    }
  }
}

function has(draft: Draft, name: string, row: number): boolean {
  return draft.specs[name]?.type === "text"
    ? (draft.texts.get(name)?.codes[row] ?? -1) >= 0
    : !Number.isNaN(draft.number(name, row));
}
