/** What went into a slot, and how old it was. */
import {wordAt} from "../../shared/columnar.ts";
import type {LifeEnds} from "./LifeEnds.ts";
import {RULES} from "./lifeRules.ts";
import type {LogReading} from "./LogReading.ts";
import type {Sighting} from "./Sighting.ts";
import {SLOT} from "./SlotStates.ts";
import {positionAt} from "./toolRuns.ts";
import {ACTION_AS} from "./verdict.ts";

export class Fitting {
  readonly #reading: LogReading;
  readonly #ends: LifeEnds;
  readonly #sighting: Sighting;

  constructor(reading: LogReading, ends: LifeEnds, sighting: Sighting) {
    this.#reading = reading;
    this.#ends = ends;
    this.#sighting = sighting;
  }

  /** The part that a row puts into its slot begins a life, if its age is known. */
  install(row: number): void {
    const s = this.#reading.schedule.slot[row]!;
    const at = this.#reading.schedule.position[row]!;
    const slots = this.#reading.slots;
    const {date, part_serial} = this.#reading.rebuilds.columns;
    const reworked = this.#reading.verdicts.action[row] === ACTION_AS.reworked;
    const old = slots.serial[s]!;
    let serial = part_serial.codes[row]!;
    if (reworked && serial < 0) serial = old;
    if (!reworked && serial >= 0 && serial === old) {
      this.#reading.findings.add(RULES.sameSerial, this.#reading.rebuilds, row, {
        column: "part_serial",
        found: wordAt(part_serial, row),
      });
      serial = -1;
    }
    let part = this.#reading.partKey(s, serial);
    if (part >= 0 && !this.#free(row, s, part)) {
      part = -1;
      serial = -1;
    }
    this.#sighting.forget(s);
    this.#sighting.describe(row, s, true);
    slots.serial[s] = serial;
    const {age, apart} = this.#ageOfFitted(row, part, reworked);
    this.#reading.parts.fit(part, s);
    if (age >= 0) {
      this.#sighting.follow(s, {age, from: at, began: date[row]!, row});
      slots.apart[s] = apart;
    } else {
      slots.status[s] = SLOT.ageUnknown;
      slots.from[s] = at;
    }
    slots.seen[s] = at;
    slots.lastRow[s] = row;
  }

  /** Frees a part that was never logged out of another slot; false where that slot's tool went on running with it. */
  #free(row: number, s: number, part: number): boolean {
    const other = this.#reading.parts.slotOf(part);
    if (other < 0 || other === s) return true;
    const tool = this.#reading.schedule.slots.tool[other]!;
    const date = this.#reading.rebuilds.columns.date[row]!;
    const at = positionAt(this.#reading.index, this.#reading.runs, tool, date, this.#reading.slots.seen[other]!);
    const nextRow = this.#reading.schedule.next[this.#reading.slots.lastRow[other]!]!;
    const until = nextRow >= 0 ? this.#reading.schedule.position[nextRow]! : this.#reading.index.offsets[tool + 1]!;
    const details = {column: "part_serial", found: wordAt(this.#reading.rebuilds.columns.part_serial, row)};
    if (until > at) {
      this.#reading.findings.add(RULES.serialTwice, this.#reading.rebuilds, row, {
        ...details,
        taken: "a part of unknown serial",
      });
      return false;
    }
    this.#reading.findings.add(RULES.movedUnlogged, this.#reading.rebuilds, row, {
      ...details,
      taken: `moved from tool ${this.#reading.index.tools[tool] ?? ""}`,
    });
    this.#sighting.passUnknownRuns(other, at);
    const followed = this.#reading.slots.status[other] === SLOT.followed;
    const age = followed ? this.#reading.age(other, at) : NaN;
    if (followed) this.#ends.suspend(other, {ending: "renewed good", to: at, row, date});
    this.#reading.slots.status[other] = SLOT.empty;
    this.#sighting.forget(other);
    this.#reading.parts.shelve(part, {age, spoilt: false});
    return true;
  }

  /** Age of the part that went in; NaN where nobody knows, which is told. */
  #ageOfFitted(row: number, part: number, reworked: boolean): {age: number; apart: number} {
    const given = this.#reading.rebuilds.columns.installed_with_h[row]!;
    const counted = this.#reading.hoursCount ? given : given === 0 ? 0 : NaN;
    if (reworked) return {age: counted >= 0 ? counted : 0, apart: 0};
    const seen = this.#reading.parts.wasShelved(part);
    const tracked = this.#reading.parts.shelvedAge(part);
    const spoilt = this.#reading.parts.shelvedSpoilt(part);
    const column = {column: "installed_with_h"};
    if (spoilt && !(counted >= 0)) {
      this.#reading.findings.add(RULES.spoiltBack, this.#reading.rebuilds, row, column);
      return {age: NaN, apart: 0};
    }
    if (tracked >= 0 && !spoilt) {
      if (counted >= 0)
        return {age: tracked, apart: this.#sighting.apart(row, {logged: tracked, counted}, column.column)};
      if (this.#reading.verdicts.action[row] === ACTION_AS.renewed && tracked > 0) {
        this.#reading.findings.add(RULES.ageCarried, this.#reading.rebuilds, row, {...column, taken: `${tracked}`});
      }
      return {age: tracked, apart: 0};
    }
    if (counted >= 0) return {age: counted, apart: 0};
    if (given > 0) {
      this.#reading.findings.add(RULES.hoursNotInClock, this.#reading.rebuilds, row, {...column, found: `${given}`});
      return {age: NaN, apart: 0};
    }
    const isNew = this.#reading.verdicts.action[row] === ACTION_AS.renewed && !seen;
    if (!isNew) this.#reading.findings.add(RULES.usedAgeUnknown, this.#reading.rebuilds, row, column);
    return {age: isNew ? 0 : NaN, apart: 0};
  }
}
