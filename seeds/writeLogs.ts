/** The files of a grown scenario: in the shops' own habits, or clean in the program's own columns. */
import type {Grown} from "./grow.ts";
import {alder} from "./habits/alder.ts";
import {basalt} from "./habits/basalt.ts";
import {canonical} from "./habits/canonical.ts";
import {cobalt} from "./habits/cobalt.ts";
import type {Habit, Scene} from "./habits/habit.ts";
import {Random} from "./Random.ts";
import type {FleetName} from "./scenario.ts";
import {Sheet} from "./Sheet.ts";

export interface LogFile {
  readonly name: string;
  readonly text: string;
}

export const HABITS: Readonly<Record<FleetName, Habit>> = {Alder: alder, Basalt: basalt, Cobalt: cobalt};

/** The run and rebuild sheets of one fleet, `runs.basalt.csv` and `rebuilds.basalt.csv`, without defects. */
export function fleetSheets(
  grown: Grown,
  fleet: FleetName,
  habit: Habit = HABITS[fleet],
): {runs: Sheet; rebuilds: Sheet} {
  const dice = new Random(`${grown.seed}/${fleet}/clerk`);
  const scene: Scene = {parts: grown.parts[fleet], dice};
  const file = fleet.toLowerCase();
  const runs = grown.runs.filter((run) => run.fleet === fleet);
  const rebuilds = grown.inspections.filter((row) => row.fleet === fleet);
  return {
    runs: sheet(`runs.${file}.csv`, habit, habit.runs, runs, scene),
    rebuilds: sheet(`rebuilds.${file}.csv`, habit, habit.rebuilds, rebuilds, scene),
  };
}

function sheet<Row>(
  name: string,
  {format}: Habit,
  columns: readonly {readonly header: string; readonly write: (row: Row, scene: Scene) => string}[],
  rows: readonly Row[],
  scene: Scene,
): Sheet {
  const header = columns.map((column) => column.header);
  const cells = rows.map((row) => columns.map(({write}) => write(row, scene)));
  return new Sheet(name, header, cells, format);
}

/**
 * The logs as files without defects.
 *
 * @param options `clean` (default true): canonical columns, units and codes; false: each fleet's own habits
 */
export function writeLogs(grown: Grown, {clean = true}: {readonly clean?: boolean} = {}): LogFile[] {
  return grown.fleets.flatMap(({name}) => {
    const {runs, rebuilds} = fleetSheets(grown, name, clean ? canonical : HABITS[name]);
    return [runs, rebuilds].map((one) => ({name: one.name, text: one.text()}));
  });
}
