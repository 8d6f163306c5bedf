/** What a row says of the part that has been in the slot until now: whether it is the same, and how old it is. */
import {wordAt} from "../../shared/columnar.ts";
import type {LifeEnds} from "./LifeEnds.ts";
import {RULES} from "./lifeRules.ts";
import type {LogReading} from "./LogReading.ts";
import {SLOT} from "./SlotStates.ts";
import {tidy} from "./toolRuns.ts";
import {ACTION_AS, isBad} from "./verdict.ts";

/** Shop count and run log may differ by so much, as a share and in hours, before anyone is asked. */
const HOURS_SHARE = 0.05;
const HOURS_LEAST = 1;

/** Whether two counts of a part's hours agree. */
function agree(a: number, b: number): boolean {
  return Math.abs(a - b) <= Math.max(HOURS_LEAST, HOURS_SHARE * Math.max(a, b));
}

export class Sighting {
  readonly #reading: LogReading;
  readonly #ends: LifeEnds;

  constructor(reading: LogReading, ends: LifeEnds) {
    this.#reading = reading;
    this.#ends = ends;
  }

  /** The first row of a slot: an installation before its tool's first run, else a part fitted before the log. */
  firstSight(row: number, s: number, at: number, kept: boolean): void {
    const tool = this.#reading.schedule.slots.tool[s]!;
    const first = this.#reading.index.offsets[tool]!;
    this.#reading.slots.from[s] = first;
    this.#reading.slots.seen[s] = first;
    const installation = at === first && !kept;
    this.#reading.slots.status[s] = installation ? SLOT.empty : SLOT.ageUnknown;
    if (installation && isBad(this.#reading.verdicts.found[row]!)) {
      this.#reading.findings.add(RULES.beforeLog, this.#reading.rebuilds, row, {column: "found"});
    }
  }

  /** A run without exposure ends what is known of a part's age: its life is suspended before that run. */
  passUnknownRuns(s: number, at: number): void {
    const slots = this.#reading.slots;
    const tool = this.#reading.schedule.slots.tool[s]!;
    const {nextUnknown} = this.#reading.index;
    let unknown = nextUnknown[slots.from[s]! + tool]!;
    if (unknown >= at || slots.status[s] === SLOT.empty) return;
    if (slots.status[s] === SLOT.followed)
      this.#ends.suspend(s, {ending: "lost from view", to: unknown, row: -1, date: this.#reading.endOf(unknown)});
    slots.status[s] = SLOT.ageUnknown;
    while (unknown < at) {
      slots.from[s] = unknown + 1;
      unknown = nextUnknown[unknown + 1 + tool]!;
    }
  }

  /** A part kept under another serial was changed without a record: the old life ends where it was last seen. */
  checkSerial(row: number, s: number, at: number): void {
    const slots = this.#reading.slots;
    const now = this.#reading.rebuilds.columns.part_serial.codes[row]!;
    const then = slots.serial[s]!;
    if (now < 0 || then < 0 || now === then) return;
    this.#reading.findings.add(RULES.serialChanged, this.#reading.rebuilds, row, {
      column: "part_serial",
      found: wordAt(this.#reading.rebuilds.columns.part_serial, row),
    });
    const seen = slots.seen[s]!;
    this.#ends.suspend(s, {
      ending: "lost from view",
      to: seen,
      row,
      date: this.#reading.rebuilds.columns.date[slots.lastRow[s]!]!,
    });
    this.#reading.parts.shelve(this.#reading.partKey(s, then), {age: NaN, spoilt: false});
    slots.status[s] = SLOT.ageUnknown;
    slots.from[s] = at;
    this.forget(s);
  }

  /** The shop's count gives a part of unknown age one, as far back as the slot is known to have held it. */
  resolve(row: number, s: number, at: number, kept: boolean): void {
    const counted = this.#countedHours(row);
    if (!(counted >= 0)) return;
    const tool = this.#reading.schedule.slots.tool[s]!;
    const from = this.#reading.slots.from[s]!;
    const age = tidy(counted - this.#reading.exposure(tool, from, at));
    if (age >= -Math.max(HOURS_LEAST, HOURS_SHARE * counted)) {
      const fitted = from === at && kept;
      const began = from === at ? this.#reading.rebuilds.columns.date[row]! : this.#reading.startOf(from);
      this.follow(s, {age: Math.max(0, age), from, began, row: fitted ? row : -1});
      return;
    }
    this.#reading.findings.add(RULES.hoursBelowLog, this.#reading.rebuilds, row, {
      column: "hours_on_part",
      found: `${counted}`,
    });
    if (kept) this.follow(s, {age: counted, from: at, began: this.#reading.rebuilds.columns.date[row]!, row});
  }

  /** Holds the shop's count against the log's and remembers how far they are apart. */
  checkHours(row: number, s: number, at: number): void {
    const counted = this.#countedHours(row);
    if (!(counted >= 0)) return;
    const logged = this.#reading.age(s, at);
    // a difference told once goes with the part: the next look says nothing new
    if (agree(counted, logged + this.#reading.slots.apart[s]!)) return;
    this.#reading.slots.apart[s] = this.apart(row, {logged, counted}, "hours_on_part");
  }

  /** How much more the shop counted than the log; 0 where they agree, else told. */
  apart(row: number, {logged, counted}: {readonly logged: number; readonly counted: number}, column: string): number {
    if (agree(counted, logged)) return 0;
    const rule = counted > logged ? RULES.hoursAboveLog : RULES.hoursUnderLog;
    this.#reading.findings.add(rule, this.#reading.rebuilds, row, {column, found: `${counted}`, taken: `${logged}`});
    return tidy(counted - logged);
  }

  /** Hours on the part as the shop counted them at this row; NaN where it does not say or they cannot be used. */
  #countedHours(row: number): number {
    if (!this.#reading.hoursCount) return NaN;
    const {hours_on_part, installed_with_h} = this.#reading.rebuilds.columns;
    const counted = hours_on_part[row]!;
    if (counted >= 0 || this.#reading.verdicts.action[row] !== ACTION_AS.kept) return counted;
    return installed_with_h[row]!;
  }

  /** A part of known age is in the slot from here on. */
  follow(
    s: number,
    life: {readonly age: number; readonly from: number; readonly began: number; readonly row: number},
  ): void {
    const slots = this.#reading.slots;
    slots.status[s] = SLOT.followed;
    slots.entry[s] = life.age;
    slots.from[s] = life.from;
    slots.lastGood[s] = life.age;
    slots.goodAt[s] = life.from;
    slots.firstBad[s] = NaN;
    slots.apart[s] = 0;
    slots.began[s] = life.began;
    slots.beganRow[s] = life.row;
  }

  /** Takes number, lot and serial from a row: those of the part in the slot after it. A kept part's gaps are filled. */
  describe(row: number, s: number, fitted: boolean): void {
    const slots = this.#reading.slots;
    const {part_number, lot, part_serial, shop} = this.#reading.rebuilds.columns;
    if (slots.partNumber[s]! < 0) slots.partNumber[s] = part_number.codes[row]!;
    if (slots.lot[s]! < 0) slots.lot[s] = lot.codes[row]!;
    if (fitted) {
      slots.shop[s] = shop.codes[row]!;
      return;
    }
    if (slots.serial[s]! < 0 && part_serial.codes[row]! >= 0) {
      slots.serial[s] = part_serial.codes[row]!;
      const part = this.#reading.partKey(s, slots.serial[s]!);
      if (this.#reading.parts.slotOf(part) < 0) this.#reading.parts.fit(part, s);
    }
  }

  /** Nothing is known any more of what the slot holds. */
  forget(s: number): void {
    const slots = this.#reading.slots;
    slots.serial[s] = slots.partNumber[s] = slots.lot[s] = slots.shop[s] = -1;
  }
}
