/**
 * The difference of two rates taken apart into what the mix of conditions makes and what is left at an equal mix
 * (Kitagawa, Journal of the American Statistical Association 50 (1955) 1168-1194). Both parts weigh the two groups
 * alike, so no order has to be chosen between them, and they add up exactly.
 */

/** One kind of event in both groups. */
export interface KindOfEvent {
  /** events per unit of exposure in each group */
  readonly rates: readonly [first: number, second: number];
  /** how often the event would come in each group's mix if both were alike otherwise; any common unit, above 0 */
  readonly expected: readonly [first: number, second: number];
}

export interface RateDifference {
  /** part made by the mix */
  readonly mix: number;
  /** part left at an equal mix */
  readonly rest: number;
}

/** First less second, summed over kinds of events. Equal expectations leave everything to the rest. */
export function rateDifference(kinds: readonly KindOfEvent[]): RateDifference {
  let mix = 0;
  let rest = 0;
  for (const {rates, expected} of kinds) {
    const [a, b] = expected;
    if (!(a > 0 && b > 0)) throw new RangeError(`rateDifference requires expectations > 0, got ${a} and ${b}`);
    const first = rates[0] / a;
    const second = rates[1] / b;
    mix += ((a - b) * (first + second)) / 2;
    rest += ((first - second) * (a + b)) / 2;
  }
  return {mix, rest};
}
