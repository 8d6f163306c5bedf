/** Where each part with a serial is: one part cannot be in two tools. */
import type {RowRef, RowRefs} from "../RowRefs.ts";
import {placeOf} from "./duplicates.ts";

/** Rows of slots that ever name a serial, by date; numbers below are places in it. */
interface Sightings {
  readonly refs: RowRefs;
  /** row of the log */
  readonly row: Int32Array;
  readonly slot: Int32Array;
  /** -1: none is named */
  readonly serial: Int32Array;
  readonly serials: readonly string[];
  readonly kept: Uint8Array;
  /** ms since 1970 */
  readonly date: Float64Array;
}

/** @param rebuilds rows by tool and date */
export function checkParts(rebuilds: RowRefs): void {
  const seen = sightingsOf(rebuilds);
  if (seen === null) return;
  const {slot, serial, serials, kept} = seen;
  const slots = rebuilds.slots.count;
  const nextOf = nextInSlot(seen, slots);
  /** the sighting by which a slot holds what it holds; -1: nobody knows */
  const inSlot = new Int32Array(slots).fill(-1);
  const whereIs = new Int32Array(serials.length).fill(-1);
  /** claims that were refused, by slot, until the slot gets another part */
  const refused = new Int32Array(slots).fill(-1);
  const leave = (at: number): void => {
    const part = serial[at]!;
    if (part >= 0 && whereIs[part] === at) whereIs[part] = -1;
    if (inSlot[slot[at]!] === at) inSlot[slot[at]!] = -1;
  };
  const refOf = (at: number): RowRef => rebuilds.at(seen.row[at]!);
  for (let at = 0; at < slot.length; ++at) {
    const place = slot[at]!;
    const part = serial[at]!;
    if (part >= 0 && refused[place] === part) {
      clearSerial(refOf(at));
      rebuilds.changed("part_serial");
      continue;
    }
    refused[place] = -1;
    const before = inSlot[place]!;
    if (part < 0) {
      if (kept[at] === 0 && before >= 0) leave(before);
      continue;
    }
    const elsewhere = whereIs[part]!;
    if (elsewhere >= 0 && slot[elsewhere] !== place) {
      const ref = refOf(at);
      const other = refOf(elsewhere);
      const confirmed = confirmedLater(seen, nextOf, elsewhere, at);
      const held = `${serials[part]!} is in ${toolOf(other)} (${placeOf(other, ref)})`;
      if (confirmed >= 0) {
        const later = refOf(confirmed);
        const message = `${held} and still there later (${placeOf(later, ref)}), and yet ${toolOf(ref)} claims it`;
        const beside = [other, later];
        ref.draft.tell("part-in-two-tools", ref.row, {column: "part_serial", taken: "no serial", message, beside});
        clearSerial(ref);
        rebuilds.changed("part_serial");
        refused[place] = part;
        if (before >= 0 && kept[at] === 0) leave(before);
        continue;
      }
      if (Number.isNaN(ref.draft.number("installed_with_h", ref.row))) {
        const message = `${held} and turns up in ${toolOf(ref)} without the hours on it`;
        const beside = [other];
        ref.draft.tell("part-moved", ref.row, {column: "part_serial", taken: "age unknown", message, beside});
      }
      leave(elsewhere);
    }
    if (before >= 0 && serial[before] !== part) leave(before);
    inSlot[place] = at;
    whereIs[part] = at;
  }
}

/** Within a date the rows stand in the order of the log. Null where no row names a serial. */
function sightingsOf(refs: RowRefs): Sightings | null {
  const {codes, words} = refs.words("part_serial");
  if (words.length === 0) return null;
  const {of, count} = refs.slots;
  const named = new Uint8Array(count);
  codes.forEach((code, i) => {
    if (code >= 0) named[of[i]!] = 1;
  });
  const actions = refs.words("action");
  const keptCode = actions.words.indexOf("kept");
  const when = refs.numbers("date");
  const row = byTime(when).filter((i) => named[of[i]!] === 1);
  return {
    refs,
    row,
    slot: row.map((i) => of[i]!),
    serial: row.map((i) => codes[i]!),
    serials: words,
    kept: Uint8Array.from(row, (i) => Number(actions.codes[i] === keptCode)),
    date: Float64Array.from(row, (i) => when[i]!),
  };
}

/** The next sighting of the same slot; -1 where there is none. */
function nextInSlot({slot}: Sightings, slots: number): Int32Array {
  const next = new Int32Array(slot.length).fill(-1);
  const last = new Int32Array(slots).fill(-1);
  for (let at = slot.length - 1; at >= 0; --at) {
    next[at] = last[slot[at]!]!;
    last[slot[at]!] = at;
  }
  return next;
}

/** The next row of the part's slot after another tool's claim, when it shows that the part never left; else -1. */
function confirmedLater({serial, kept, date}: Sightings, nextOf: Int32Array, elsewhere: number, claim: number): number {
  let next = nextOf[elsewhere]!;
  while (next >= 0 && !(date[next]! > date[claim]! && serial[next]! >= 0)) next = nextOf[next]!;
  return next >= 0 && serial[next] === serial[claim] && kept[next] === 1 ? next : -1;
}

/** Rows by time, in their order where it is the same. Days repeat, so they are counted and not compared. */
function byTime(when: Float64Array): Int32Array {
  const times = Float64Array.from(new Set(when)).sort();
  const rankOf = new Map(Array.from(times, (time, rank) => [time, rank]));
  const begins = new Int32Array(times.length + 1);
  const rank = new Int32Array(when.length);
  for (let i = 0; i < when.length; ++i) {
    // the rows of a rebuild follow each other
    rank[i] = i > 0 && when[i] === when[i - 1] ? rank[i - 1]! : rankOf.get(when[i]!)!;
    ++begins[rank[i]! + 1]!;
  }
  for (let i = 1; i < begins.length; ++i) begins[i]! += begins[i - 1]!;
  const order = new Int32Array(when.length);
  for (let i = 0; i < when.length; ++i) order[begins[rank[i]!]!++] = i;
  return order;
}

function toolOf({draft, row}: RowRef): string {
  return draft.text("tool", row) ?? "";
}

function clearSerial({draft, row}: RowRef): void {
  const column = draft.texts.get("part_serial");
  if (column !== undefined) column.codes[row] = -1;
  draft.mark(row, "repaired");
}
