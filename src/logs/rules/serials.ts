/** Serials that may be one tool written in two ways, or two tools written in one. Nothing is merged. */
import type {Draft} from "../draft.ts";
import {placeOf} from "./duplicates.ts";
import type {RowRef} from "../mergeDrafts.ts";

/** A serial wherever it stands. */
interface Serial {
  readonly text: string;
  readonly first: RowRef;
  rows: number;
}

export function checkSerials(runs: readonly Draft[], rebuilds: readonly Draft[]): void {
  const tools = serialsOf([...runs, ...rebuilds], "tool");
  tellAlike(tools, "tool");
  tellAlike(serialsOf(rebuilds, "part_serial"), "part_serial");
  tellFleets(runs);
}

function serialsOf(drafts: readonly Draft[], column: string): Serial[] {
  const serials = new Map<string, Serial>();
  for (const draft of drafts) {
    for (let row = 0; row < draft.rows; ++row) {
      const text = draft.used(row) ? draft.text(column, row) : null;
      if (text === null) continue;
      const serial = serials.get(text);
      if (serial === undefined) serials.set(text, {text, first: {draft, row}, rows: 1});
      else ++serial.rows;
    }
  }
  return [...serials.values()];
}

/** Serials that fall together when easily confused letters, dashes or leading zeros are set equal. */
function tellAlike(serials: readonly Serial[], column: string): void {
  const told = new Set<string>();
  for (const [rule, simplified] of [
    ["serial-alike", confusable],
    ["serial-zeros", withoutZeros],
  ] as const) {
    const groups = new Map<string, Serial[]>();
    for (const serial of serials)
      groups.set(simplified(serial.text), [...(groups.get(simplified(serial.text)) ?? []), serial]);
    for (const group of groups.values()) {
      const [usual, ...others] = [...group].sort((a, b) => b.rows - a.rows || (a.text < b.text ? -1 : 1));
      for (const other of others) {
        if (told.has(other.text)) continue;
        told.add(other.text);
        const {draft, row} = other.first;
        const message = `${other.text} (${other.rows} row${other.rows > 1 ? "s" : ""}) looks like ${usual!.text} (${usual!.rows} row${usual!.rows > 1 ? "s" : ""}, first in ${placeOf(usual!.first, other.first)})`;
        draft.tell(rule, row, {column, taken: "two different serials", message});
      }
    }
  }
}

function confusable(serial: string): string {
  return serial
    .replace(/[-_./]/g, "")
    .replace(/O/g, "0")
    .replace(/[IL]/g, "1");
}

function withoutZeros(serial: string): string {
  return serial.replace(/(^|\D)0+(?=\d)/g, "$1");
}

/** One serial in the run logs of two fleets, once for each. */
function tellFleets(runs: readonly Draft[]): void {
  const fleets = new Map<string, string>();
  const told = new Set<string>();
  for (const draft of runs) {
    for (let row = 0; row < draft.rows; ++row) {
      const tool = draft.used(row) ? draft.text("tool", row) : null;
      const fleet = draft.text("fleet", row);
      if (tool === null || fleet === null) continue;
      const before = fleets.get(tool);
      if (before === undefined) fleets.set(tool, fleet);
      else if (before !== fleet && !told.has(tool)) {
        told.add(tool);
        draft.tell("serial-two-fleets", row, {
          column: "tool",
          taken: "one tool",
          message: `${tool} runs in ${before} and in ${fleet}`,
        });
      }
    }
  }
}
