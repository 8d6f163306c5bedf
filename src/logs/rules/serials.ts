/** Serials that may be one tool written in two ways, or two tools written in one. Nothing is merged. */
import type {Draft} from "../draft.ts";
import {placeOf} from "./duplicates.ts";
import type {RowRef} from "../RowRefs.ts";
import {sameNumbers} from "./sameNumbers.ts";

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

/** In the order in which a reader meets them. */
function serialsOf(drafts: readonly Draft[], column: string): Serial[] {
  const having = drafts.filter((draft) => draft.texts.has(column));
  const lists = having.map((draft) => serialsIn(draft, column));
  if (lists.length === 1) return lists[0]!; // all different
  const serials = new Map<string, Serial>();
  for (const serial of lists.flat()) {
    const known = serials.get(serial.text);
    if (known === undefined) serials.set(serial.text, serial);
    else known.rows += serial.rows;
  }
  return [...serials.values()];
}

function serialsIn(draft: Draft, column: string): Serial[] {
  const {codes, words} = draft.texts.get(column)!;
  const first = new Int32Array(words.length).fill(-1);
  const rows = new Int32Array(words.length);
  for (let row = 0; row < codes.length; ++row) {
    const code = codes[row]!;
    if (code < 0 || !draft.used(row)) continue;
    if (first[code]! < 0) first[code] = row;
    ++rows[code]!;
  }
  const serials: Serial[] = [];
  words.forEach((text, code) => {
    if (rows[code]! > 0) serials.push({text, first: {draft, row: first[code]!}, rows: rows[code]!});
  });
  return serials;
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
    const groups = new Map<string, Serial[]>();
    // nearly every serial stands alone, and costs no text and no list
    const numbers = Int32Array.from(serials, ({text}) => HASHES[step]!(text));
    for (const [first, second] of sameNumbers(numbers)) {
      const key = simplified(serials[second]!.text);
      if (simplified(serials[first]!.text) !== key) continue;
      const group = groups.get(key);
      if (group === undefined) groups.set(key, [serials[first]!, serials[second]!]);
      else group.push(serials[second]!);
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

/** For each way to set serials equal, a number that equal ones share and others hardly ever do: no text is made for it. */
const HASHES: readonly ((serial: string) => number)[] = [
  (serial) => hashOf(serial, (code) => (isDash(code) ? DASH : letterCode(code))),
  (serial) => hashOf(serial, (code) => (isDash(code) ? null : letterCode(code))),
  withoutZeros,
];

const [ZERO, ONE, DASH] = ["0", "1", "-"].map((letter) => letter.charCodeAt(0)) as [number, number, number];

const isDash = (code: number): boolean => code === 45 || code === 95 || code === 46 || code === 47;

/** O is 0; I and L are 1. */
const letterCode = (code: number): number => (code === 79 ? ZERO : code === 73 || code === 76 ? ONE : code);

function hashOf(serial: string, codeOf: (code: number) => number | null): number {
  let hash = 0;
  for (let i = 0; i < serial.length; ++i) {
    const code = codeOf(serial.charCodeAt(i));
    if (code !== null) hash = Math.imul(hash ^ code, 0x01000193) ^ (hash >>> 15);
  }
  return hash;
}

/** Zeros before a digit that do not follow one are left out. */
function withoutZeros(serial: string): number {
  let hash = 0;
  let leads = true;
  for (let i = 0; i < serial.length; ++i) {
    const code = serial.charCodeAt(i);
    const next = serial.charCodeAt(i + 1);
    if (leads && code === ZERO && next >= 48 && next <= 57) continue;
    leads = code < 48 || code > 57;
    hash = Math.imul(hash ^ code, 0x01000193) ^ (hash >>> 15);
  }
  return hash;
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
