/** Where each part with a serial is: one part cannot be in two tools. */
import {groupsOf, type RowRef, type RowRefs} from "../RowRefs.ts";
import {placeOf} from "./duplicates.ts";

/** A row that names a part in a slot, in order of date. */
interface Sighting {
  readonly ref: RowRef;
  readonly slot: number;
  readonly serial: string | null;
  readonly kept: boolean;
}

/** @param rebuilds rows by tool and date */
export function checkParts(rebuilds: RowRefs): void {
  const sightings = sightingsOf(rebuilds);
  const bySlot = new Map<number, Sighting[]>();
  for (const sighting of sightings) {
    const of = bySlot.get(sighting.slot);
    if (of === undefined) bySlot.set(sighting.slot, [sighting]);
    else of.push(sighting);
  }
  const inSlot = new Map<number, Sighting>();
  const whereIs = new Map<string, Sighting>();
  /** claims that were refused, by slot, until the slot gets another part */
  const refused = new Map<number, string>();
  for (const sighting of sightings) {
    const {slot, serial, ref} = sighting;
    if (serial !== null && refused.get(slot) === serial) {
      clearSerial(ref);
      continue;
    }
    refused.delete(slot);
    const before = inSlot.get(slot);
    if (serial === null) {
      if (!sighting.kept && before !== undefined) leave(whereIs, inSlot, before);
      continue;
    }
    const elsewhere = whereIs.get(serial);
    if (elsewhere !== undefined && elsewhere.slot !== slot) {
      const confirmed = confirmedLater(bySlot.get(elsewhere.slot) ?? [], sighting, serial);
      const held = `${serial} is in ${toolOf(elsewhere)} (${placeOf(elsewhere.ref, ref)})`;
      if (confirmed !== null) {
        const message = `${held} and still there later (${placeOf(confirmed.ref, ref)}), and yet ${toolOf(sighting)} claims it`;
        ref.draft.tell("part-in-two-tools", ref.row, {
          column: "part_serial",
          taken: "no serial",
          message,
          beside: [elsewhere.ref, confirmed.ref],
        });
        clearSerial(ref);
        refused.set(slot, serial);
        if (before !== undefined && !sighting.kept) leave(whereIs, inSlot, before);
        continue;
      }
      if (Number.isNaN(ref.draft.number("installed_with_h", ref.row))) {
        const message = `${held} and turns up in ${toolOf(sighting)} without the hours on it`;
        ref.draft.tell("part-moved", ref.row, {
          column: "part_serial",
          taken: "age unknown",
          message,
          beside: [elsewhere.ref],
        });
      }
      leave(whereIs, inSlot, elsewhere);
    }
    if (before !== undefined && before.serial !== serial) leave(whereIs, inSlot, before);
    inSlot.set(slot, sighting);
    whereIs.set(serial, sighting);
  }
}

/** Rows of slots that ever name a serial, by date; within a date in the order of the files. */
function sightingsOf(refs: RowRefs): Sighting[] {
  const serials = refs.words("part_serial");
  if (serials.words.length === 0) return [];
  const slots = groupsOf(refs, ["tool", "component", "position"]);
  const named = new Uint8Array(slots.count);
  serials.codes.forEach((code, i) => {
    if (code >= 0) named[slots.of[i]!] = 1;
  });
  const actions = refs.words("action");
  const kept = actions.words.indexOf("kept");
  const when = refs.numbers("date");
  const order = Int32Array.from(when.keys()).filter((i) => named[slots.of[i]!] === 1);
  order.sort((a, b) => when[a]! - when[b]! || a - b);
  return Array.from(order, (i) => ({
    ref: refs.at(i),
    slot: slots.of[i]!,
    serial: serials.words[serials.codes[i]!] ?? null,
    kept: actions.codes[i] === kept,
  }));
}

function leave(whereIs: Map<string, Sighting>, inSlot: Map<number, Sighting>, sighting: Sighting): void {
  if (sighting.serial !== null && whereIs.get(sighting.serial) === sighting) whereIs.delete(sighting.serial);
  if (inSlot.get(sighting.slot) === sighting) inSlot.delete(sighting.slot);
}

/** The next row of a slot after another tool's claim, when it shows that the part never left. */
function confirmedLater(slot: readonly Sighting[], claim: Sighting, serial: string): Sighting | null {
  const date = dateOf(claim);
  const next = slot.find((sighting) => dateOf(sighting) > date && sighting.serial !== null);
  return next !== undefined && next.serial === serial && next.kept ? next : null;
}

function dateOf({ref}: Sighting): number {
  return ref.draft.number("date", ref.row);
}

function toolOf({ref}: Sighting): string {
  return ref.draft.text("tool", ref.row) ?? "";
}

function clearSerial({draft, row}: RowRef): void {
  const column = draft.texts.get("part_serial");
  if (column !== undefined) column.codes[row] = -1;
  draft.mark(row, "repaired");
}
