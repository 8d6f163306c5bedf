/** One line of the interval sheet: what is advised for a component in one mud and flow regime, and why. */
import type {Limits} from "../statistics/types.ts";

export const ADVICE = ["renew at", "run to failure", "not enough data"] as const;
export type Advice = (typeof ADVICE)[number];

/** Mud and regime of a row for all conditions of a component together. */
export const POOLED = "all";

/** What the same figure is under three policies; null where it cannot be told. */
export interface ByPolicy<T> {
  readonly recommended: T;
  readonly current: T;
  readonly runToFailure: T;
}

export interface FleetShare {
  readonly fleet: string;
  /** exposure of the component in the condition, h (or the settings' clock) */
  readonly exposure_h: number;
  /** today's renewal age; null: run to failure */
  readonly current_h: number | null;
}

/** The cost of every renewal age tried, for drawing. */
export interface CostCurve {
  readonly interval_h: readonly number[];
  /** expected money per 1,000 h, and limits of it */
  readonly expected: readonly number[];
  readonly lower: readonly number[];
  readonly upper: readonly number[];
}

export interface IntervalRow {
  /** vocabulary codes; mud and regime of a pooled row are `POOLED` */
  readonly component: string;
  readonly mud: string;
  readonly regime: string;
  readonly componentLabel: string;
  readonly mudLabel: string;
  readonly regimeLabel: string;

  readonly advice: Advice;
  /** why, in one sentence */
  readonly because: string;
  /** renew at a rebuild when age + next run passes this; null unless advised */
  readonly interval_h: number | null;
  /** limits of the best age by cost */
  readonly limits_h: Limits;
  readonly boundBy: "cost" | "risk" | null;
  /** both rules before rounding; null where a rule gives no age */
  readonly costInterval_h: number | null;
  readonly riskInterval_h: number | null;
  /** where data are few: the longest age they vouch for at the stated confidence; null elsewhere */
  readonly vouchedFor_h: number | null;
  /** best age if parts could be renewed at any moment, at the likeliest parameters */
  readonly textbook: {readonly interval_h: number; readonly costPer1000h: number} | null;

  /** share-weighted; null when a fleet runs to failure */
  readonly current_h: number | null;
  readonly fleets: readonly FleetShare[];
  readonly exposure_h: number;

  /** money and failures per 1,000 h, expected over the parameter draws, and their limits */
  readonly costPer1000h: ByPolicy<number | null>;
  readonly costLimits: ByPolicy<Limits>;
  readonly failuresPer1000h: ByPolicy<number | null>;
  readonly failureLimits: ByPolicy<Limits>;
  /** money per 1,000 h that the recommendation saves, with limits */
  readonly savingPer1000h: {
    readonly againstCurrent: number | null;
    readonly limitsCurrent: Limits;
    readonly againstRunToFailure: number | null;
    readonly limitsRunToFailure: Limits;
  };
  /** share of draws in which the recommendation costs less than today's policy; null when they are the same */
  readonly chanceBetterThanCurrent: number | null;

  /** lives spent in this condition, and failures among them that renewal can address */
  readonly lives: number;
  readonly failures: number;
  /** of the component in every condition, from which the model borrows */
  readonly livesPooled: number;
  readonly failuresPooled: number;
  /** failures put down to chance (breakage, blockage), in every condition */
  readonly chanceFailures: number;
  /** failures the shop caused, in every condition */
  readonly shopFailures: number;

  /** likeliest wear-out law in this condition; null where none could be fitted */
  readonly shape: number | null;
  readonly scale: number | null;
  readonly shapeLimits: Limits;
  readonly scaleLimits: Limits;
  /** share of draws with a shape above 1 */
  readonly chanceOfWearOut: number | null;
  /** chance failures per 1,000 h */
  readonly chancePer1000h: number;
  /** share of failures that end the run */
  readonly endsRun: number;
  /** oldest part seen, in hours of this condition; and how far the interval goes beyond it, 0 when it does not */
  readonly oldest_h: number;
  readonly beyondOldest_h: number;

  readonly curve: CostCurve | null;
  readonly cautions: readonly string[];
}
