/**
 * A chart as data: what to draw, free of functions, so that it crosses a worker boundary and saves as CSV.
 * Each member has its own file of the same name that turns it into Plot options and into a table.
 *
 * Ages, intervals and exposures are in `unit` (h, pulses or runs). Fractions are 0 to 1. A limit that does not
 * exist is null. Charts carry no title: the figure around them states the finding.
 */

import type {Rested} from "./behind.ts";

/** One place on a curve, with its limits at that age. */
export interface CurvePoint extends Rested {
  readonly age: number;
  readonly estimate: number;
  readonly lower: number | null;
  readonly upper: number | null;
}

/** The distribution whose paper makes a straight line. */
export type Paper = "weibull" | "lognormal" | "loglogistic";

/** A failure at its plotting position; `from` and `to` when its age is known only to lie between them. */
export interface ProbabilityPoint extends Rested {
  readonly age: number;
  readonly failed: number;
  readonly from?: number;
  readonly to?: number;
}

export interface ProbabilitySeries {
  readonly name: string;
  readonly points: readonly ProbabilityPoint[];
  /** ages of the suspensions, drawn as ticks along the bottom */
  readonly suspensions: readonly number[];
  /** fitted fraction failed by age, with its limits; empty where nothing could be fitted */
  readonly line: readonly CurvePoint[];
}

/** Fraction failed by age on probability paper. */
export interface ProbabilityChart {
  readonly kind: "probability";
  readonly paper: Paper;
  readonly unit: string;
  readonly series: readonly ProbabilitySeries[];
}

export interface CurveSeries {
  readonly name: string;
  readonly curve: readonly CurvePoint[];
}

/** Fraction surviving by age: fitted curves with bands, and the Kaplan-Meier steps behind them. */
export interface ReliabilityChart {
  readonly kind: "reliability";
  readonly unit: string;
  readonly series: readonly (CurveSeries & {readonly steps: readonly CurvePoint[]})[];
  /** reliability asked for, drawn as a line; null for none */
  readonly target: number | null;
}

/** Failure rate by age; values are per 1,000 `unit`. */
export interface HazardChart {
  readonly kind: "hazard";
  readonly unit: string;
  readonly series: readonly CurveSeries[];
}

export interface Bar extends Rested {
  readonly name: string;
  readonly value: number;
  readonly lower: number | null;
  readonly upper: number | null;
  /** caused by the shop; drawn hatched and named */
  readonly serviceInduced: boolean;
  /** running share of the total, 0 to 1, printed at the bar; null for none */
  readonly runningShare: number | null;
}

/** Ranked bars, the worst first. */
export interface BarsChart {
  readonly kind: "bars";
  readonly label: string;
  readonly unit: string;
  readonly bars: readonly Bar[];
}

export interface RangeRow extends Rested {
  readonly name: string;
  readonly group: string;
  readonly value: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  /** today's interval; null when there is none */
  readonly current: number | null;
  /** said in place of a value when there is none, e.g. `run to failure` */
  readonly note: string;
}

/** Recommended intervals with limits beside today's. */
export interface IntervalsChart {
  readonly kind: "intervals";
  readonly unit: string;
  readonly rows: readonly RangeRow[];
}

export interface DotRow extends Rested {
  readonly name: string;
  readonly group: string;
  readonly value: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  /** printed to the right of the whisker, e.g. the counts */
  readonly note: string;
}

/** One dot and whisker a row: rates of fleets, effects of conditions, lives per cell. */
export interface DotsChart {
  readonly kind: "dots";
  readonly label: string;
  readonly unit: string;
  /** drawn as a line, e.g. 1 for no effect; null for none */
  readonly reference: number | null;
  readonly log: boolean;
  readonly rows: readonly DotRow[];
}

/** A fraction with its limits. */
export interface Fraction {
  readonly value: number;
  readonly lower: number | null;
  readonly upper: number | null;
}

export interface PairRow extends Rested {
  readonly name: string;
  readonly first: Fraction;
  /** null where there is no second value */
  readonly second: Fraction | null;
  /** printed to the right */
  readonly note: string;
}

/** Two fractions a row, e.g. survival of a part as it is and of a new one. */
export interface PairsChart {
  readonly kind: "pairs";
  readonly label: string;
  /** what the first and the second value are */
  readonly names: readonly [string, string];
  /** the fraction asked for, drawn as a line; null for none */
  readonly reference: number | null;
  readonly rows: readonly PairRow[];
}

/** Foretold against seen: on the diagonal what was foretold came true. */
export interface ForetoldChart {
  readonly kind: "foretold";
  readonly label: {readonly foretold: string; readonly seen: string};
  readonly points: readonly (Rested & {
    readonly foretold: number;
    readonly seen: number;
    readonly lower: number;
    readonly upper: number;
    readonly count: number;
  })[];
}

