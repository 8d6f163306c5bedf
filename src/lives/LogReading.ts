/** What every step of reading the logs looks at: the tables, their order, and what is in each slot by now. */
import type {Settings} from "../../shared/settings.ts";
import type {RebuildTable, RunTable} from "../logs/logTable.ts";
import type {FindingList} from "./FindingList.ts";
import {PartRegistry} from "./PartRegistry.ts";
import type {RebuildSchedule} from "./rebuildSchedule.ts";
import {SlotStates} from "./SlotStates.ts";
import {tidy, type ToolRuns} from "./toolRuns.ts";
import type {Verdicts} from "./verdict.ts";

export interface ReadingInputs {
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
  readonly settings: Pick<Settings, "exposure" | "lost_in_hole">;
  readonly index: ToolRuns;
  readonly schedule: RebuildSchedule;
  readonly verdicts: Verdicts;
  readonly findings: FindingList;
  readonly fleetOfTool: Int32Array;
}

export class LogReading {
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
  readonly settings: Pick<Settings, "exposure" | "lost_in_hole">;
  readonly index: ToolRuns;
  readonly schedule: RebuildSchedule;
  readonly verdicts: Verdicts;
  readonly findings: FindingList;
  readonly fleetOfTool: Int32Array;
  readonly slots: SlotStates;
  readonly parts: PartRegistry;
  /** whether hours that the shop counted are in the settings' clock */
  readonly hoursCount: boolean;
  /** code of each outcome in the run table, -1 where no run had it */
  readonly outcome: {readonly failed: number; readonly completed: number; readonly lost: number};

  constructor(inputs: ReadingInputs) {
    this.runs = inputs.runs;
    this.rebuilds = inputs.rebuilds;
    this.settings = inputs.settings;
    this.index = inputs.index;
    this.schedule = inputs.schedule;
    this.verdicts = inputs.verdicts;
    this.findings = inputs.findings;
    this.fleetOfTool = inputs.fleetOfTool;
    const {columns} = inputs.rebuilds;
    this.slots = new SlotStates(inputs.schedule.slots.count);
    this.parts = new PartRegistry({
      components: columns.component.words.length,
      serials: columns.part_serial.words.length,
    });
    // a shop counts a part's hours in the clock its settings name; hours say nothing about pulses or runs
    const clock = inputs.settings.exposure;
    this.hoursCount = clock === "circulating hours" || clock === "below-rotary hours";
    const {words} = inputs.runs.columns.outcome;
    this.outcome = {
      failed: words.indexOf("failed downhole"),
      completed: words.indexOf("completed"),
      lost: words.indexOf("lost in hole"),
    };
  }

  /** Exposure of the tool between two positions without an unknown run between them. */
  exposure(tool: number, from: number, to: number): number {
    return this.index.before[to + tool]! - this.index.before[from + tool]!;
  }

  /** Age at a position of the part followed in a slot. */
  age(s: number, position: number): number {
    const tool = this.schedule.slots.tool[s]!;
    return tidy(this.slots.entry[s]! + this.exposure(tool, this.slots.from[s]!, position));
  }

  /** How much older than the log says the part in a slot may be: ages are known only to that. */
  slack(s: number): number {
    return Math.max(0, this.slots.apart[s]!);
  }

  /** Number of the part with this serial in a slot's tool and component; -1 without a serial. */
  partKey(s: number, serial: number): number {
    const {tool, component} = this.schedule.slots;
    return this.parts.part(this.fleetOfTool[tool[s]!]!, component[s]!, serial);
  }

  /** When the run at a position ended. */
  endOf(position: number): number {
    return this.runs.columns.end[this.index.order[position]!]!;
  }

  /** When the run at a position began, or ended where the log does not say. */
  startOf(position: number): number {
    const row = this.index.order[position]!;
    const start = this.runs.columns.start[row]!;
    return Number.isFinite(start) ? start : this.runs.columns.end[row]!;
  }
}
