/** Where each part with a serial is: one part cannot be in two tools. */
import type {RowRef} from "../mergeDrafts.ts";
import {placeOf} from "./duplicates.ts";

/** A row that names a part in a slot, in order of date. */
interface Sighting {
  readonly ref: RowRef;
  readonly slot: string;
  readonly serial: string | null;
  readonly kept: boolean;
}

/** @param rebuilds rows by tool and date */
export function checkParts(rebuilds: readonly RowRef[]): void {
  const sightings = sightingsOf(rebuilds);
  const bySlot = new Map<string, Sighting[]>();
  for (const sighting of sightings) {
    const of = bySlot.get(sighting.slot);
    if (of === undefined) bySlot.set(sighting.slot, [sighting]);
    else of.push(sighting);
  }
  const inSlot = new Map<string, Sighting>();
  const whereIs = new Map<string, Sighting>();
  /** claims that were refused, by slot, until the slot gets another part */
  const refused = new Map<string, string>();
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

/** Rows of the rebuild logs by date; within a date in the order of the files. */
function sightingsOf(refs: readonly RowRef[]): Sighting[] {
  const when = refs.map(({draft, row}) => draft.number("date", row));
  const order = [...refs.keys()].sort((a, b) => when[a]! - when[b]! || a - b);
  return order.map((i) => {
    const ref = refs[i]!;
    const {draft, row} = ref;
    const slot = ["tool", "component", "position"].map((name) => draft.text(name, row) ?? "").join("\u0001");
    return {ref, slot, serial: draft.text("part_serial", row), kept: draft.text("action", row) === "kept"};
  });
}

function leave(whereIs: Map<string, Sighting>, inSlot: Map<string, Sighting>, sighting: Sighting): void {
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