/** Money per 1,000 `unit` against the renewal interval. */
export interface CostChart {
  readonly kind: "cost";
  readonly unit: string;
  readonly currency: string;
  readonly series: readonly CurveSeries[];
  /** named intervals on the curve; cost null draws a line only */
  readonly marks: readonly {readonly name: string; readonly interval: number; readonly cost: number | null}[];
  /** a cost to compare with, drawn across */
  readonly runToFailure: number | null;
  /** what the axis is, when it is not the age at renewal */
  readonly across?: string;
  /** what the cost drawn across is, when it is not run to failure */
  readonly level?: string;
}

/** Step curves of incidence by mode: fraction failed by that mode, the other modes competing. */
export interface IncidenceChart {
  readonly kind: "incidence";
  readonly unit: string;
  readonly series: readonly (CurveSeries & {readonly serviceInduced: boolean})[];
}

/** Joint likelihood region of shape and scale: closed rings, one or more a level. */
export interface ContourChart {
  readonly kind: "contour";
  readonly unit: string;
  readonly series: readonly {
    readonly name: string;
    readonly best: {readonly shape: number; readonly scale: number};
    readonly rings: readonly {
      readonly level: number;
      readonly points: readonly {readonly shape: number; readonly scale: number}[];
    }[];
  }[];
}

/** Measured dimension by age, a line a part, with the shop's limit. */
export interface WearChart {
  readonly kind: "wear";
  readonly unit: string;
  /** unit of the dimension */
  readonly sizeUnit: string;
  readonly measure: string;
  readonly limit: number | null;
  readonly parts: readonly {
    readonly name: string;
    readonly points: readonly (Rested & {readonly age: number; readonly size: number})[];
    /** the part that is spoken of, drawn before all others */
    readonly own?: boolean;
  }[];
  /** fitted mean path */
  readonly path: readonly CurvePoint[];
}

/** Mean cumulative number of events per tool by its exposure. */
export interface RecurrenceChart {
  readonly kind: "recurrence";
  readonly unit: string;
  readonly series: readonly (CurveSeries & {readonly growth: readonly CurvePoint[]})[];
}

/**
 * The cumulative hazard the lives show rises from `before` to `after` between residuals `from` and `to`, at ages `ageFrom` to
 * `ageTo`; at once where they are equal.
 */
export interface HazardStep extends Rested {
  readonly ageFrom: number;
  readonly ageTo: number;
  readonly from: number;
  readonly to: number;
  readonly before: number;
  readonly after: number;
  readonly lower: number | null;
  readonly upper: number | null;
}

/** Cox-Snell residuals: cumulative hazard by the fit against the one the lives show, with the diagonal. */
export interface ResidualsChart {
  readonly kind: "residuals";
  readonly unit: string;
  /** the family fitted */
  readonly name: string;
  readonly steps: readonly HazardStep[];
  /** beyond this residual fewer than `fewest` lives are at risk; null when that is nowhere to be said */
  readonly until: number | null;
  readonly fewest: number;
}

/** Rates against exposure with the limits chance alone would give. */
export interface FunnelChart {
  readonly kind: "funnel";
  readonly unit: string;
  /** pooled rate per 1,000 `unit` */
  readonly overall: number;
  readonly level: number;
  readonly curve: readonly {readonly exposure: number; readonly lower: number; readonly upper: number}[];
  readonly points: readonly (Rested & {
    readonly name: string;
    readonly exposure: number;
    readonly rate: number;
    readonly outside: boolean;
  })[];
}

/** One value of one series in a row; null where the series has none. */
export interface VersusValue extends Rested {
  readonly value: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  /** printed to the right, e.g. the counts */
  readonly note: string;
}

/** A few series side by side in every row: two groups by cause, a rate as it is and as it would be. */
export interface VersusChart {
  readonly kind: "versus";
  readonly label: string;
  readonly unit: string;
  readonly log: boolean;
  /** drawn as a line; null for none */
  readonly reference: number | null;
  readonly series: readonly string[];
  /** `values` in the order of `series`; `marked` rows are told to stand out in words and by a sign */
  readonly rows: readonly {
    readonly name: string;
    readonly values: readonly (VersusValue | null)[];
    readonly marked: boolean;
  }[];
  /** what the sign of a marked row says */
  readonly markedMeans: string;
}

/** How one figure becomes another by parts that add up, e.g. the rates of two fleets. */
export interface GapChart {
  readonly kind: "gap";
  readonly label: string;
  readonly unit: string;
  readonly from: Rested & {readonly name: string; readonly value: number; readonly note: string};
  readonly to: Rested & {readonly name: string; readonly value: number; readonly note: string};
  /** what each part adds, or takes away below zero, with limits of that amount */
  readonly parts: readonly (Rested & {
    readonly name: string;
    readonly value: number;
    readonly lower: number | null;
    readonly upper: number | null;
    readonly note: string;
  })[];
}

