/**
 * Reads the rebuild rows in the order they happened and says what each tells of the part in its slot.
 *
 * Two steps a row: what came out or stayed (`look`), then what went in (`install`). All rows of a day take their first
 * step before any takes its second, so that a part taken out of one tool can go into another on the same day.
 */
import {wordAt} from "../../shared/columnar.ts";
import type {Settings} from "../../shared/settings.ts";
import type {RebuildTable, RunTable} from "../logs/logTable.ts";
import type {FailureClass} from "./failureTable.ts";
import {FAILURE_CLASSES} from "./failureTable.ts";
import type {FindingList, Rule} from "./FindingList.ts";
import {GrowingColumns} from "./GrowingColumns.ts";
import {RULES} from "./lifeRules.ts";
import {LIFE_ENDINGS, type LifeEnding} from "./lifeTable.ts";
import {PartRegistry} from "./PartRegistry.ts";
import type {RebuildSchedule} from "./rebuildSchedule.ts";
import {SLOT, SlotStates} from "./SlotStates.ts";
import {positionAt, tidy, type ToolRuns} from "./toolRuns.ts";
import {ACTION_AS, FOUND_AS, isBad, type Verdicts} from "./verdict.ts";

/** Lives as the builder leaves them; text and exposure are filled in by lifeTableOf. */
export const LIFE_COLUMNS = {
  slot: "code",
  entry: "number",
  lower: "number",
  upper: "number",
  ageAtEnd: "number",
  ending: "small",
  mode: "code",
  serviceInduced: "small",
  began: "number",
  ended: "number",
  beganRow: "code",
  endedRow: "code",
  /** positions of the first run and of the one after the last */
  from: "code",
  to: "code",
  /** exposure of the last run that belongs to the life; NaN for all of it */
  cut: "number",
  partNumber: "code",
  lot: "code",
  partSerial: "code",
  shop: "code",
} as const;

export const FAILURE_COLUMNS = {
  date: "number",
  slot: "code",
  tool: "code",
  mode: "code",
  serviceInduced: "small",
  failureClass: "small",
  /** position of the run it ended, or after which it was found, plus one; and the first position it may lie in */
  at: "code",
  since: "code",
  sinceRebuild: "number",
  inRun: "small",
  rebuild: "code",
  life: "code",
} as const;

const ENDING_CODES = Object.fromEntries(LIFE_ENDINGS.map((ending, code) => [ending, code])) as Readonly<
  Record<LifeEnding, number>
>;

/** Shop count and run log may differ by so much, as a share and in hours, before anyone is asked. */
const HOURS_SHARE = 0.05;
const HOURS_LEAST = 1;

/** Whether two counts of a part's hours agree. */
function agree(a: number, b: number): boolean {
  return Math.abs(a - b) <= Math.max(HOURS_LEAST, HOURS_SHARE * Math.max(a, b));
}

const WIRELINE = /wire\s*-?line|slick\s*-?line/i;

export class LifeBuilder {
  readonly lives = new GrowingColumns(LIFE_COLUMNS);
  readonly failures = new GrowingColumns(FAILURE_COLUMNS);
  /** mode codes of both columns: those of the rebuild log, then those supplied here */
  readonly modes: string[];
  /** parts blamed for each visit's run, as accepted */
  readonly blamed: Int32Array;

  readonly #runs: RunTable;
  readonly #rebuilds: RebuildTable;
  readonly #settings: Pick<Settings, "exposure" | "lost_in_hole">;
  readonly #index: ToolRuns;
  readonly #schedule: RebuildSchedule;
  readonly #verdicts: Verdicts;
  readonly #findings: FindingList;
  readonly #slots: SlotStates;
  readonly #parts: PartRegistry;
  readonly #fleetOfTool: Int32Array;
  readonly #suppliedModes = new Map<string, number>();
  readonly #uninspected: Int32Array;
  readonly #hoursCount: boolean;
  readonly #outcome: {readonly failed: number; readonly completed: number; readonly lost: number};

