/** What is still open when the log has been read: parts in tools, failed runs that nobody explained, lone tools. */
import type {LifeEnds} from "./LifeEnds.ts";
import {RULES} from "./lifeRules.ts";
import type {LogReading} from "./LogReading.ts";
import {SLOT} from "./SlotStates.ts";

export class LogEnd {
  readonly #reading: LogReading;
  readonly #ends: LifeEnds;

  constructor(reading: LogReading, ends: LifeEnds) {
    this.#reading = reading;
    this.#ends = ends;
  }

  /** Parts still in a tool: suspended at their age, lost with the tool, or lost from view before a run without exposure. */
  closeSlots(logEnd: number): void {
    const slots = this.#reading.slots;
    const {tool: tools} = this.#reading.schedule.slots;
    for (let s = 0; s < tools.length; s++) {
      if (slots.status[s] !== SLOT.followed) continue;
      const tool = tools[s]!;
      const end = this.#reading.index.offsets[tool + 1]!;
      const unknown = this.#reading.index.nextUnknown[slots.from[s]! + tool]!;
      const lost = this.#wasLost(tool) && end > slots.from[s]!;
      if (unknown < end && !(lost && unknown === end - 1)) {
        this.#ends.suspend(s, {ending: "lost from view", to: unknown, row: -1, date: this.#reading.endOf(unknown)});
      } else if (lost) this.#ends.lose(s, end, unknown < end);
      else this.#ends.suspend(s, {ending: "still running", to: end, row: -1, date: logEnd});
    }
  }

  /** The tool's last run ended with the tool left in hole, and no row came after it. */
  #wasLost(tool: number): boolean {
    const end = this.#reading.index.offsets[tool + 1]!;
    if (end === this.#reading.index.offsets[tool]! || this.#reading.outcome.lost < 0) return false;
    const last = this.#reading.runs.columns.outcome.codes[this.#reading.index.order[end - 1]!];
    return last === this.#reading.outcome.lost && this.#reading.schedule.visits.rows[end + tool] === 0;
  }

  /** Failed runs that no part is blamed for, tools lost and found again, tools that only one of the logs knows. */
  closeRuns(): void {
    const {outcome} = this.#reading.runs.columns;
    const {tools, offsets, order} = this.#reading.index;
    const {visits, slots} = this.#reading.schedule;
    const known = new Uint8Array(tools.length);
    for (let s = 0; s < slots.count; s++) {
      const tool = slots.tool[s]!;
      if (known[tool] === 0 && offsets[tool] === offsets[tool + 1]) {
        this.#reading.findings.add(RULES.toolWithoutRuns, this.#reading.rebuilds, this.#reading.slots.lastRow[s]!, {
          column: "tool",
          found: tools[tool]!,
        });
      }
      known[tool] = 1;
    }
    for (let tool = 0; tool < tools.length; tool++) {
      const end = offsets[tool + 1]!;
      if (known[tool] === 0 && end > offsets[tool]!) {
        this.#reading.findings.add(RULES.toolWithoutRebuilds, this.#reading.runs, order[offsets[tool]!]!, {
          column: "tool",
          found: tools[tool]!,
        });
      }
      for (let p = offsets[tool]!; p < end; p++) {
        const code = outcome.codes[order[p]!]!;
        if (code < 0) continue;
        if (code === this.#reading.outcome.lost && (p < end - 1 || visits.rows[end + tool]! > 0)) {
          this.#reading.findings.add(RULES.lostCameBack, this.#reading.runs, order[p]!, {
            column: "outcome",
            found: "lost in hole",
          });
        }
        if (code === this.#reading.outcome.failed && this.#ends.blamed[p + 1 + tool] === 0)
          this.#ends.unclaimed(tool, p, end);
      }
    }
  }
}
