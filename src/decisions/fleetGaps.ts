/** The gaps between rebuilds, fleet by fleet, each with the component whose failure forced its end, if one did. */
import {wordAt} from "../../shared/columnar.ts";
import type {Settings} from "../../shared/settings.ts";
import {rebuildGaps} from "../lives/index.ts";
import type {RebuildTable, RunTable} from "../logs/logTable.ts";
import type {FleetGaps} from "./services.ts";

/** Keyed by fleet; tools without a fleet are under the empty word. */
export function fleetGaps(logs: {
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
  readonly settings: Pick<Settings, "exposure">;
}): Map<string, FleetGaps> {
  const gaps = rebuildGaps(logs);
  const fleets = new Map<string, {hours: number[]; forcedBy: (string | null)[]}>();
  for (let g = 0; g < gaps.rows; g++) {
    const fleet = wordAt(gaps.fleet, g) ?? "";
    let list = fleets.get(fleet);
    if (list === undefined) fleets.set(fleet, (list = {hours: [], forcedBy: []}));
    list.hours.push(gaps.hours[g]!);
    list.forcedBy.push(wordAt(gaps.forcedBy, g));
  }
  return fleets;
}
