/**
 * Reads the rebuild rows in the order they happened and says what each tells of the part in its slot.
 *
 * Two steps a row: what came out or stayed (`look`), then what went in (Fitting). All rows of a day take their first
 * step before any takes its second, so that a part taken out of one tool can go into another on the same day.
 */
import {Fitting} from "./Fitting.ts";
import {LifeEnds} from "./LifeEnds.ts";
import {RULES} from "./lifeRules.ts";
import {LogEnd} from "./LogEnd.ts";
import {LogReading, type ReadingInputs} from "./LogReading.ts";
import {RowModes} from "./RowModes.ts";
import {RunBlame} from "./RunBlame.ts";
import {Sighting} from "./Sighting.ts";
import {SLOT} from "./SlotStates.ts";
import {ACTION_AS, FOUND_AS, isBad} from "./verdict.ts";

export class LifeBuilder {
  /** lives and failures as they end */
  readonly ends: LifeEnds;
  readonly #reading: LogReading;
  readonly #modes: RowModes;
  readonly #blame: RunBlame;
  readonly #sighting: Sighting;
  readonly #fitting: Fitting;
  readonly #logEnd: LogEnd;
  /** parts renewed without inspection, by component code */
  readonly #uninspected: Int32Array;

  constructor(inputs: ReadingInputs) {
    const reading = new LogReading(inputs);
    this.#reading = reading;
    this.#modes = new RowModes(reading);
    this.#blame = new RunBlame(reading);
    this.ends = new LifeEnds(reading, this.#modes, this.#blame);
    this.#sighting = new Sighting(reading, this.ends);
    this.#fitting = new Fitting(reading, this.ends, this.#sighting);
    this.#logEnd = new LogEnd(reading, this.ends);
    this.#uninspected = new Int32Array(inputs.rebuilds.columns.component.words.length);
  }

  /** Mode codes that the columns `mode` of lives and failures point into. */
  get modes(): readonly string[] {
    return this.#modes.words;
  }

  /** Reads every row, then closes what is still open. */
  build(logEnd: number): void {
    const {order, slot} = this.#reading.schedule;
    const {date} = this.#reading.rebuilds.columns;
    const waiting: number[] = [];
    const waits = new Int32Array(this.#reading.schedule.slots.count).fill(-1);
    const installAll = (): void => {
      for (const row of waiting) {
        if (waits[slot[row]!] !== row) continue;
        waits[slot[row]!] = -1;
        this.#fitting.install(row);
      }
      waiting.length = 0;
    };
    let today = NaN;
    for (const row of order) {
      if (date[row] !== today) {
        installAll();
        today = date[row]!;
      }
      const s = slot[row]!;
      if (waits[s]! >= 0) {
        this.#fitting.install(waits[s]!);
        waits[s] = -1;
      }
      if (this.#look(row)) {
        waiting.push(row);
        waits[s] = row;
      }
    }
    installAll();
    this.#logEnd.closeSlots(logEnd);
    this.#logEnd.closeRuns();
    this.#sayUninspected();
  }

  /** Returns whether a part goes in. */
  #look(row: number): boolean {
    const s = this.#reading.schedule.slot[row]!;
    const at = this.#reading.schedule.position[row]!;
    const slots = this.#reading.slots;
    const kept = this.#reading.verdicts.action[row] === ACTION_AS.kept;
    if (slots.status[s] === SLOT.unseen) this.#sighting.firstSight(row, s, at, kept);
    if (slots.status[s] === SLOT.empty && kept) {
      slots.status[s] = SLOT.ageUnknown;
      slots.from[s] = at;
    }
    this.#sighting.passUnknownRuns(s, at);
    if (kept && slots.status[s] === SLOT.followed) this.#sighting.checkSerial(row, s, at);
    if (slots.status[s] === SLOT.ageUnknown) this.#sighting.resolve(row, s, at, kept);
    else if (slots.status[s] === SLOT.followed) this.#sighting.checkHours(row, s, at);
    if (slots.status[s] === SLOT.ageUnknown) {
      this.#reading.findings.add(RULES.ageUnknown, this.#reading.rebuilds, row, {column: "hours_on_part"});
    }
    this.#judge(row, s, at, kept);
    slots.seen[s] = at;
    slots.lastRow[s] = row;
    if (kept) this.#sighting.describe(row, s, false);
    return !kept;
  }

  /** What the row found, and so what becomes of the life in the slot. */
  #judge(row: number, s: number, at: number, kept: boolean): void {
    const found = this.#reading.verdicts.found[row]!;
    this.#modes.sayContradictions(row, s);
    const bad = isBad(found);
    const blamed = (bad || found === FOUND_AS.damaged) && this.#blame.isBlamed(row, s, at);
    if (kept) this.#keep(row, s, at, blamed);
    else this.#takeOut(row, s, at, blamed);
  }

