/** A review of a few hand-written log rows, from the tables to the sentences. */
import {NO_DECISIONS} from "../../../shared/register.ts";
import {DEFAULT_SETTINGS, type Settings} from "../../../shared/settings.ts";
import type {Finding} from "../../../shared/findings.ts";
import type {CellInputs, CellKind, Presentation} from "../../../src/cells/contract.ts";
import {jobVerdict} from "../../../src/cells/jobVerdict.ts";
import {runConditions} from "../../../src/hydraulics/index.ts";
import {buildLives} from "../../../src/lives/index.ts";
import type {ReviewPicks} from "../../../src/cells/review/subject.ts";
import {rebuildTable, runTable, type RebuildRow, type RunRow} from "../../lives/logTables.ts";
import {effects} from "../inputs.ts";

export interface Log {
  readonly runs: readonly RunRow[];
  readonly rebuilds: readonly RebuildRow[];
  readonly settings?: Partial<Settings>;
  readonly findings?: readonly Finding[];
}

export function inputsFrom({runs: runRows, rebuilds: rebuildRows, settings: given, findings = []}: Log): CellInputs {
  const settings = {...DEFAULT_SETTINGS, ...given};
  const runs = runTable(runRows);
  const rebuilds = rebuildTable(rebuildRows);
  const conditions = runConditions(runs, settings);
  const built = buildLives({runs, rebuilds}, conditions, settings);
  return {
    runs,
    rebuilds,
    lives: built.lives,
    all: built.lives,
    failures: built.failures,
    conditions,
    findings: [...findings, ...built.findings],
    counts: [],
    settings,
    register: NO_DECISIONS,
    where: {},
    bands: conditions.bands,
    regimeConvention: conditions.convention,
  };
}

const NOTHING: ReviewPicks = {job: null, run: null, tool: null};

export function answer<P>(kind: CellKind<P>, inputs: CellInputs, params: P): Presentation {
  return kind.present(kind.compute(inputs, params, effects()), params, inputs);
}

/** The verdict of the only or the worst job of a log. */
export function verdict(log: Log, picks: Partial<ReviewPicks> = {}): Presentation {
  return answer(jobVerdict, inputsFrom(log), {...NOTHING, ...picks});
}

const FLOW = {
  flow_lpm: 1200,
  bore_mm: 82.55,
  tool_od_mm: 47.625,
  mud: "KCL",
  density_kgm3: 1200,
  pv_mPas: 18,
  yp_Pa: 7,
};

export function run(day: string, more: RunRow = {}): RunRow {
  return {
    run: `R-${day}`,
    tool: "T-1",
    job: "W-1",
    fleet: "North",
    start: `2024-${day}`,
    end: `2024-${day}`,
    circulating_h: 50,
    outcome: "completed",
    sand_pct: 0.3,
    temperature_max_C: 90,
    ...FLOW,
    ...more,
  };
}

export function look(day: string, more: RebuildRow): RebuildRow {
  return {rebuild: `B-${day}`, tool: "T-1", date: `2024-${day}`, component: "SEAL", shop: "Quay", ...more};
}

export const fit = (day: string, more: RebuildRow = {}): RebuildRow =>
  look(day, {found: "not inspected", action: "renewed", ...more});

export const failed = (day: string, mode: string | undefined, more: RebuildRow = {}): RebuildRow =>
  look(day, {found: "failed", mode, ended_run: true, action: "renewed", ...more});

/** Other tools whose seals wore out, one run a life, so that there is a model to place a part on. */
export function fleetOfSeals(ages: readonly number[]): Log {
  return {
    runs: ages.map((age, i) =>
      run("03-01", {
        run: `F-${i}`,
        tool: `F-${i}`,
        job: `F-${i}`,
        circulating_h: age,
        outcome: "failed downhole",
        failed_at_h: age,
      }),
    ),
    rebuilds: ages.flatMap((_, i) => [fit("02-01", {tool: `F-${i}`}), failed("03-05", "SEAL-ABR", {tool: `F-${i}`})]),
  };
}