  constructor(
    logs: {readonly runs: RunTable; readonly rebuilds: RebuildTable},
    given: {
      readonly settings: Pick<Settings, "exposure" | "lost_in_hole">;
      readonly index: ToolRuns;
      readonly schedule: RebuildSchedule;
      readonly verdicts: Verdicts;
      readonly findings: FindingList;
      readonly fleetOfTool: Int32Array;
    },
  ) {
    this.#runs = logs.runs;
    this.#rebuilds = logs.rebuilds;
    this.#settings = given.settings;
    this.#index = given.index;
    this.#schedule = given.schedule;
    this.#verdicts = given.verdicts;
    this.#findings = given.findings;
    this.#fleetOfTool = given.fleetOfTool;
    const {columns} = logs.rebuilds;
    this.#slots = new SlotStates(given.schedule.slots.count);
    this.#parts = new PartRegistry({
      components: columns.component.words.length,
      serials: columns.part_serial.words.length,
    });
    this.modes = [...columns.mode.words];
    this.blamed = new Int32Array(given.index.order.length + given.index.tools.length);
    this.#uninspected = new Int32Array(columns.component.words.length);
    // a shop counts a part's hours in the clock its settings name; hours say nothing about pulses or runs
    this.#hoursCount =
      given.settings.exposure === "circulating hours" || given.settings.exposure === "below-rotary hours";
    const {words} = logs.runs.columns.outcome;
    this.#outcome = {
      failed: words.indexOf("failed downhole"),
      completed: words.indexOf("completed"),
      lost: words.indexOf("lost in hole"),
    };
  }

  /** Reads every row, then closes what is still open. */
  build(logEnd: number): void {
    const {order, slot} = this.#schedule;
    const {date} = this.#rebuilds.columns;
    const waiting: number[] = [];
    const waits = new Int32Array(this.#schedule.slots.count).fill(-1);
    const installAll = (): void => {
      for (const row of waiting) {
        if (waits[slot[row]!] !== row) continue;
        waits[slot[row]!] = -1;
        this.#install(row);
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
        this.#install(waits[s]!);
        waits[s] = -1;
      }
      if (this.#look(row)) {
        waiting.push(row);
        waits[s] = row;
      }
    }
    installAll();
    this.#closeSlots(logEnd);
    this.#closeRuns();
    this.#sayUninspected();
  }

  // ---- ages

  /** Exposure of the tool between two positions without an unknown run between them. */
  #exposure(tool: number, from: number, to: number): number {
    return this.#index.before[to + tool]! - this.#index.before[from + tool]!;
  }

  /** Age at a position of the part followed in a slot. */
  #age(s: number, position: number): number {
    const tool = this.#schedule.slots.tool[s]!;
    return tidy(this.#slots.entry[s]! + this.#exposure(tool, this.#slots.from[s]!, position));
  }

  #follow(
    s: number,
    life: {readonly age: number; readonly from: number; readonly began: number; readonly row: number},
  ): void {
    const slots = this.#slots;
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

  /** Hours on the part as the shop counted them at this row; NaN where it does not say or they cannot be used. */
  #countedHours(row: number): number {
    if (!this.#hoursCount) return NaN;
    const {hours_on_part, installed_with_h} = this.#rebuilds.columns;
    const counted = hours_on_part[row]!;
    if (counted >= 0 || this.#verdicts.action[row] !== ACTION_AS.kept) return counted;
    return installed_with_h[row]!;
  }

  // ---- first step: what came out or stayed

  /** Returns whether a part goes in. */
  #look(row: number): boolean {
    const s = this.#schedule.slot[row]!;
    const at = this.#schedule.position[row]!;
    const slots = this.#slots;
    const kept = this.#verdicts.action[row] === ACTION_AS.kept;
    if (slots.status[s] === SLOT.unseen) this.#firstSight(row, s, at, kept);
    if (slots.status[s] === SLOT.empty && kept) {
      slots.status[s] = SLOT.ageUnknown;
      slots.from[s] = at;
    }
    this.#passUnknownRuns(s, at);
    if (kept && slots.status[s] === SLOT.followed) this.#checkSerial(row, s, at);
    if (slots.status[s] === SLOT.ageUnknown) this.#resolve(row, s, at, kept);
    else if (slots.status[s] === SLOT.followed) this.#checkHours(row, s, at);
    if (slots.status[s] === SLOT.ageUnknown) {
      this.#findings.add(RULES.ageUnknown, this.#rebuilds, row, {column: "hours_on_part"});
    }
    this.#judge(row, s, at, kept);
    slots.seen[s] = at;
    slots.lastRow[s] = row;
    if (kept) this.#describe(row, s, false);
    return !kept;
  }

  #firstSight(row: number, s: number, at: number, kept: boolean): void {
    const tool = this.#schedule.slots.tool[s]!;
    const first = this.#index.offsets[tool]!;
    this.#slots.from[s] = first;
    this.#slots.seen[s] = first;
    const installation = at === first && !kept;
    this.#slots.status[s] = installation ? SLOT.empty : SLOT.ageUnknown;
    if (installation && isBad(this.#verdicts.found[row]!)) {
      this.#findings.add(RULES.beforeLog, this.#rebuilds, row, {column: "found"});
    }
  }

  /** A run without exposure ends what is known of a part's age: its life is suspended before that run. */
  #passUnknownRuns(s: number, at: number): void {
    const slots = this.#slots;
    const tool = this.#schedule.slots.tool[s]!;
    const {nextUnknown} = this.#index;
    let unknown = nextUnknown[slots.from[s]! + tool]!;
    if (unknown >= at || slots.status[s] === SLOT.empty) return;
    if (slots.status[s] === SLOT.followed)
      this.#suspend(s, {ending: "lost from view", to: unknown, row: -1, date: this.#endOf(unknown)});
    slots.status[s] = SLOT.ageUnknown;
    while (unknown < at) {
      slots.from[s] = unknown + 1;
      unknown = nextUnknown[unknown + 1 + tool]!;
    }
  }

  /** The shop's count gives a part of unknown age one, as far back as the slot is known to have held it. */
  #resolve(row: number, s: number, at: number, kept: boolean): void {
    const counted = this.#countedHours(row);
    if (!(counted >= 0)) return;
    const tool = this.#schedule.slots.tool[s]!;
    const from = this.#slots.from[s]!;
    const age = tidy(counted - this.#exposure(tool, from, at));
    if (age >= -Math.max(HOURS_LEAST, HOURS_SHARE * counted)) {
      const fitted = from === at && kept;
      const began = from === at ? this.#rebuilds.columns.date[row]! : this.#startOf(from);
      this.#follow(s, {age: Math.max(0, age), from, began, row: fitted ? row : -1});
      return;
    }
    this.#findings.add(RULES.hoursBelowLog, this.#rebuilds, row, {column: "hours_on_part", found: `${counted}`});
    if (kept) this.#follow(s, {age: counted, from: at, began: this.#rebuilds.columns.date[row]!, row});
  }

  #checkHours(row: number, s: number, at: number): void {
    const counted = this.#countedHours(row);
    if (!(counted >= 0)) return;
    const logged = this.#age(s, at);
    // a difference told once goes with the part: the next look says nothing new
    if (agree(counted, logged + this.#slots.apart[s]!)) return;
    this.#slots.apart[s] = this.#apart(row, {logged, counted}, "hours_on_part");
  }

  /** How much more the shop counted than the log; 0 where they agree, else told. */
  #apart(row: number, {logged, counted}: {readonly logged: number; readonly counted: number}, column: string): number {
    if (agree(counted, logged)) return 0;
    const rule = counted > logged ? RULES.hoursAboveLog : RULES.hoursUnderLog;
    this.#findings.add(rule, this.#rebuilds, row, {column, found: `${counted}`, taken: `${logged}`});
    return tidy(counted - logged);
  }

  /** How much older than the log says the part in a slot may be: ages are known only to that. */
  #slack(s: number): number {
    return Math.max(0, this.#slots.apart[s]!);
  }

  #checkSerial(row: number, s: number, at: number): void {
    const slots = this.#slots;
    const now = this.#rebuilds.columns.part_serial.codes[row]!;
    const then = slots.serial[s]!;
    if (now < 0 || then < 0 || now === then) return;
    this.#findings.add(RULES.serialChanged, this.#rebuilds, row, {
      column: "part_serial",
      found: wordAt(this.#rebuilds.columns.part_serial, row),
    });
    const seen = slots.seen[s]!;
    this.#suspend(s, {ending: "lost from view", to: seen, row, date: this.#rebuilds.columns.date[slots.lastRow[s]!]!});
    this.#parts.shelve(this.#partKey(s, then), {age: NaN, spoilt: false});
    slots.status[s] = SLOT.ageUnknown;
    slots.from[s] = at;
    this.#forget(s);
  }

  #judge(row: number, s: number, at: number, kept: boolean): void {
    const found = this.#verdicts.found[row]!;
    this.#sayContradictions(row, s);
    const bad = isBad(found);
    const blamed = (bad || found === FOUND_AS.damaged) && this.#isBlamed(row, s, at);
    if (kept) this.#keep(row, s, at, blamed);
    else this.#takeOut(row, s, at, blamed);
  }

  #keep(row: number, s: number, at: number, blamed: boolean): void {
    const slots = this.#slots;
    const found = this.#verdicts.found[row]!;
    const followed = slots.status[s] === SLOT.followed;
    if (blamed || found === FOUND_AS.failed) {
      const mode = this.#modeOf(row, s);
      if (this.#wantsRenewal(mode)) this.#findings.add(RULES.keptFailed, this.#rebuilds, row, {column: "action"});
      const age = followed ? this.#age(s, at) : NaN;
      const apart = slots.apart[s]!;
      this.#fail(row, s, at, {mode, blamed});
      if (!followed) return;
      this.#follow(s, {age, from: at, began: this.#rebuilds.columns.date[row]!, row});
      slots.apart[s] = apart;
    } else if (found === FOUND_AS.worn) {
      this.#findings.add(RULES.keptWorn, this.#rebuilds, row, {column: "action"});
      if (followed && Number.isNaN(slots.firstBad[s]!)) slots.firstBad[s] = this.#age(s, at);
    } else if (found === FOUND_AS.damaged) {
      this.#findings.add(RULES.keptDamaged, this.#rebuilds, row, {column: "found"});
    } else if (found === FOUND_AS.good && followed) {
      slots.lastGood[s] = this.#age(s, at);
      slots.goodAt[s] = at;
      slots.firstBad[s] = NaN;
    }
  }

  #takeOut(row: number, s: number, at: number, blamed: boolean): void {
    const slots = this.#slots;
    const found = this.#verdicts.found[row]!;
    const status = slots.status[s];
    const age = status === SLOT.followed ? this.#age(s, at) : NaN;
    const spoilt = isBad(found) || found === FOUND_AS.damaged;
    if (status !== SLOT.empty) {
      if (blamed || isBad(found)) this.#fail(row, s, at, {mode: this.#modeOf(row, s), blamed});
      else if (found === FOUND_AS.damaged) this.#spoil(row, s, at);
      else if (status === SLOT.followed) {
        if (found === FOUND_AS.notInspected) this.#uninspected[this.#schedule.slots.component[s]!]!++;
        this.#suspend(s, {ending: "renewed good", to: at, row, date: this.#rebuilds.columns.date[row]!});
      }
    }
    const part = this.#partKey(s, slots.serial[s]!);
    if (this.#parts.slotOf(part) === s) this.#parts.shelve(part, {age, spoilt});
    slots.status[s] = SLOT.empty;
  }

  // ---- second step: what went in

  #install(row: number): void {
    const s = this.#schedule.slot[row]!;
    const at = this.#schedule.position[row]!;
    const slots = this.#slots;
    const {date, part_serial} = this.#rebuilds.columns;
    const reworked = this.#verdicts.action[row] === ACTION_AS.reworked;
    const old = slots.serial[s]!;
    let serial = part_serial.codes[row]!;
    if (reworked && serial < 0) serial = old;
    if (!reworked && serial >= 0 && serial === old) {
      this.#findings.add(RULES.sameSerial, this.#rebuilds, row, {
        column: "part_serial",
        found: wordAt(part_serial, row),
      });
      serial = -1;
    }
    let part = this.#partKey(s, serial);
    if (part >= 0 && !this.#free(row, s, part)) {
      part = -1;
      serial = -1;
    }
    this.#forget(s);
    this.#describe(row, s, true);
    slots.serial[s] = serial;
    const {age, apart} = this.#ageOfFitted(row, part, reworked);
    this.#parts.fit(part, s);
    if (age >= 0) {
      this.#follow(s, {age, from: at, began: date[row]!, row});
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
    const other = this.#parts.slotOf(part);
    if (other < 0 || other === s) return true;
    const tool = this.#schedule.slots.tool[other]!;
    const date = this.#rebuilds.columns.date[row]!;
    const at = positionAt(this.#index, this.#runs, tool, date, this.#slots.seen[other]!);
    const nextRow = this.#schedule.next[this.#slots.lastRow[other]!]!;
    const until = nextRow >= 0 ? this.#schedule.position[nextRow]! : this.#index.offsets[tool + 1]!;
    const details = {column: "part_serial", found: wordAt(this.#rebuilds.columns.part_serial, row)};
    if (until > at) {
      this.#findings.add(RULES.serialTwice, this.#rebuilds, row, {...details, taken: "a part of unknown serial"});
      return false;
    }
    this.#findings.add(RULES.movedUnlogged, this.#rebuilds, row, {
      ...details,
      taken: `moved from tool ${this.#index.tools[tool] ?? ""}`,
    });
    this.#passUnknownRuns(other, at);
    const followed = this.#slots.status[other] === SLOT.followed;
    const age = followed ? this.#age(other, at) : NaN;
    if (followed) this.#suspend(other, {ending: "renewed good", to: at, row, date});
    this.#slots.status[other] = SLOT.empty;
    this.#forget(other);
    this.#parts.shelve(part, {age, spoilt: false});
    return true;
  }

  /** Age of the part that went in; NaN where nobody knows, which is told. */
  #ageOfFitted(row: number, part: number, reworked: boolean): {age: number; apart: number} {
    const given = this.#rebuilds.columns.installed_with_h[row]!;
    const counted = this.#hoursCount ? given : given === 0 ? 0 : NaN;
    if (reworked) return {age: counted >= 0 ? counted : 0, apart: 0};
    const seen = this.#parts.wasShelved(part);
    const tracked = this.#parts.shelvedAge(part);
    const spoilt = this.#parts.shelvedSpoilt(part);
    const column = {column: "installed_with_h"};
    if (spoilt && !(counted >= 0)) {
      this.#findings.add(RULES.spoiltBack, this.#rebuilds, row, column);
      return {age: NaN, apart: 0};
    }
    if (tracked >= 0 && !spoilt) {
      if (counted >= 0) return {age: tracked, apart: this.#apart(row, {logged: tracked, counted}, column.column)};
      if (this.#verdicts.action[row] === ACTION_AS.renewed && tracked > 0) {
        this.#findings.add(RULES.ageCarried, this.#rebuilds, row, {...column, taken: `${tracked}`});
      }
      return {age: tracked, apart: 0};
    }
    if (counted >= 0) return {age: counted, apart: 0};
    if (given > 0) {
      this.#findings.add(RULES.hoursNotInClock, this.#rebuilds, row, {...column, found: `${given}`});
      return {age: NaN, apart: 0};
    }
    const isNew = this.#verdicts.action[row] === ACTION_AS.renewed && !seen;
    if (!isNew) this.#findings.add(RULES.usedAgeUnknown, this.#rebuilds, row, column);
    return {age: isNew ? 0 : NaN, apart: 0};
  }

  // ---- endings

  #suspend(
    s: number,
    end: {readonly ending: LifeEnding; readonly to: number; readonly row: number; readonly date: number},
  ): number {
    const age = this.#age(s, end.to);
    return this.#end(s, {
      ending: end.ending,
      to: end.to,
      row: end.row,
      date: end.date,
      lower: age,
      upper: Infinity,
      ageAtEnd: age,
      mode: -1,
      serviceInduced: 0,
      cut: NaN,
    });
  }

  #end(
    s: number,
    end: {
      readonly ending: LifeEnding;
      readonly to: number;
      readonly row: number;
      readonly date: number;
      readonly lower: number;
      readonly upper: number;
      readonly ageAtEnd: number;
      readonly mode: number;
      readonly serviceInduced: number;
      readonly cut: number;
    },
  ): number {
    const slots = this.#slots;
    const life = this.lives.add();
    const {columns} = this.lives;
    columns.slot[life] = s;
    columns.entry[life] = slots.entry[s]!;
    columns.lower[life] = end.lower;
    columns.upper[life] = end.upper;
    columns.ageAtEnd[life] = end.ageAtEnd;
    columns.ending[life] = ENDING_CODES[end.ending];
    columns.mode[life] = end.mode;
    columns.serviceInduced[life] = end.serviceInduced;
    columns.began[life] = slots.began[s]!;
    columns.ended[life] = end.date;
    columns.beganRow[life] = slots.beganRow[s]!;
    columns.endedRow[life] = end.row;
    columns.from[life] = slots.from[s]!;
    columns.to[life] = end.to;
    columns.cut[life] = end.cut;
    columns.partNumber[life] = slots.partNumber[s]!;
    columns.lot[life] = slots.lot[s]!;
    columns.partSerial[life] = slots.serial[s]!;
    columns.shop[life] = slots.shop[s]!;
    return life;
  }

  /** The part failed: in the run before this visit if it is blamed for that, else some time before this teardown. */
  #fail(row: number, s: number, at: number, {mode, blamed}: {readonly mode: number; readonly blamed: boolean}): void {
    const slots = this.#slots;
    const tool = this.#schedule.slots.tool[s]!;
    const followed = slots.status[s] === SLOT.followed;
    const serviceInduced = this.#serviceInduced(row, mode);
    if (blamed) {
      const hour = this.#failureHour(tool, at);
      let life = -1;
      if (followed) {
        const before = this.#age(s, at - 1);
        const after = this.#age(s, at);
        const exact = hour >= 0;
        const age = exact ? tidy(before + hour) : after;
        life = this.#end(s, {
          ending: "failed in run",
          to: at,
          row,
          date: this.#endOf(at - 1),
          lower: exact ? age : before,
          upper: tidy(age + this.#slack(s)),
          ageAtEnd: age,
          mode,
          serviceInduced,
          cut: hour,
        });
        if (before === after) this.#findings.add(RULES.failedWithoutHours, this.#rebuilds, row, {column: "ended_run"});
      }
      this.blamed[at + tool]!++;
      this.#record(row, s, {
        mode,
        serviceInduced,
        at,
        since: at - 1,
        life,
        hour,
        failureClass: this.#runClass(at - 1),
        inRun: 1,
      });
      return;
    }
    const unused = followed && at === slots.from[s];
    let life = -1;
    if (followed) {
      const age = this.#age(s, at);
      const worst = Number.isNaN(slots.firstBad[s]!) ? age : slots.firstBad[s]!;
      const lower = Math.min(slots.lastGood[s]!, worst);
      if (lower === worst) this.#findings.add(RULES.failedUnused, this.#rebuilds, row, {column: "found"});
      life = this.#end(s, {
        ending: "found at teardown",
        to: at,
        row,
        date: this.#rebuilds.columns.date[row]!,
        lower,
        upper: tidy(worst + this.#slack(s)),
        ageAtEnd: age,
        mode,
        serviceInduced,
        cut: NaN,
      });
    }
    const since = followed ? slots.goodAt[s]! : at - 1;
    this.#record(row, s, {
      mode,
      serviceInduced,
      at,
      since,
      life,
      hour: NaN,
      failureClass: unused ? "F4" : "F5",
      inRun: 0,
    });
  }

  /** Spoilt at the bench: the part itself had gone on well until now. */
  #spoil(row: number, s: number, at: number): void {
    const mode = this.#modeOf(row, s);
    const date = this.#rebuilds.columns.date[row]!;
    let life = -1;
    if (this.#slots.status[s] === SLOT.followed) {
      const age = this.#age(s, at);
      life = this.#end(s, {
        ending: "damaged at service",
        to: at,
        row,
        date,
        lower: age,
        upper: Infinity,
        ageAtEnd: age,
        mode,
        serviceInduced: 1,
        cut: NaN,
      });
    }
    this.#record(row, s, {mode, serviceInduced: 1, at, since: at - 1, life, hour: NaN, failureClass: "shop", inRun: 0});
  }

  #record(
    row: number,
    s: number,
    failure: {
      readonly mode: number;
      readonly serviceInduced: number;
      readonly at: number;
      readonly since: number;
      readonly life: number;
      readonly hour: number;
      readonly failureClass: FailureClass;
      readonly inRun: 0 | 1;
    },
  ): void {
    const {at, hour, inRun} = failure;
    const tool = this.#schedule.slots.tool[s]!;
    const event = this.failures.add();
    const {columns} = this.failures;
    columns.date[event] = inRun === 1 ? this.#endOf(at - 1) : this.#rebuilds.columns.date[row]!;
    columns.slot[event] = s;
    columns.tool[event] = tool;
    columns.mode[event] = failure.mode;
    columns.serviceInduced[event] = failure.serviceInduced;
    columns.failureClass[event] = FAILURE_CLASSES.indexOf(failure.failureClass);
    columns.at[event] = at;
    columns.since[event] = failure.since;
    columns.sinceRebuild[event] = this.#sinceRebuild(tool, at, hour);
    columns.inRun[event] = inRun;
    columns.rebuild[event] = row;
    columns.life[event] = failure.life;
  }

  /** Exposure from the visit before to this one, or to the hour of the failure in the run between; NaN where unknown. */
  #sinceRebuild(tool: number, at: number, hour: number): number {
    const {previous, rows} = this.#schedule.visits;
    let from = previous[at + tool]!;
    if (rows[at + tool] === 0) {
      from = at - 1;
      while (from >= this.#index.offsets[tool]! && rows[from + tool] === 0) from--;
      if (from < this.#index.offsets[tool]!) from = -1;
    }
    if (from < 0 || this.#index.nextUnknown[from + tool]! < at) return NaN;
    return hour >= 0 ? tidy(this.#exposure(tool, from, at - 1) + hour) : tidy(this.#exposure(tool, from, at));
  }

  // ---- what a row says of the run before it

  #isBlamed(row: number, s: number, at: number): boolean {
    const {ended_run} = this.#rebuilds.columns;
    const tool = this.#schedule.slots.tool[s]!;
    const visit = at + tool;
    const presumed = this.#schedule.visits.presumed[visit] === row;
    if (ended_run[row] !== 1 && !presumed) return false;
    const slots = this.#slots;
    const ran = at > this.#index.offsets[tool]! && !(slots.status[s] !== SLOT.unseen && at <= slots.from[s]!);
    if (!ran) {
      this.#findings.add(RULES.endedWithoutRun, this.#rebuilds, row, {column: "ended_run"});
      return false;
    }
    if (presumed) this.#findings.add(RULES.endedPresumed, this.#rebuilds, row, {column: "ended_run", taken: "yes"});
    if (this.#schedule.visits.claims[visit]! > 1) {
      this.#findings.add(RULES.severalEnded, this.#rebuilds, row, {column: "ended_run", found: "yes"});
    }
    const outcome = this.#runs.columns.outcome.codes[this.#index.order[at - 1]!]!;
    if (outcome >= 0 && outcome === this.#outcome.completed) {
      this.#findings.add(RULES.outcomeDisagrees, this.#rebuilds, row, {column: "ended_run", found: "yes"});
    }
    return true;
  }

  /**
   * Exposure into the run before `at` at which the part failed; NaN where it can be placed no better than in that run:
   * no hour logged, a clock in which hours say nothing, or several parts blamed.
   */
  #failureHour(tool: number, at: number): number {
    if (this.#settings.exposure !== "circulating hours" || this.#schedule.visits.claims[at + tool]! > 1) return NaN;
    return this.#hourInRun(at - 1, (rule, found, taken) =>
      this.#findings.add(rule, this.#runs, this.#index.order[at - 1]!, {column: "failed_at_h", found, taken}),
    );
  }

  #hourInRun(position: number, tell: (rule: Rule, found: string, taken: string) => void): number {
    const hour = this.#runs.columns.failed_at_h[this.#index.order[position]!]!;
    const exposure = this.#index.exposure[position]!;
    if (Number.isNaN(hour) || Number.isNaN(exposure)) return NaN;
    if (!(hour > 0)) {
      tell(RULES.failedAtZero, `${hour}`, "some time in the run");
      return NaN;
    }
    if (hour <= exposure) return hour;
    tell(RULES.failedAfterEnd, `${hour}`, `${exposure}`);
    return exposure;
  }

  #runClass(position: number): FailureClass {
    const comment = wordAt(this.#runs.columns.comment, this.#index.order[position]!);
    return comment !== null && WIRELINE.test(comment) ? "F2" : "F1";
  }

  #sayContradictions(row: number, s: number): void {
    const {mode, ended_run, found: words} = this.#rebuilds.columns;
    const found = this.#verdicts.found[row]!;
    const code = mode.codes[row]!;
    const nothing = code >= 0 && this.#verdicts.modes.nothingFound[code] === 1;
    const sound = found === FOUND_AS.good || found === FOUND_AS.notInspected;
    if (sound && ended_run[row] === 1)
      this.#findings.add(RULES.endedButGood, this.#rebuilds, row, {column: "ended_run"});
    if (code < 0) return;
    const text = {column: "mode", found: mode.words[code] ?? null};
    if (sound && !nothing) this.#findings.add(RULES.goodWithMode, this.#rebuilds, row, text);
    if (nothing && (words.words[words.codes[row]!] === "failed" || words.words[words.codes[row]!] === "worn")) {
      this.#findings.add(RULES.nothingFound, this.#rebuilds, row, text);
    }
    const component = this.#verdicts.modes.component[code];
    const own = this.#rebuilds.columns.component.words[this.#schedule.slots.component[s]!];
    if (component !== null && component !== own) this.#findings.add(RULES.modeOfOther, this.#rebuilds, row, text);
  }

  /** The mode of a bad row; where none is given, the component's own "worn, no detail" or "unknown". */
  #modeOf(row: number, s: number): number {
    const given = this.#rebuilds.columns.mode.codes[row]!;
    if (given >= 0) return given;
    const component = this.#rebuilds.columns.component.words[this.#schedule.slots.component[s]!] ?? "";
    return this.#suppliedMode(`${component}-${this.#verdicts.found[row] === FOUND_AS.worn ? "GEN" : "UNK"}`);
  }

  #suppliedMode(code: string): number {
    let known = this.#suppliedModes.get(code);
    if (known === undefined) {
      known = this.modes.indexOf(code);
      if (known < 0) known = this.modes.push(code) - 1;
      this.#suppliedModes.set(code, known);
    }
    return known;
  }

  #serviceInduced(row: number, mode: number): number {
    return this.#verdicts.found[row] === FOUND_AS.damaged ? 1 : (this.#verdicts.modes.serviceInduced[mode] ?? 0);
  }

  #wantsRenewal(mode: number): boolean {
    return (this.#verdicts.modes.wantsRenewal[mode] ?? 1) === 1;
  }

  // ---- what the log says of the part itself

  #partKey(s: number, serial: number): number {
    const {tool, component} = this.#schedule.slots;
    return this.#parts.part(this.#fleetOfTool[tool[s]!]!, component[s]!, serial);
  }

  #forget(s: number): void {
    const slots = this.#slots;
    slots.serial[s] = slots.partNumber[s] = slots.lot[s] = slots.shop[s] = -1;
  }

  /** Takes number, lot and serial from a row: those of the part in the slot after it. A kept part's gaps are filled. */
  #describe(row: number, s: number, fitted: boolean): void {
    const slots = this.#slots;
    const {part_number, lot, part_serial, shop} = this.#rebuilds.columns;
    if (slots.partNumber[s]! < 0) slots.partNumber[s] = part_number.codes[row]!;
    if (slots.lot[s]! < 0) slots.lot[s] = lot.codes[row]!;
    if (fitted) {
      slots.shop[s] = shop.codes[row]!;
      return;
    }
    if (slots.serial[s]! < 0 && part_serial.codes[row]! >= 0) {
      slots.serial[s] = part_serial.codes[row]!;
      const part = this.#partKey(s, slots.serial[s]!);
      if (this.#parts.slotOf(part) < 0) this.#parts.fit(part, s);
    }
  }

  // ---- the end of the log

  #closeSlots(logEnd: number): void {
    const slots = this.#slots;
    const {tool: tools} = this.#schedule.slots;
    for (let s = 0; s < tools.length; s++) {
      if (slots.status[s] !== SLOT.followed) continue;
      const tool = tools[s]!;
      const end = this.#index.offsets[tool + 1]!;
      const unknown = this.#index.nextUnknown[slots.from[s]! + tool]!;
      const lost = this.#wasLost(tool) && end > slots.from[s]!;
      if (unknown < end && !(lost && unknown === end - 1)) {
        this.#suspend(s, {ending: "lost from view", to: unknown, row: -1, date: this.#endOf(unknown)});
      } else if (lost) this.#lose(s, end, unknown < end);
      else this.#suspend(s, {ending: "still running", to: end, row: -1, date: logEnd});
    }
  }

  /** The tool's last run ended with the tool left in hole, and no row came after it. */
  #wasLost(tool: number): boolean {
    const end = this.#index.offsets[tool + 1]!;
    if (end === this.#index.offsets[tool]! || this.#outcome.lost < 0) return false;
    const last = this.#runs.columns.outcome.codes[this.#index.order[end - 1]!];
    return last === this.#outcome.lost && this.#schedule.visits.rows[end + tool] === 0;
  }

  #lose(s: number, end: number, unknown: boolean): void {
    const before = this.#age(s, end - 1);
    const hour = this.#settings.exposure === "circulating hours" ? this.#hourInRun(end - 1, () => undefined) : NaN;
    const cut = hour >= 0 ? hour : NaN;
    const after = unknown ? before : hour >= 0 ? tidy(before + hour) : this.#age(s, end);
    const failed = this.#settings.lost_in_hole === "failed" && after > before;
    const component = this.#rebuilds.columns.component.words[this.#schedule.slots.component[s]!] ?? "";
    this.#end(s, {
      ending: "lost in hole",
      to: unknown ? end - 1 : end,
      row: -1,
      date: this.#endOf(end - 1),
      lower: failed && !(hour >= 0) ? before : after,
      upper: failed ? after : Infinity,
      ageAtEnd: after,
      mode: failed ? this.#suppliedMode(`${component}-UNK`) : -1,
      serviceInduced: 0,
      cut,
    });
  }

  /** Failed runs that no part is blamed for, tools lost and found again, tools that only one of the logs knows. */
  #closeRuns(): void {
    const {outcome} = this.#runs.columns;
    const {tools, offsets, order} = this.#index;
    const {visits, slots} = this.#schedule;
    const known = new Uint8Array(tools.length);
    for (let s = 0; s < slots.count; s++) {
      const tool = slots.tool[s]!;
      if (known[tool] === 0 && offsets[tool] === offsets[tool + 1]) {
        this.#findings.add(RULES.toolWithoutRuns, this.#rebuilds, this.#slots.lastRow[s]!, {
          column: "tool",
          found: tools[tool]!,
        });
      }
      known[tool] = 1;
    }
    for (let tool = 0; tool < tools.length; tool++) {
      const end = offsets[tool + 1]!;
      if (known[tool] === 0 && end > offsets[tool]!) {
        this.#findings.add(RULES.toolWithoutRebuilds, this.#runs, order[offsets[tool]!]!, {
          column: "tool",
          found: tools[tool]!,
        });
      }
      for (let p = offsets[tool]!; p < end; p++) {
        const code = outcome.codes[order[p]!]!;
        if (code < 0) continue;
        if (code === this.#outcome.lost && (p < end - 1 || visits.rows[end + tool]! > 0)) {
          this.#findings.add(RULES.lostCameBack, this.#runs, order[p]!, {column: "outcome", found: "lost in hole"});
        }
        if (code === this.#outcome.failed && this.blamed[p + 1 + tool] === 0) this.#unclaimed(tool, p, end);
      }
    }
  }

  #unclaimed(tool: number, p: number, end: number): void {
    const tornDown = p < end - 1 || this.#schedule.visits.rows[end + tool]! > 0;
    this.#findings.add(tornDown ? RULES.unclaimed : RULES.notTornDown, this.#runs, this.#index.order[p]!, {
      column: "outcome",
      found: "failed downhole",
    });
    this.blamed[p + 1 + tool] = 1;
    const event = this.failures.add();
    const {columns} = this.failures;
    columns.date[event] = this.#endOf(p);
    columns.slot[event] = -1;
    columns.tool[event] = tool;
    columns.mode[event] = -1;
    columns.failureClass[event] = FAILURE_CLASSES.indexOf(this.#runClass(p));
    columns.at[event] = p + 1;
    columns.since[event] = p;
    columns.sinceRebuild[event] = this.#sinceRebuild(tool, p + 1, this.#hourOrNaN(p));
    columns.inRun[event] = 1;
    columns.rebuild[event] = -1;
    columns.life[event] = -1;
  }

  #hourOrNaN(position: number): number {
    return this.#settings.exposure === "circulating hours" ? this.#hourInRun(position, () => undefined) : NaN;
  }

  #sayUninspected(): void {
    const {component} = this.#rebuilds.columns;
    this.#uninspected.forEach((count, code) => {
      if (count === 0) return;
      const file = this.#rebuilds.file.words[0] ?? "rebuilds";
      this.#findings.addFile(RULES.notInspected, file, {
        column: "found",
        found: `${count} × ${component.words[code] ?? ""}`,
        taken: "good",
      });
    });
  }

  #endOf(position: number): number {
    return this.#runs.columns.end[this.#index.order[position]!]!;
  }

  #startOf(position: number): number {
    const row = this.#index.order[position]!;
    const start = this.#runs.columns.start[row]!;
    return Number.isFinite(start) ? start : this.#runs.columns.end[row]!;
  }
}