  #keep(row: number, s: number, at: number, blamed: boolean): void {
    const slots = this.#reading.slots;
    const found = this.#reading.verdicts.found[row]!;
    const followed = slots.status[s] === SLOT.followed;
    if (blamed || found === FOUND_AS.failed) {
      const mode = this.#modes.modeOf(row, s);
      if (this.#modes.wantsRenewal(mode))
        this.#reading.findings.add(RULES.keptFailed, this.#reading.rebuilds, row, {column: "action"});
      const age = followed ? this.#reading.age(s, at) : NaN;
      const apart = slots.apart[s]!;
      this.ends.fail(row, s, at, {mode, blamed});
      if (!followed) return;
      this.#sighting.follow(s, {age, from: at, began: this.#reading.rebuilds.columns.date[row]!, row});
      slots.apart[s] = apart;
    } else if (found === FOUND_AS.worn) {
      this.#reading.findings.add(RULES.keptWorn, this.#reading.rebuilds, row, {column: "action"});
      if (followed && Number.isNaN(slots.firstBad[s]!)) slots.firstBad[s] = this.#reading.age(s, at);
    } else if (found === FOUND_AS.damaged) {
      this.#reading.findings.add(RULES.keptDamaged, this.#reading.rebuilds, row, {column: "found"});
    } else if (found === FOUND_AS.good && followed) {
      slots.lastGood[s] = this.#reading.age(s, at);
      slots.goodAt[s] = at;
      slots.firstBad[s] = NaN;
    }
  }

  #takeOut(row: number, s: number, at: number, blamed: boolean): void {
    const slots = this.#reading.slots;
    const found = this.#reading.verdicts.found[row]!;
    const status = slots.status[s];
    const age = status === SLOT.followed ? this.#reading.age(s, at) : NaN;
    const spoilt = isBad(found) || found === FOUND_AS.damaged;
    if (status !== SLOT.empty) {
      if (blamed || isBad(found)) this.ends.fail(row, s, at, {mode: this.#modes.modeOf(row, s), blamed});
      else if (found === FOUND_AS.damaged) this.ends.spoil(row, s, at);
      else if (status === SLOT.followed) {
        if (found === FOUND_AS.notInspected) this.#uninspected[this.#reading.schedule.slots.component[s]!]!++;
        this.ends.suspend(s, {ending: "renewed good", to: at, row, date: this.#reading.rebuilds.columns.date[row]!});
      }
    }
    const part = this.#reading.partKey(s, slots.serial[s]!);
    if (this.#reading.parts.slotOf(part) === s) this.#reading.parts.shelve(part, {age, spoilt});
    slots.status[s] = SLOT.empty;
  }

  #sayUninspected(): void {
    const {component} = this.#reading.rebuilds.columns;
    this.#uninspected.forEach((count, code) => {
      if (count === 0) return;
      const file = this.#reading.rebuilds.file.words[0] ?? "rebuilds";
      this.#reading.findings.addFile(RULES.notInspected, file, {
        column: "found",
        found: `${count} × ${component.words[code] ?? ""}`,
        taken: "good",
      });
    });
  }
}
