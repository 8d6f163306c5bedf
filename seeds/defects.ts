import type {Grown} from "./grow.ts";
import type {FleetName} from "./scenario.ts";
import type {Sheet} from "./Sheet.ts";

export interface FleetLogs {
  readonly fleet: FleetName;
  readonly runs: Sheet;
  readonly rebuilds: Sheet;
}

export function plantDefects(_grown: Grown, _logs: readonly FleetLogs[]): void {}
