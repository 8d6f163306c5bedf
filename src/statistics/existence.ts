/**
 * Whether the likelihood has a maximum at all, decided from the lives before any iteration.
 *
 * As the shape grows without bound a life distribution becomes a step at one age c. That is as good as any fit, or
 * better, exactly when one age c can explain everything: it lies in the closed interval of every failure (a single
 * point for an exact one) and no life was seen unfailed beyond it. Then the likelihood rises, or stays level, toward
 * shape → ∞ and there is no maximum. For exact and right-censored lives this is the classical rule: a unique maximum
 * if and only if some failure is younger than the oldest life.
 *
 * Toward shape → 0 it can only keep up when every failure is left-censored, or when every life came under observation
 * late (the limit is then a hazard proportional to 1/age); that is checked on the fit itself, see fitLife.ts.
 */
import type {LifeData, NoFitReason} from "./types.ts";

export interface Refusal {
  readonly reason: NoFitReason;
  readonly sentence: string;
}

interface Extent {
  lives: number;
  failures: number;
  exact: number;
  /** greatest lower and least upper age among failures */
  latestStart: number;
  earliestEnd: number;
  /** oldest age seen unfailed */
  oldest: number;
  /** age lived under observation */
  exposure: number;
  everyFailureLeft: boolean;
  everyEntryLate: boolean;
}

function extent({lower, upper, entry, weight}: LifeData): Extent {
  const found: Extent = {
    lives: 0,
    failures: 0,
    exact: 0,
    latestStart: 0,
    earliestEnd: Infinity,
    oldest: 0,
    exposure: 0,
    everyFailureLeft: true,
    everyEntryLate: true,
  };
  for (let i = 0; i < lower.length; i++) {
    const w = weight[i]!;
    if (!(w > 0)) continue;
    found.lives += w;
    found.exposure += w * (lower[i]! - entry[i]!);
    if (entry[i] === 0 && upper[i]! > 0 && !(lower[i] === 0 && upper[i] === Infinity)) found.everyEntryLate = false;
    if (upper[i] === Infinity) {
      found.oldest = Math.max(found.oldest, lower[i]!);
      continue;
    }
    found.failures += w;
    if (lower[i] === upper[i]) found.exact += w;
    if (lower[i] !== 0) found.everyFailureLeft = false;
    found.latestStart = Math.max(found.latestStart, lower[i]!);
    found.earliestEnd = Math.min(found.earliestEnd, upper[i]!);
  }
  return found;
}

const count = (n: number): string => String(Number(n.toPrecision(6)));

/** Why a fit with a free or a fixed shape cannot exist; null when nothing speaks against it. */
export function refusal(data: LifeData, shapeFree: boolean): Refusal | null {
  const {lives, failures, exact, latestStart, earliestEnd, oldest, exposure, everyFailureLeft} = extent(data);
  if (lives === 0) return {reason: "no lives", sentence: "There are no lives to fit."};
  if (failures === 0) {
    return {
      reason: "no failures",
      sentence: `${lives === 1 ? "The only life did not end in a failure" : `None of the ${count(lives)} lives ended in a failure`}, so there is nothing to fit; only a lower bound on life can be given.`,
    };
  }
  if (!shapeFree) {
    if (everyFailureLeft && exposure === 0) {
      return {
        reason: "maximum at the border",
        sentence: `All ${count(failures)} failures had happened before the first look and nothing was seen unfailed, so any shorter life fits better still.`,
      };
    }
    return null;
  }
  if (latestStart <= earliestEnd && oldest <= earliestEnd) {
    if (exact > 0) {
      return {
        reason: "failures at one age",
        sentence:
          failures === 1
            ? `The only failure, at age ${count(earliestEnd)}, is the oldest life; one point cannot show how lives spread.`
            : `All ${count(failures)} failures can stand at one age, ${count(earliestEnd)}, and nothing outlived it; they cannot show how lives spread.`,
      };
    }
    return {
      reason: "one inspection bin",
      sentence: `All ${count(failures)} failures can have happened within one inspection interval, ${count(latestStart)} to ${count(earliestEnd)}, and nothing outlived it; the shape can be as steep as one likes.`,
    };
  }
  return null;
}

/** True when the likelihood may also rise toward shape → 0, so that a maximum must be compared with that border. */
export function mayRiseTowardZeroShape(data: LifeData): boolean {
  const {everyFailureLeft, everyEntryLate} = extent(data);
  return everyFailureLeft || everyEntryLate;
}

/** True when the likelihood may have more than one maximum: late entry, or no failure at a known age. */
export function mayHaveSeveralMaxima(data: LifeData): boolean {
  for (let i = 0; i < data.entry.length; i++) {
    if (data.entry[i]! > 0) return true;
    if (data.upper[i]! < Infinity && data.lower[i]! !== data.upper[i]!) return true;
  }
  return false;
}
