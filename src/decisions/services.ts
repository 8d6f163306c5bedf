/**
 * How a component is used in one condition: which fleets, how often they open their tools, what they pay and do today.
 */
import type {Register} from "../../shared/register.ts";
import type {Settings} from "../../shared/settings.ts";
import type {ConditionUse} from "./componentExposure.ts";
import {policyIn, type DecidedPolicy} from "./fleetCosts.ts";
import {freeGaps, type WeightedGaps} from "./freeGaps.ts";
import type {Service} from "./priceDraws.ts";
import {rebuildWalk} from "./rebuildWalk.ts";

/** Gaps between the rebuilds of one fleet's tools. */
export interface FleetGaps {
  readonly hours: ArrayLike<number>;
  /** component whose failure forced the rebuild that ended the gap; null for a planned one */
  readonly forcedBy: readonly (string | null)[];
}

export interface FleetUse {
  readonly fleet: string;
  readonly share: number;
  readonly exposure: number;
  readonly policy: DecidedPolicy;
  readonly gaps: WeightedGaps;
}

/** Fewer gaps than this are taken together with the other fleets'. */
const FEW_GAPS = 8;

/**
 * The fleets with exposure in the condition, most first; and a sentence where a fleet's own gaps were too few.
 *
 * @param nextRun stands for a gap where no log shows one
 */
export function fleetUses(
  {mud, regime, byFleet, exposure}: ConditionUse,
  component: string,
  {
    gaps,
    settings,
    nextRun,
    register,
  }: {
    readonly gaps: ReadonlyMap<string, FleetGaps>;
    readonly settings: Settings;
    readonly nextRun: number;
    /** decisions that go before today's intervals of the settings */
    readonly register?: Register | undefined;
  },
): {fleets: FleetUse[]; cautions: string[]} {
  const cautions: string[] = [];
  const fleets = [...byFleet]
    .sort(([a, x], [b, y]) => y - x || (a < b ? -1 : 1))
    .map(([fleet, spent]): FleetUse => {
      let own = gapsFor(gaps.get(fleet), component);
      if (own.hours.length < FEW_GAPS) {
        const all = gapsFor(joined(gaps), component);
        const few = `${fleet === "" ? "the tools without a fleet show" : `${fleet} shows`} only ${own.hours.length} gaps between rebuilds`;
        if (all.hours.length > own.hours.length) {
          own = all;
          cautions.push(`${few}; those of all fleets stand in`);
        } else if (own.hours.length === 0) {
          own = {hours: Float64Array.of(nextRun), weights: Float64Array.of(1)};
          cautions.push("the log shows no gap between two rebuilds of a tool; a rebuild after every run is assumed");
        } else cautions.push(few);
      }
      return {
        fleet,
        share: spent / exposure,
        exposure: spent,
        policy: policyIn(settings, {component, mud, regime, fleet: fleet === "" ? null : fleet}, register),
        gaps: own,
      };
    });
  return {fleets, cautions};
}

/** The services to price, on one grid of ages; null when a fleet's costs are not known. */
export function servicesOf(fleets: readonly FleetUse[], grid: Grid): Service[] | null {
  const services: Service[] = [];
  for (const {share, policy, gaps} of fleets) {
    if (policy.costs === null) return null;
    services.push({
      share,
      walk: rebuildWalk(gaps.hours, {...grid, weights: gaps.weights}),
      costs: policy.costs,
      current: policy.current,
    });
  }
  return services;
}

export interface Grid {
  readonly step: number;
  readonly points: number;
}

/** Thresholds on a grid: more cost time, fewer blur the cheapest age. */
const MOST_POINTS = 120;

/**
 * A grid that reaches `horizon` in at most 120 steps of the service unit times a power of two, and no step longer than a
 * third of the mean gap.
 */
export function gridFor(horizon: number, unit: number, fleets: readonly FleetUse[]): Grid {
  let step = unit;
  while (step * MOST_POINTS > 2 * horizon && step > unit / 64) step /= 2;
  while (step * MOST_POINTS < horizon) step *= 2;
  const shortest = Math.min(...fleets.map(({gaps}) => meanGap(gaps)));
  while (step > shortest / 3 && step * 4 * MOST_POINTS > horizon) step /= 2;
  return {step, points: Math.max(2, Math.min(Math.ceil(horizon / step) + 1, 4 * MOST_POINTS))};
}

function meanGap({hours, weights}: WeightedGaps): number {
  return hours.reduce((sum, gap, i) => sum + gap * weights[i]!, 0);
}

function gapsFor(gaps: FleetGaps | undefined, component: string): WeightedGaps {
  if (gaps === undefined) return {hours: new Float64Array(0), weights: new Float64Array(0)};
  return freeGaps(
    gaps.hours,
    gaps.forcedBy.map((by) => (by === component ? 1 : 0)),
  );
}

function joined(gaps: ReadonlyMap<string, FleetGaps>): FleetGaps {
  const all = [...gaps.values()];
  return {
    hours: all.flatMap(({hours}) => Array.from(hours)),
    forcedBy: all.flatMap(({forcedBy}) => forcedBy),
  };
}
