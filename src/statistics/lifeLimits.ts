/**
 * Two-sided limits of whatever a life fit says: shape, scale, ages, reliability, mean.
 *
 * by "likelihood" (default): profileLimits.ts; "adjusted": the same with the small-sample correction of smallSample.ts. By "normal": estimate ± z · standard error on the log of shape, scale,
 * age and mean, and on log(-log R) (Meeker & Escobar, Statistical Methods for Reliability Data, 1998, section 8.4). By
 * "bootstrap": percentiles of replicate fits, see bootstrapLife.ts. Each end is a one-sided limit at (1 + level) / 2.
 */
import {percentileLimits} from "./percentileLimits.ts";
import {errorDistribution} from "./errorDistribution.ts";
import {requireLevel, twoSidedZ} from "./gammaFunctions.ts";
import {profileEnd, profiler, type EndRequest, type Profiler} from "./profileLimits.ts";
import {
  ageQuantity,
  conditionalReliabilityQuantity,
  meanQuantity,
  reliabilityQuantity,
  scaleQuantity,
  shapeQuantity,
  type Quantity,
} from "./quantity.ts";
import type {LifeData, LifeFit, Limits, LimitsBy} from "./types.ts";

/** Locations and log shapes of replicate fits, as bootstrapLife makes them. */
export interface Replicates {
  readonly location: Float64Array;
  readonly logShape: Float64Array;
}

export interface LimitOptions {
  /** two-sided; default 0.9 */
  readonly level?: number | undefined;
  /** default likelihood */
  readonly by?: LimitsBy | undefined;
  /** needed when `by` is bootstrap */
  readonly replicates?: Replicates | undefined;
}

export interface LimitsResult {
  readonly estimate: number;
  readonly limits: Limits;
  readonly cautions: readonly string[];
}

/** Limits of the Weibull shape (of 1 / spread for lognormal and loglogistic). */
export function shapeLimits(data: LifeData, fit: LifeFit, options: LimitOptions = {}): LimitsResult {
  return limitsOf(data, fit, shapeQuantity, options);
}

/** Limits of the Weibull scale (of the median age for lognormal and loglogistic). */
export function scaleLimits(data: LifeData, fit: LifeFit, options: LimitOptions = {}): LimitsResult {
  return limitsOf(data, fit, scaleQuantity, options);
}

/** Limits of the age by which a fraction `p` in (0, 1) has failed; p = 0.1 is the B10 life. */
export function ageLimits(data: LifeData, fit: LifeFit, p: number, options: LimitOptions = {}): LimitsResult {
  if (!(p > 0 && p < 1)) throw new RangeError(`ageLimits requires a fraction in (0, 1), got ${p}`);
  return limitsOf(data, fit, ageQuantity(p, errorDistribution(fit.family)), options);
}

/** Limits of the fraction unfailed at `age` > 0. */
export function reliabilityLimits(data: LifeData, fit: LifeFit, age: number, options: LimitOptions = {}): LimitsResult {
  if (!(age > 0 && age < Infinity)) throw new RangeError(`reliabilityLimits requires a finite age > 0, got ${age}`);
  return limitsOf(data, fit, reliabilityQuantity(age, errorDistribution(fit.family)), options);
}

/** Limits of the chance that a part of age `age` >= 0 survives a further `mission` > 0. */
export function conditionalReliabilityLimits(
  data: LifeData,
  fit: LifeFit,
  step: {readonly age: number; readonly mission: number},
  options: LimitOptions = {},
): LimitsResult {
  const {age, mission} = step;
  if (!(age >= 0 && age < Infinity && mission > 0 && mission < Infinity)) {
    throw new RangeError(`conditionalReliabilityLimits requires age >= 0 and mission > 0, got ${age} and ${mission}`);
  }
  return limitsOf(data, fit, conditionalReliabilityQuantity(step, errorDistribution(fit.family)), options);
}

/** Limits of the mean life; leans on the tail beyond the oldest life, which its caution says. */
export function meanLimits(data: LifeData, fit: LifeFit, options: LimitOptions = {}): LimitsResult {
  const result = limitsOf(data, fit, meanQuantity(fit.family), options);
  const caution = "A mean life counts ages beyond the oldest life seen, where the fit is extrapolated.";
  return {...result, cautions: [...result.cautions, caution]};
}

