/**
 * What is wrong in the demo files, on purpose: the scenario's stories and a believable sprinkle of what real
 * spreadsheets hold. The numbers are those by which the import rules name such defects.
 */
import {plantAlder} from "./defects/alder.ts";
import {plantBasalt} from "./defects/basalt.ts";
import {plantCobalt} from "./defects/cobalt.ts";
import type {Desk} from "./defects/desk.ts";
import type {Grown} from "./grown.ts";
import {Planter} from "./Planter.ts";
import {Random} from "./Random.ts";
import type {FleetName} from "./scenario.ts";
import type {Sheet} from "./Sheet.ts";

export interface FleetLogs {
  readonly fleet: FleetName;
  readonly runs: Sheet;
  readonly rebuilds: Sheet;
}

/** Changes the sheets in place. */
export function plantDefects(grown: Grown, logs: readonly FleetLogs[]): void {
  const plant: Record<FleetName, (desk: Desk) => void> = {Alder: plantAlder, Basalt: plantBasalt, Cobalt: plantCobalt};
  for (const {fleet, runs, rebuilds} of logs) {
    const dice = new Random(`${grown.seed}/${fleet}/defects`);
    const records = {
      runs: grown.runs.filter((run) => run.fleet === fleet),
      inspections: grown.inspections.filter((row) => row.fleet === fleet),
    };
    plant[fleet]({
      grown,
      records,
      runs: new Planter(runs, records.runs, dice.stream("runs")),
      rebuilds: new Planter(rebuilds, records.inspections, dice.stream("rebuilds")),
    });
  }
}
