/** Serials that may be one tool written in two ways, or two tools written in one. Nothing is merged. */
import type {Draft} from "../draft.ts";
import {placeOf} from "./duplicates.ts";
import type {RowRef} from "../RowRefs.ts";

/** A serial wherever it stands. */
interface Serial {
  readonly text: string;
  readonly first: RowRef;
  rows: number;
}

/** @param meant serials that someone has answered about: those that mean themselves are no slip of the pen */
export function checkSerials(
  runs: readonly Draft[],
  rebuilds: readonly Draft[],
  meant: Readonly<Record<string, string>> = {},
): void {
  const answered = new Set(Object.entries(meant).flatMap(([serial, means]) => (serial === means ? [serial] : [])));
  const open = ({text}: Serial): boolean => !answered.has(text);
  tellAlike(serialsOf([...runs, ...rebuilds], "tool"), "tool", open);
  tellAlike(serialsOf(rebuilds, "part_serial"), "part_serial", open);
  tellFleets(runs, answered);
}

function serialsOf(drafts: readonly Draft[], column: string): Serial[] {
  const serials = new Map<string, Serial>();
  for (const draft of drafts) {
    const texts = draft.texts.get(column);
    if (texts === undefined) continue;
    const first = new Int32Array(texts.words.length).fill(-1);
    const rows = new Int32Array(texts.words.length);
    texts.codes.forEach((code, row) => {
      if (code < 0 || !draft.used(row)) return;
      if (first[code]! < 0) first[code] = row;
      ++rows[code]!;
    });
    texts.words.forEach((text, code) => {
      if (rows[code] === 0) return;
      const serial = serials.get(text);
      if (serial === undefined) serials.set(text, {text, first: {draft, row: first[code]!}, rows: rows[code]!});
      else serial.rows += rows[code]!;
    });
  }
  // in the order in which a reader meets them
  return [...serials.values()];
}

/** How two serials may be one: what each rule sets equal. */
const ALIKE = [
  ["serial-alike", (serial: string) => sameLetters(serial.replace(/[-_./]/g, "-"))],
  // K1101 may be K1-101, but 1-10 is not 11-0
  ["serial-alike", (serial: string) => sameLetters(serial.replace(/[-_./]/g, ""))],
  ["serial-zeros", (serial: string) => serial.replace(/(^|\D)0+(?=\d)/g, "$1")],
] as const;

/** Serials that fall together when easily confused letters, dashes or leading zeros are set equal. */
function tellAlike(serials: readonly Serial[], column: string, open: (serial: Serial) => boolean): void {
  const told = new Set<string>();
  ALIKE.forEach(([rule, simplified], step) => {
    // nearly every serial stands alone, and costs no list
    const alone = new Map<string, Serial>();
    const groups = new Map<string, Serial[]>();
    for (const serial of serials) {
      const key = simplified(serial.text);
      const other = alone.get(key);
      const group = groups.get(key);
      if (other === undefined) alone.set(key, serial);
      else if (group === undefined) groups.set(key, [other, serial]);
      else group.push(serial);
    }
    for (const group of groups.values()) {
      if (step === 1 && group.every(({text}) => /[-_./]/.test(text))) continue;
      const [usual, ...others] = [...group].sort((a, b) => b.rows - a.rows || (a.text < b.text ? -1 : 1));
      for (const other of others) {
        if (told.has(other.text) || !open(other)) continue;
        told.add(other.text);
        const {draft, row} = other.first;
        const message = `${other.text} (${rowsText(other.rows)}) looks like ${usual!.text} (${rowsText(usual!.rows)}, first in ${placeOf(usual!.first, other.first)})`;
        draft.tell(rule, row, {column, taken: "two different serials", message, beside: [usual!.first]});
      }
    }
  });
}

function rowsText(rows: number): string {
  return `${rows} row${rows > 1 ? "s" : ""}`;
}

function sameLetters(serial: string): string {
  return serial.replace(/O/g, "0").replace(/[IL]/g, "1");
}

/** One serial in the run logs of two fleets, once for each. */
function tellFleets(runs: readonly Draft[], answered: ReadonlySet<string>): void {
  const fleets = new Map<string, {fleet: string; first: RowRef}>();
  const told = new Set<string>();
  for (const draft of runs) {
    for (let row = 0; row < draft.rows; ++row) {
      const tool = draft.used(row) ? draft.text("tool", row) : null;
      const fleet = draft.text("fleet", row);
      if (tool === null || fleet === null) continue;
      const before = fleets.get(tool);
      if (before === undefined) fleets.set(tool, {fleet, first: {draft, row}});
      else if (before.fleet !== fleet && !told.has(tool) && !answered.has(tool)) {
        told.add(tool);
        draft.tell("serial-two-fleets", row, {
          column: "tool",
          taken: "one tool",
          message: `${tool} runs in ${before.fleet} and in ${fleet}`,
          beside: [before.first],
        });
      }
    }
  }
}
