/** What the rows of a visit say of the run before it: which part ended it, at which hour, and how long after a rebuild. */
import {wordAt} from "../../shared/columnar.ts";
import type {FailureClass} from "./failureTable.ts";
import type {Rule} from "./FindingList.ts";
import {RULES} from "./lifeRules.ts";
import type {LogReading} from "./LogReading.ts";
import {tidy} from "./toolRuns.ts";

const WIRELINE = /wire\s*-?line|slick\s*-?line/i;

export class RunBlame {
  readonly #reading: LogReading;

  constructor(reading: LogReading) {
    this.#reading = reading;
  }

  /** Whether the part of a bad row ended the run before it; what is doubtful about that is told. */
  isBlamed(row: number, s: number, at: number): boolean {
    const {rebuilds, runs, schedule, index, slots, findings, outcome} = this.#reading;
    const tool = schedule.slots.tool[s]!;
    const visit = at + tool;
    const presumed = schedule.visits.presumed[visit] === row;
    if (rebuilds.columns.ended_run[row] !== 1 && !presumed) return false;
    const ran = at > index.offsets[tool]! && at > slots.from[s]!;
    if (!ran) {
      findings.add(RULES.endedWithoutRun, rebuilds, row, {column: "ended_run"});
      return false;
    }
    if (presumed) findings.add(RULES.endedPresumed, rebuilds, row, {column: "ended_run", taken: "yes"});
    if (schedule.visits.claims[visit]! > 1) {
      findings.add(RULES.severalEnded, rebuilds, row, {column: "ended_run", found: "yes"});
    }
    const code = runs.columns.outcome.codes[index.order[at - 1]!]!;
    if (code >= 0 && code === outcome.completed) {
      findings.add(RULES.outcomeDisagrees, rebuilds, row, {column: "ended_run", found: "yes"});
    }
    return true;
  }

  /**
   * Exposure into the run before `at` at which the part failed; NaN where it can be placed no better than in that run:
   * no hour logged, a clock in which hours say nothing, or several parts blamed.
   */
  failureHour(tool: number, at: number): number {
    if (this.#reading.settings.exposure !== "circulating hours" || this.#reading.schedule.visits.claims[at + tool]! > 1)
      return NaN;
    return this.#hourInRun(at - 1, (rule, found, taken) =>
      this.#reading.findings.add(rule, this.#reading.runs, this.#reading.index.order[at - 1]!, {
        column: "failed_at_h",
        found,
        taken,
      }),
    );
  }

  /** Exposure into the run at a position at which it failed, NaN where unknown; nothing is told. */
  hourOrNaN(position: number): number {
    return this.#reading.settings.exposure === "circulating hours" ? this.#hourInRun(position, () => undefined) : NaN;
  }

  /** The hour as logged; `tell` hears of one that cannot be. */
  #hourInRun(position: number, tell: (rule: Rule, found: string, taken: string) => void): number {
    const hour = this.#reading.runs.columns.failed_at_h[this.#reading.index.order[position]!]!;
    const exposure = this.#reading.index.exposure[position]!;
    if (Number.isNaN(hour) || Number.isNaN(exposure)) return NaN;
    if (!(hour > 0)) {
      tell(RULES.failedAtZero, `${hour}`, "some time in the run");
      return NaN;
    }
    if (hour <= exposure) return hour;
    tell(RULES.failedAfterEnd, `${hour}`, `${exposure}`);
    return exposure;
  }

  /** F2 where the run's comment says that it was saved on wireline, else F1. */
  runClass(position: number): FailureClass {
    const comment = wordAt(this.#reading.runs.columns.comment, this.#reading.index.order[position]!);
    return comment !== null && WIRELINE.test(comment) ? "F2" : "F1";
  }

  /** Exposure from the visit before to this one, or to the hour of the failure in the run between; NaN where unknown. */
  sinceRebuild(tool: number, at: number, hour: number): number {
    const {previous, rows} = this.#reading.schedule.visits;
    let from = previous[at + tool]!;
    if (rows[at + tool] === 0) {
      from = at - 1;
      while (from >= this.#reading.index.offsets[tool]! && rows[from + tool] === 0) from--;
      if (from < this.#reading.index.offsets[tool]!) from = -1;
    }
    if (from < 0 || this.#reading.index.nextUnknown[from + tool]! < at) return NaN;
    return hour >= 0
      ? tidy(this.#reading.exposure(tool, from, at - 1) + hour)
      : tidy(this.#reading.exposure(tool, from, at));
  }
}