/** The same axes again and again: one small panel a group, a value with limits for every period. */
export interface PanelsChart {
  readonly kind: "panels";
  readonly label: string;
  readonly unit: string;
  readonly panels: readonly {
    readonly name: string;
    /** periods in order; times are ms since 1970 UTC */
    readonly points: readonly (Rested & {
      readonly from: number;
      readonly to: number;
      readonly value: number;
      readonly lower: number | null;
      readonly upper: number | null;
      readonly count: number;
    })[];
    /** value over all periods, drawn as a line; null for none */
    readonly overall: number | null;
  }[];
  /** a day on which something changed, ms since 1970 UTC; null for none */
  readonly change: number | null;
}

/** Stretches between events in their order, with the limits of a steady rate. */
export interface SpacingChart {
  readonly kind: "spacing";
  readonly unit: string;
  /** how many events end a stretch */
  readonly events: number;
  readonly lower: number;
  readonly centre: number;
  readonly upper: number;
  readonly points: readonly (Rested & {
    /** exposure of all when the stretch ended */
    readonly at: number;
    readonly length: number;
    /** day on which it ended, ms since 1970 UTC */
    readonly day: number;
    readonly outside: "short" | "long" | null;
  })[];
}

/** Spans and moments on lanes, e.g. the runs and rebuilds of a tool. Times are ms since 1970 UTC. */
export interface TimelineChart {
  readonly kind: "timeline";
  readonly spans: readonly {
    readonly lane: string;
    readonly from: number;
    readonly to: number;
    readonly label: string;
    readonly style: "plain" | "failed" | "quiet";
  }[];
  readonly moments: readonly {readonly lane: string; readonly at: number; readonly label: string}[];
}

/** How a run or the life of a part ended, as the strip shows it. */
export type HistoryEnd = "well" | "failed" | "open";

/**
 * One tool on one time line: its runs, its visits to the bench, and the lives of its parts, a lane each. Times are ms since
 * 1970 UTC.
 */
export interface HistoryChart {
  readonly kind: "history";
  /** what is drawn; longer spans are cut at the edges */
  readonly from: number;
  readonly to: number;
  /** the first lane is the runs' */
  readonly lanes: readonly string[];
  readonly spans: readonly (Rested & {
    readonly lane: string;
    readonly what: "run" | "life";
    readonly from: number;
    readonly to: number;
    readonly end: HistoryEnd;
    /** printed in the bar where there is room, e.g. the age reached */
    readonly note: string;
    /** read out and shown on hover */
    readonly label: string;
  })[];
  readonly visits: readonly (Rested & {readonly at: number; readonly label: string})[];
  /** the run that is spoken of; null for none */
  readonly focus: {readonly from: number; readonly to: number; readonly label: string} | null;
}

/** Where one run stands among others, a row a quantity: the share of them that lie below it, 0 to 1. */
export interface StandingChart {
  readonly kind: "standing";
  /** e.g. `runs of Alder` */
  readonly among: string;
  readonly rows: readonly (Rested & {
    readonly name: string;
    /** null where the run's value is not known */
    readonly below: number | null;
    /** the value itself, with its unit */
    readonly value: string;
    /** the usual range, in words */
    readonly usual: string;
  })[];
}

/** Fraction failed by age with limits, and where one part stands on it, its kin along the bottom. */
export interface PlacementChart {
  readonly kind: "placement";
  readonly unit: string;
  readonly curve: readonly CurvePoint[];
  /** age of the part; `from` where it is only known to lie between two */
  readonly part: Rested & {
    readonly name: string;
    readonly age: number;
    readonly from: number;
    readonly failed: number;
  };
  /** its age when the run began */
  readonly before: number | null;
  /** today's renewal age and the recommended one; empty where there is none */
  readonly marks: readonly {readonly name: string; readonly age: number}[];
  /** ages at which others failed by wear */
  readonly others: readonly number[];
}

/** Nothing to draw, and why. */
export interface NoChart {
  readonly kind: "none";
  readonly sentence?: string;
}

export type Chart =
  | ProbabilityChart
  | ReliabilityChart
  | HazardChart
  | BarsChart
  | IntervalsChart
  | DotsChart
  | PairsChart
  | ForetoldChart
  | CostChart
  | IncidenceChart
  | ContourChart
  | WearChart
  | RecurrenceChart
  | ResidualsChart
  | FunnelChart
  | VersusChart
  | GapChart
  | PanelsChart
  | SpacingChart
  | TimelineChart
  | HistoryChart
  | StandingChart
  | PlacementChart
  | NoChart;
