/**
 * Grows the logs of the invented scenario: runs and rebuilds as a perfect clerk would write them, with the truth of
 * every part beside them. Habits of the shops and defects of their files come later (habits/, defects/).
 */
import {FleetGrowth} from "./FleetGrowth.ts";
import type {Grown} from "./grown.ts";
import type {Part} from "./parts.ts";
import {FLEETS, FLEET_NAMES, MONTHS, WINDOW, type FleetName, type FleetTruth} from "./scenario.ts";

export type {Action, Found, Grown, GrownInspection, GrownRun} from "./grown.ts";

const HOUR = 3_600_000;

export interface GrowOptions {
  readonly seed: number;
  /** fleets to grow, with what shall differ from the scenario; default: all three as they are */
  readonly fleets?: Readonly<Partial<Record<FleetName, Partial<Omit<FleetTruth, "name">>>>>;
  readonly months?: number;
  /**
   * `caught` 0 leaves worn parts in until they fail: then every end of a life is a failure or an uninformative
   * renewal, and a fit has one truth to find. Default: the scenario's.
   */
  readonly foundWorn?: {readonly from: number; readonly caught: number};
  /** share of draws that spoil the part without ending the run, found at the next teardown; default 0 */
  readonly quietShare?: number;
}

/**
 * Options under which fits must find `truthFor`: nobody renews a part because of how far its wear has gone. In the
 * scenario itself, parts seen worn are renewed at 88 to 100 % of their draw, so a life that ends with "found worn" is
 * shorter than the life in service by up to an eighth, and fits of eroding modes come out shorter too.
 */
export const RECOVERABLE = {foundWorn: {from: 1, caught: 0}, quietShare: 0.3} as const;

/** Grows every fleet asked for. The same options give the same logs. */
export function growScenario(options: GrowOptions): Grown {
  const months = options.months ?? MONTHS;
  const names = options.fleets ? FLEET_NAMES.filter((name) => options.fleets?.[name]) : FLEET_NAMES;
  const fleets = names.map((name): FleetTruth => ({...FLEETS[name], ...options.fleets?.[name]}));
  const to = WINDOW.from + months * WINDOW.hoursPerMonth * HOUR;
  const grown = fleets.map((fleet) => new FleetGrowth(fleet, options, to).grow());
  const partsOf = (name: FleetName): readonly Part[] => grown[names.indexOf(name)]?.parts ?? [];
  return {
    seed: options.seed,
    from: WINDOW.from,
    to,
    fleets,
    runs: grown.flatMap(({runs}) => runs),
    inspections: grown.flatMap(({inspections}) => inspections),
    parts: {Alder: partsOf("Alder"), Basalt: partsOf("Basalt"), Cobalt: partsOf("Cobalt")},
  };
}
