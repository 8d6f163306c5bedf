/**
 * Figures a reader asks of a fit, as functions of its two parameters.
 *
 * Each has a scale on which it is closest to normal (log age, log cumulative hazard), here `psi`, and the location that
 * gives it a chosen psi at a chosen log shape: fixing psi and moving along that curve is what a profile likelihood does.
 */
import type {ErrorDistribution} from "./errorDistribution.ts";
import {logGamma} from "./gammaFunctions.ts";
import type {Family} from "./types.ts";

export interface Quantity {
  readonly name: string;
  /** psi at (location, log shape); Infinity or NaN where it does not exist */
  of(location: number, logShape: number): number;
  /** location at which the figure is psi, given the log shape; null for the shape itself, which no location moves */
  readonly locationAt: ((psi: number, logShape: number) => number) | null;
  /** the figure as reported */
  report(psi: number): number;
  /** true when the reported figure falls as psi rises */
  readonly falling: boolean;
}

/** Weibull shape; for the other families 1 / spread. */
export const shapeQuantity: Quantity = {
  name: "shape",
  of: (_, logShape) => logShape,
  locationAt: null,
  report: Math.exp,
  falling: false,
};

/** Weibull scale; for the other families the median age, exp(location). */
export const scaleQuantity: Quantity = {
  name: "scale",
  of: (location) => location,
  locationAt: (psi) => psi,
  report: Math.exp,
  falling: false,
};

/** Age by which a fraction `p` has failed. */
export function ageQuantity(p: number, error: ErrorDistribution): Quantity {
  const z = error.quantile(p);
  return {
    name: `age at which a fraction ${p} has failed`,
    of: (location, logShape) => location + z * Math.exp(-logShape),
    locationAt: (psi, logShape) => psi - z * Math.exp(-logShape),
    report: Math.exp,
    falling: false,
  };
}

/** Fraction unfailed at `age`; psi is log(-log R). */
export function reliabilityQuantity(age: number, error: ErrorDistribution): Quantity {
  const logAge = Math.log(age);
  return {
    name: `reliability at ${age}`,
    of: (location, logShape) => Math.log(error.cumulativeHazard((logAge - location) * Math.exp(logShape))),
    locationAt: (psi, logShape) => logAge - error.ofHazard(Math.exp(psi)) * Math.exp(-logShape),
    report: (psi) => Math.exp(-Math.exp(psi)),
    falling: true,
  };
}

/** Chance of surviving a further `mission` at age `age`; psi is log of the cumulative hazard gained. */
export function conditionalReliabilityQuantity(
  {age, mission}: {readonly age: number; readonly mission: number},
  error: ErrorDistribution,
): Quantity {
  if (age === 0) return {...reliabilityQuantity(mission, error), name: `reliability over ${mission} from new`};
  const from = Math.log(age);
  const to = Math.log(age + mission);
  const scratch = new Float64Array(5);
  let near = from;
  const gain = (location: number, k: number): number => {
    error.span((from - location) * k, (to - location) * k, scratch);
    return Math.log(scratch[0]!);
  };
  return {
    name: `reliability over ${mission} from age ${age}`,
    of: (location, logShape) => gain(location, Math.exp(logShape)),
    locationAt: (psi, logShape) => {
      // the hazard gained falls as the location rises; where it does not (a hazard that falls steeply) there may be no
      // root, and the answer is NaN. Searches follow each other closely, so each begins at the root before
      const k = Math.exp(logShape);
      const root = decreasingRoot((location) => gain(location, k) - psi, near, 0.1 / k);
      if (Number.isFinite(root)) near = root;
      return root;
    },
    report: (psi) => Math.exp(-Math.exp(psi)),
    falling: true,
  };
}

/** Mean life; infinite for a loglogistic of spread 1 or more. */
export function meanQuantity(family: Family): Quantity {
  const above = (logShape: number): number => {
    const spread = Math.exp(-logShape);
    if (family === "lognormal") return (spread * spread) / 2;
    if (family === "loglogistic")
      return spread < 1 ? Math.log((Math.PI * spread) / Math.sin(Math.PI * spread)) : Infinity;
    return logGamma(1 + spread);
  };
  return {
    name: "mean life",
    of: (location, logShape) => location + above(logShape),
    locationAt: (psi, logShape) => psi - above(logShape),
    report: Math.exp,
    falling: false,
  };
}

/** Root of a function that falls through zero: a bracket widened from `centre`, then false position (Illinois). */
function decreasingRoot(f: (x: number) => number, centre: number, unit: number): number {
  let low = centre;
  let fLow = f(low);
  if (fLow === 0) return low;
  let high = low;
  let fHigh = fLow;
  for (let width = unit, i = 0; fLow < 0 && i < 60; i++, width *= 2) {
    [high, fHigh] = [low, fLow];
    fLow = f((low -= width));
  }
  for (let width = unit, i = 0; fHigh > 0 && i < 60; i++, width *= 2) {
    [low, fLow] = [high, fHigh];
    fHigh = f((high += width));
  }
  if (!(fLow >= 0 && fHigh <= 0)) return NaN;
  let side = 0;
  for (let i = 0; i < 100 && high - low > 1e-15 * (1 + Math.abs(low)); i++) {
    const straight = low + ((high - low) * fLow) / (fLow - fHigh);
    const middle = i < 60 && straight > low && straight < high ? straight : (low + high) / 2;
    if (middle === low || middle === high) break;
    const value = f(middle);
    if (Math.abs(value) < 1e-15) return middle;
    if (value > 0) {
      low = middle;
      fLow = value;
      if (side === 1) fHigh /= 2;
      side = 1;
    } else {
      high = middle;
      fHigh = value;
      if (side === -1) fLow /= 2;
      side = -1;
    }
  }
  return (low + high) / 2;
}