function limitsOf(data: LifeData, fit: LifeFit, quantity: Quantity, options: LimitOptions): LimitsResult {
  return quantityLimits(profiler(data, fit), quantity, options);
}

/** Limits of any quantity, for callers that ask many of one fit. */
export function quantityLimits(profile: Profiler, quantity: Quantity, options: LimitOptions): LimitsResult {
  const {level = 0.9, by = "likelihood", replicates} = options;
  requireLevel(level, "limits");
  const {fit, logShape} = profile;
  const psi = quantity.of(fit.location, logShape);
  const estimate = quantity.report(psi);
  const held = fit.covariance[1][1] === 0;
  if (quantity.locationAt === null && held) {
    return {
      estimate,
      limits: [estimate, estimate],
      cautions: ["The shape was held, not estimated; its limits say nothing."],
    };
  }
  const cautions: string[] = [];
  const ends = psiLimits();
  const [low, high] = quantity.falling ? [ends[1], ends[0]] : ends;
  if (low === null || high === null) {
    const missing = low === null && high === null ? "limits" : low === null ? "a lower limit" : "an upper limit";
    cautions.push(
      Number.isFinite(psi)
        ? `These lives do not give ${missing} of the ${quantity.name}: however extreme a value, they hardly speak against it.`
        : `The ${quantity.name} does not exist for this fit.`,
    );
  }
  const value = (end: number | null): number | null => (end === null ? null : quantity.report(end));
  return {estimate, limits: [value(low), value(high)], cautions};

  function psiLimits(): readonly [number | null, number | null] {
    if (!Number.isFinite(psi)) return [null, null];
    if (by === "bootstrap") {
      if (!replicates) throw new RangeError("bootstrap limits require replicates, got none");
      const values = replicates.location.map((location, i) => quantity.of(location, replicates.logShape[i]!));
      const {limits, caution} = percentileLimits(values, psi, level);
      if (caution !== null) cautions.push(caution);
      // npm run calibrate: 70 to 85 % in place of 90 % at five and ten failures
      if (fit.failures < 20)
        cautions.push(
          "With fewer than 20 failures bootstrap limits come out too narrow; likelihood limits hold better.",
        );
      return limits;
    }
    const standardError = normalError(quantity, fit, logShape);
    if (by === "normal") {
      const reach = twoSidedZ(level) * standardError;
      return Number.isFinite(reach) ? [psi - reach, psi + reach] : [null, null];
    }
    const end = (side: -1 | 1): number | null => {
      if (held) return heldEnd(side, standardError);
      return profileEnd(profile, quantity, {side, level, standardError, adjusted: by === "adjusted"});
    };
    return [end(-1), end(1)];
  }

  /** With the shape held every figure follows the location, so its limits are those of the location. */
  function heldEnd(side: -1 | 1, standardError: number): number | null {
    const along = (quantity.of(fit.location + H, logShape) - quantity.of(fit.location - H, logShape)) / (2 * H);
    const locationSide = along * side > 0 ? 1 : -1;
    const end = heldLocationEnd(profile, {
      side: locationSide,
      level,
      standardError: standardError / Math.abs(along),
      adjusted: by === "adjusted",
    });
    return end === null ? null : quantity.of(end, logShape);
  }
}

const H = 1e-5;

/** Standard error of psi by the delta method, derivatives by central differences. */
export function normalError(quantity: Quantity, {location, covariance}: LifeFit, logShape: number): number {
  const a = (quantity.of(location + H, logShape) - quantity.of(location - H, logShape)) / (2 * H);
  const b = (quantity.of(location, logShape + H) - quantity.of(location, logShape - H)) / (2 * H);
  return Math.sqrt(a * a * covariance[0][0] + 2 * a * b * covariance[0][1] + b * b * covariance[1][1]);
}

/** Likelihood-ratio end of the location with the shape held. */
function heldLocationEnd(profile: Profiler, ask: EndRequest): number | null {
  const {logShape, value} = profile;
  const alone: Profiler = {
    ...profile,
    point: (_, psi) => {
      const {value: v, gradient} = value(psi, logShape);
      if (!Number.isFinite(v)) return null;
      return {psi, value: v, slope: gradient[0]!, nuisance: logShape, location: psi, logShape, bend: 1, stretch: 1};
    },
  };
  return profileEnd(alone, scaleQuantity, ask);
}
