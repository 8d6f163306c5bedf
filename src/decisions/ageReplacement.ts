/**
 * Age replacement as the textbooks have it: renew at failure or at age T, whichever comes first, at any moment.
 *
 * g(T) = [Cp R(T) + Cf (1 − R(T))] / ∫₀ᵀ R, and dg/dT = 0 where h(T) ∫₀ᵀ R − (1 − R(T)) = Cp / (Cf − Cp)
 * (Barlow & Proschan, Mathematical Theory of Reliability, Wiley 1965, ch. 4; from memory, re-derived). There
 * g(T) = (Cf − Cp) h(T). The curve is flat near its lowest point, so the condition's root is sought, not the lowest
 * value found by trying.
 */
import type {Life} from "./life.ts";

/** What a renewal costs when planned and when forced by a failure. */
export interface AgeCosts {
  readonly planned: number;
  readonly failure: number;
}

/** Why no age is best. */
export type NoBestAge =
  "failure not dearer than planned" | "planned renewal costs nothing" | "hazard does not rise enough";

export type BestAge =
  | {
      readonly found: true;
      readonly age: number;
      /** money per unit of age at the best age and when never renewed before failure */
      readonly costRate: number;
      readonly runToFailure: number;
      /** 1 − costRate / runToFailure */
      readonly saving: number;
    }
  | {readonly found: false; readonly reason: NoBestAge; readonly runToFailure: number};

/**
 * Long-run cost per unit of age of renewing at failure or at `age`.
 *
 * @param age > 0; Infinity is run to failure; anything else gives NaN
 */
export function costRate(age: number, life: Life, {planned, failure}: AgeCosts): number {
  if (!(age > 0)) return NaN;
  const failed = life.failed(age);
  return (planned * life.survival(age) + failure * failed) / life.restrictedMean(age);
}

/** Left side of the optimality condition: hazard × mean age reached − fraction failed. It rises with age when the hazard does. */
export function optimalityAt(age: number, life: Life): number {
  return life.hazard(age) * life.restrictedMean(age) - life.failed(age);
}

/** Ages tried, as multiples of the life's typical age: from where nothing has failed to far beyond the last failure. */
const FIRST = 1e-7;
const LAST = 1e7;
const STEP = 1.25;

/**
 * The age at which renewal costs least in the long run, as a root of the optimality condition.
 * Where the condition crosses several times (a falling hazard competing with a rising one) the cheapest crossing is taken.
 */
export function bestAge(life: Life, costs: AgeCosts): BestAge {
  const {planned, failure} = costs;
  const runToFailure = failure / life.restrictedMean(Infinity);
  if (!(failure > planned)) return {found: false, reason: "failure not dearer than planned", runToFailure};
  if (!(planned > 0)) return {found: false, reason: "planned renewal costs nothing", runToFailure};

  const ratio = planned / (failure - planned);
  const side = (age: number): number => optimalityAt(age, life) - ratio;
  let best: number | null = null;
  let lowest = runToFailure;
  if (life.rising === true) {
    // the condition rises with the hazard, so its only crossing can be closed in on
    let low = life.typicalAge;
    let high = low;
    while (side(high) < 0 && high < life.typicalAge * LAST) high *= 2;
    while (side(low) >= 0 && low > life.typicalAge * FIRST) low /= 2;
    if (side(high) < 0) return {found: false, reason: "hazard does not rise enough", runToFailure};
    const age = crossing(side, low, high);
    const rate = costRate(age, life, costs);
    // where the saving drowns in rounding, running to failure is as good
    if (!(rate <= runToFailure)) return {found: false, reason: "hazard does not rise enough", runToFailure};
    return {found: true, age, costRate: rate, runToFailure, saving: 1 - rate / runToFailure};
  }
  let below = life.typicalAge * FIRST;
  let sideBelow = side(below);
  for (let times = FIRST * STEP; times < LAST; times *= STEP) {
    const above = life.typicalAge * times;
    const sideAbove = side(above);
    if (sideBelow < 0 && sideAbove >= 0) {
      const age = crossing(side, below, above);
      const rate = costRate(age, life, costs);
      if (rate <= lowest) {
        lowest = rate;
        best = age;
      }
    }
    below = above;
    sideBelow = sideAbove;
  }
  if (best === null) return {found: false, reason: "hazard does not rise enough", runToFailure};
  return {found: true, age: best, costRate: lowest, runToFailure, saving: 1 - lowest / runToFailure};
}

/** Where a function that is negative at `low` and not at `high` crosses zero, by halving to the last digit. */
function crossing(f: (x: number) => number, low: number, high: number): number {
  for (let step = 0; step < 200; step++) {
    const middle = low + (high - low) / 2;
    if (middle === low || middle === high) break;
    if (f(middle) < 0) low = middle;
    else high = middle;
  }
  return low + (high - low) / 2;
}
