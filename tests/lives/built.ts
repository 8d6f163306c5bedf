/** Lives of a hand-written log, as plain objects to compare. */
import {wordAt} from "../../shared/columnar.ts";
import type {Settings} from "../../shared/settings.ts";
import {runConditions} from "../../src/hydraulics/index.ts";
import {
  buildLives,
  FAILURE_CLASSES,
  LIFE_ENDINGS,
  type BuiltLives,
  type FailureTable,
  type LifeTable,
} from "../../src/lives/index.ts";
import type {RebuildTable, RunTable} from "../../src/logs/logTable.ts";
import {rebuildTable, runTable, type RebuildRow, type RunRow} from "./logTables.ts";

export interface Built extends BuiltLives {
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
}

export type TestSettings = Partial<Pick<Settings, "exposure" | "lost_in_hole">>;

export function build(
  runRows: readonly RunRow[],
  rebuildRows: readonly RebuildRow[],
  settings: TestSettings = {},
): Built {
  const runs = runTable(runRows);
  const rebuilds = rebuildTable(rebuildRows);
  const conditions = runConditions(runs, {flow_regime: {by: "logged", bands_mps: null}});
  const built = buildLives({runs, rebuilds}, conditions, {
    exposure: "circulating hours",
    lost_in_hole: "suspended",
    ...settings,
  });
  return {...built, runs, rebuilds};
}

export interface PlainLife {
  readonly slot: string;
  readonly ending: string;
  readonly entry: number;
  readonly lower: number;
  readonly upper: number;
  readonly ageAtEnd: number;
  readonly mode: string | null;
  readonly hours: readonly number[];
}

/** Every life, with its slot as `tool component position`. */
export function plain(lives: LifeTable): PlainLife[] {
  return Array.from({length: lives.rows}, (_, row) => ({
    slot: [wordAt(lives.tool, row), wordAt(lives.component, row), wordAt(lives.position, row)]
      .filter((w) => w !== null)
      .join(" "),
    ending: LIFE_ENDINGS[lives.ending[row]!]!,
    entry: lives.entry[row]!,
    lower: lives.lower[row]!,
    upper: lives.upper[row]!,
    ageAtEnd: lives.ageAtEnd[row]!,
    mode: wordAt(lives.mode, row),
    hours: Array.from(lives.exposure.hours.subarray(lives.exposure.offsets[row]!, lives.exposure.offsets[row + 1]!)),
  }));
}

/** Every failure: class, component, mode, mud, hours lost. */
export function plainFailures(failures: FailureTable): {
  what: string;
  component: string | null;
  mode: string | null;
  mud: string | null;
  lost: number;
  sinceRebuild: number;
  life: number;
}[] {
  return Array.from({length: failures.rows}, (_, row) => ({
    what: FAILURE_CLASSES[failures.failureClass[row]!]!,
    component: wordAt(failures.component, row),
    mode: wordAt(failures.mode, row),
    mud: wordAt(failures.mud, row),
    lost: failures.lostHours[row]!,
    sinceRebuild: failures.sinceRebuild[row]!,
    life: failures.life[row]!,
  }));
}

export function rules(built: BuiltLives): string[] {
  return built.findings.map(({rule}) => rule);
}

/** A run of tool A that ends on the given day of 2024. */
export function run(day: string, hours: number | undefined, more: RunRow = {}): RunRow {
  return {
    run: day,
    tool: "A",
    end: `2024-${day}`,
    circulating_h: hours,
    mud: "KCL",
    fleet: "North",
    outcome: "completed",
    ...more,
  };
}

/** A look at the seal of tool A on the given day of 2024. */
export function look(day: string, more: RebuildRow): RebuildRow {
  return {rebuild: day, tool: "A", date: `2024-${day}`, component: "SEAL", shop: "Quay", ...more};
}

/** A new seal, fitted on the given day. */
export function fit(day: string, more: RebuildRow = {}): RebuildRow {
  return look(day, {found: "not inspected", action: "renewed", ...more});
}
