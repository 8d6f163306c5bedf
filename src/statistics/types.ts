/**
 * What the statistics take and give. Numbers only: nothing here knows a tool, a part or a mud.
 *
 * Weibull: S(t) = exp(-(t / scale) ** shape). Every log-location-scale family is
 * log T = location + spread · error; for Weibull location = log scale, spread = 1 / shape.
 */

/**
 * Lives, one an index. `lower === upper`: failed at exactly that age. `upper === Infinity`: suspended at `lower`.
 * Else failed in (`lower`, `upper`]; `lower === 0` is left-censored. `entry` is the age at which the life came
 * under observation (0 from new). `weight` is how many identical lives the row stands for.
 */
export interface LifeData {
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  readonly entry: Float64Array;
  readonly weight: Float64Array;
}

export type Family = "weibull" | "exponential" | "lognormal" | "loglogistic";

/** Two-parameter Weibull; both positive, `scale` in the unit of age. */
export interface Weibull {
  readonly shape: number;
  readonly scale: number;
}

/** Two-sided limits; an end that does not exist is null. */
export type Limits = readonly [lower: number | null, upper: number | null];

/** "adjusted" is likelihood with the small-sample correction of smallSample.ts */
export type LimitsBy = "likelihood" | "normal" | "bootstrap" | "adjusted";

/** Why no maximum-likelihood fit can be given; the sentence goes to the reader as it is. */
export type NoFitReason =
  "no lives" | "no failures" | "failures at one age" | "one inspection bin" | "maximum at the border" | "not converged";

export interface NoFit {
  readonly fitted: false;
  readonly family: Family;
  readonly reason: NoFitReason;
  readonly sentence: string;
  readonly lives: number;
  readonly failures: number;
}

export interface LifeFit {
  readonly fitted: true;
  readonly family: Family;
  /** weibull and exponential: shape (1 for exponential) and scale. Other families: null. */
  readonly shape: number | null;
  readonly scale: number | null;
  /** location and spread of log age, every family */
  readonly location: number;
  readonly spread: number;
  /** sum of weights, and of the weights of failures (exact, left and interval) */
  readonly lives: number;
  readonly failures: number;
  /** with every constant: density of age, not of log age */
  readonly logLikelihood: number;
  readonly aicc: number;
  /** inverse observed information of (log scale, log shape); zeros where a parameter is held fixed */
  readonly covariance: readonly [readonly [number, number], readonly [number, number]];
  /** shape held at this value, when it was */
  readonly fixedShape: number | null;
  readonly iterations: number;
  readonly cautions: readonly string[];
}

export type FitOutcome = LifeFit | NoFit;
