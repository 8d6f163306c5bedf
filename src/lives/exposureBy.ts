/** Exposure and failures per condition, for rates: every life's hours count where they were spent, mixed lives' too. */
import type {Words} from "../../shared/columnar.ts";
import type {RunTable} from "../logs/logTable.ts";
import {cutLives} from "./cutLives.ts";
import {FAILURE_CLASSES, type FailureTable} from "./failureTable.ts";
import type {LifeTable} from "./lifeTable.ts";
import {wanted, type LivesWhere} from "./livesWhere.ts";

export type ExposureGroup = "component" | "fleet" | "mud" | "regime";

/** One row a group with exposure or failures. A column that was not grouped by is all missing. */
export interface ExposureTable {
  readonly rows: number;
  readonly component: Words;
  readonly fleet: Words;
  readonly mud: Words;
  readonly regime: Words;
  /** exposure of the parts, in the settings' clock: two seals in one run count it twice */
  readonly hours: Float64Array;
  /** lives with exposure in the group */
  readonly lives: Int32Array;
  /** failures of lives that are in the exposure; those the shop caused, and those that ended a run, are among them */
  readonly failures: Int32Array;
  readonly serviceInduced: Int32Array;
  readonly endedRun: Int32Array;
  /** failures of parts whose life could not be used, so that their hours are missing from `hours` */
  readonly failuresWithoutLife: Int32Array;
  /** rig hours lost to all these failures */
  readonly lostHours: Float64Array;
}

/**
 * @param lives before any filter by mud or regime (the contract's `all`); `where` does all the filtering
 * @param by columns to group by; a failure that no component is blamed for counts only where `component` is not one
 */
export function exposureBy(
  lives: LifeTable,
  runs: Pick<RunTable, "columns">,
  where: LivesWhere = {},
  by: readonly ExposureGroup[] = ["component", "fleet", "mud", "regime"],
): ExposureTable {
  const {mud: _mud, regime: _regime, ...others} = where;
  const cut = cutLives(lives, runs, others);
  const {exposure} = cut;
  const sums = new Sums(by);
  const muds = wanted(where.mud, exposure.muds);
  const regimes = wanted(where.regime, exposure.regimes);
  for (let life = 0; life < cut.rows; life++) {
    for (let s = exposure.offsets[life]!; s < exposure.offsets[life + 1]!; s++) {
      const hours = exposure.hours[s]!;
      if (!(hours > 0)) continue;
      if (muds !== null && muds[exposure.mud[s]!] !== 1) continue;
      if (regimes !== null && regimes[exposure.regime[s]!] !== 1) continue;
      const group = sums.group(
        cut.component.codes[life]!,
        cut.fleet.codes[life]!,
        exposure.mud[s]!,
        exposure.regime[s]!,
      );
      group.hours += hours;
      if (group.lastLife !== life) group.lives++;
      group.lastLife = life;
    }
  }
  const {failures} = cut;
  if (failures !== undefined) countFailures(sums, failures, {muds, regimes, byComponent: by.includes("component")});
  return sums.table(cut);
}

function countFailures(
  sums: Sums,
  failures: FailureTable,
  {muds, regimes, byComponent}: {muds: Uint8Array | null; regimes: Uint8Array | null; byComponent: boolean},
): void {
  const endsRun = Uint8Array.from(FAILURE_CLASSES, (name) => (name === "F1" || name === "F2" ? 1 : 0));
  for (let i = 0; i < failures.rows; i++) {
    const mud = failures.mud.codes[i]!;
    const regime = failures.regime.codes[i]!;
    if (muds !== null && muds[mud] !== 1) continue;
    if (regimes !== null && regimes[regime] !== 1) continue;
    const component = failures.component.codes[i]!;
    if (byComponent && component < 0) continue;
    const group = sums.group(component, failures.fleet.codes[i]!, mud, regime);
    group.lostHours += failures.lostHours[i]!;
    if (failures.life[i]! < 0) {
      group.failuresWithoutLife++;
      continue;
    }
    group.failures++;
    group.serviceInduced += failures.serviceInduced[i]!;
    group.endedRun += endsRun[failures.failureClass[i]!]!;
  }
}

interface Group {
  readonly component: number;
  readonly fleet: number;
  readonly mud: number;
  readonly regime: number;
  hours: number;
  lives: number;
  lastLife: number;
  failures: number;
  serviceInduced: number;
  endedRun: number;
  failuresWithoutLife: number;
  lostHours: number;
}

/** Sums by group; codes of columns that are not grouped by are read as -1. */
class Sums {
  readonly #by: Readonly<Record<ExposureGroup, boolean>>;
  readonly #groups = new Map<number, Group>();

  constructor(by: readonly ExposureGroup[]) {
    const has = (column: ExposureGroup): boolean => by.includes(column);
    this.#by = {component: has("component"), fleet: has("fleet"), mud: has("mud"), regime: has("regime")};
  }

  group(componentCode: number, fleetCode: number, mudCode: number, regimeCode: number): Group {
    const component = this.#by.component ? componentCode : -1;
    const fleet = this.#by.fleet ? fleetCode : -1;
    const mud = this.#by.mud ? mudCode : -1;
    const regime = this.#by.regime ? regimeCode : -1;
    // dictionaries stay far below 2^12 codes: a fleet has a handful of fleets, muds and regimes
    const key = (((component + 1) * 4096 + fleet + 1) * 4096 + mud + 1) * 4096 + regime + 1;
    let group = this.#groups.get(key);
    if (group === undefined) {
      group = {
        component,
        fleet,
        mud,
        regime,
        hours: 0,
        lives: 0,
        lastLife: -1,
        failures: 0,
        serviceInduced: 0,
        endedRun: 0,
        failuresWithoutLife: 0,
        lostHours: 0,
      };
      this.#groups.set(key, group);
    }
    return group;
  }

  table({component, fleet, exposure}: LifeTable): ExposureTable {
    const groups = [...this.#groups.values()].sort(
      (a, b) => a.component - b.component || a.fleet - b.fleet || a.mud - b.mud || a.regime - b.regime,
    );
    const codes = (of: (group: Group) => number): Int32Array => Int32Array.from(groups, of);
    return {
      rows: groups.length,
      component: {codes: codes((g) => g.component), words: component.words},
      fleet: {codes: codes((g) => g.fleet), words: fleet.words},
      mud: {codes: codes((g) => g.mud), words: exposure.muds},
      regime: {codes: codes((g) => g.regime), words: exposure.regimes},
      hours: Float64Array.from(groups, (g) => g.hours),
      lives: codes((g) => g.lives),
      failures: codes((g) => g.failures),
      serviceInduced: codes((g) => g.serviceInduced),
      endedRun: codes((g) => g.endedRun),
      failuresWithoutLife: codes((g) => g.failuresWithoutLife),
      lostHours: Float64Array.from(groups, (g) => g.lostHours),
    };
  }
}
