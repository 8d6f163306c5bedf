/** The ends of lives, and the failures they are, written row by row. */
import {FAILURE_CLASSES, type FailureClass} from "./failureTable.ts";
import {GrowingColumns} from "./GrowingColumns.ts";
import {RULES} from "./lifeRules.ts";
import {LIFE_ENDINGS, type LifeEnding} from "./lifeTable.ts";
import type {LogReading} from "./LogReading.ts";
import type {RowModes} from "./RowModes.ts";
import type {RunBlame} from "./RunBlame.ts";
import {SLOT} from "./SlotStates.ts";
import {tidy} from "./toolRuns.ts";

/** Lives as they are written here; text and exposure are filled in by buildLives. */
const LIFE_COLUMNS = {
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

const FAILURE_COLUMNS = {
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

export class LifeEnds {
  readonly lives = new GrowingColumns(LIFE_COLUMNS);
  readonly failures = new GrowingColumns(FAILURE_COLUMNS);
  /** parts blamed for the run before each visit, as accepted; index = position + tool */
  readonly blamed: Int32Array;
  readonly #reading: LogReading;
  readonly #modes: RowModes;
  readonly #blame: RunBlame;

  constructor(reading: LogReading, modes: RowModes, blame: RunBlame) {
    this.#reading = reading;
    this.#modes = modes;
    this.#blame = blame;
    this.blamed = new Int32Array(reading.index.order.length + reading.index.tools.length);
  }

  /** The part had not failed at the age it had at position `to`. Returns the number of the life. */
  suspend(
    s: number,
    end: {readonly ending: LifeEnding; readonly to: number; readonly row: number; readonly date: number},
  ): number {
    const age = this.#reading.age(s, end.to);
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
    const slots = this.#reading.slots;
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
  fail(row: number, s: number, at: number, {mode, blamed}: {readonly mode: number; readonly blamed: boolean}): void {
    const slots = this.#reading.slots;
    const tool = this.#reading.schedule.slots.tool[s]!;
    const followed = slots.status[s] === SLOT.followed;
    const serviceInduced = this.#modes.serviceInduced(row, mode);
    if (blamed) {
      const hour = this.#blame.failureHour(tool, at);
      let life = -1;
      if (followed) {
        const before = this.#reading.age(s, at - 1);
        const after = this.#reading.age(s, at);
        const exact = hour >= 0;
        const age = exact ? tidy(before + hour) : after;
        life = this.#end(s, {
          ending: "failed in run",
          to: at,
          row,
          date: this.#reading.endOf(at - 1),
          lower: exact ? age : before,
          upper: tidy(age + this.#reading.slack(s)),
          ageAtEnd: age,
          mode,
          serviceInduced,
          cut: hour,
        });
        if (before === after)
          this.#reading.findings.add(RULES.failedWithoutHours, this.#reading.rebuilds, row, {column: "ended_run"});
      }
      this.blamed[at + tool]!++;
      this.#record(row, s, {
        mode,
        serviceInduced,
        at,
        since: at - 1,
        life,
        hour,
        failureClass: this.#blame.runClass(at - 1),
        inRun: 1,
      });
      return;
    }
    const unused = followed && at === slots.from[s];
    let life = -1;
    if (followed) {
      const age = this.#reading.age(s, at);
      const worst = Number.isNaN(slots.firstBad[s]!) ? age : slots.firstBad[s]!;
      const lower = Math.min(slots.lastGood[s]!, worst);
      if (lower === worst)
        this.#reading.findings.add(RULES.failedUnused, this.#reading.rebuilds, row, {column: "found"});
      life = this.#end(s, {
        ending: "found at teardown",
        to: at,
        row,
        date: this.#reading.rebuilds.columns.date[row]!,
        lower,
        upper: tidy(worst + this.#reading.slack(s)),
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
  spoil(row: number, s: number, at: number): void {
    const mode = this.#modes.modeOf(row, s);
    const date = this.#reading.rebuilds.columns.date[row]!;
    let life = -1;
    if (this.#reading.slots.status[s] === SLOT.followed) {
      const age = this.#reading.age(s, at);
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
    const tool = this.#reading.schedule.slots.tool[s]!;
    const event = this.failures.add();
    const {columns} = this.failures;
    columns.date[event] = inRun === 1 ? this.#reading.endOf(at - 1) : this.#reading.rebuilds.columns.date[row]!;
    columns.slot[event] = s;
    columns.tool[event] = tool;
    columns.mode[event] = failure.mode;
    columns.serviceInduced[event] = failure.serviceInduced;
    columns.failureClass[event] = FAILURE_CLASSES.indexOf(failure.failureClass);
    columns.at[event] = at;
    columns.since[event] = failure.since;
    columns.sinceRebuild[event] = this.#blame.sinceRebuild(tool, at, hour);
    columns.inRun[event] = inRun;
    columns.rebuild[event] = row;
    columns.life[event] = failure.life;
  }

  /** The tool's last run left it in hole; `unknown` where that run has no exposure. */
  lose(s: number, end: number, unknown: boolean): void {
    const before = this.#reading.age(s, end - 1);
    const hour = this.#blame.hourOrNaN(end - 1);
    const after = unknown ? before : hour >= 0 ? tidy(before + hour) : this.#reading.age(s, end);
    const failed = this.#reading.settings.lost_in_hole === "failed" && after > before;
    const {slots} = this.#reading.schedule;
    const component = this.#reading.rebuilds.columns.component.words[slots.component[s]!] ?? "";
    const mode = failed ? this.#modes.suppliedMode(`${component}-UNK`) : -1;
    const life = this.#end(s, {
      ending: "lost in hole",
      to: unknown ? end - 1 : end,
      row: -1,
      date: this.#reading.endOf(end - 1),
      lower: failed && !(hour >= 0) ? before : after,
      upper: failed ? after : Infinity,
      ageAtEnd: after,
      mode,
      serviceInduced: 0,
      cut: hour,
    });
    if (!failed) return;
    this.blamed[end + slots.tool[s]!]!++;
    const failureClass = this.#blame.runClass(end - 1);
    this.#record(-1, s, {mode, serviceInduced: 0, at: end, since: end - 1, life, hour, failureClass, inRun: 1});
  }

  /** A failed run for which no part is blamed, at position p: a failure of the tool and of no component. */
  unclaimed(tool: number, p: number, end: number): void {
    const tornDown = p < end - 1 || this.#reading.schedule.visits.rows[end + tool]! > 0;
    const {runs, index, findings} = this.#reading;
    const rule = tornDown ? RULES.unclaimed : RULES.notTornDown;
    findings.add(rule, runs, index.order[p]!, {column: "outcome", found: "failed downhole"});
    this.blamed[p + 1 + tool] = 1;
    const event = this.failures.add();
    const {columns} = this.failures;
    columns.date[event] = this.#reading.endOf(p);
    columns.slot[event] = -1;
    columns.tool[event] = tool;
    columns.mode[event] = -1;
    columns.failureClass[event] = FAILURE_CLASSES.indexOf(this.#blame.runClass(p));
    columns.at[event] = p + 1;
    columns.since[event] = p;
    columns.sinceRebuild[event] = this.#blame.sinceRebuild(tool, p + 1, this.#blame.hourOrNaN(p));
    columns.inRun[event] = 1;
    columns.rebuild[event] = -1;
    columns.life[event] = -1;
  }
}
