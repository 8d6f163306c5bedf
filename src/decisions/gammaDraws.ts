/** Seeded draws of a rate from what was counted. */
import {seededRandom} from "../statistics/random.ts";

/**
 * Draws of a Poisson rate after `count` events in `exposure`: gamma of shape count + ½ (the prior of Jeffreys), which
 * puts the mean half an event above the count. All zero without exposure.
 * Gamma numbers by Marsaglia & Tsang, ACM Trans. Math. Software 26 (2000) 363–372.
 */
export function rateDraws(count: number, exposure: number, draws: number, seed: number): Float64Array {
  const rates = new Float64Array(draws);
  if (!(exposure > 0)) return rates;
  const random = seededRandom(seed);
  // shape below 1 is reached from one above it by a power of a uniform number
  const shape = count + 0.5 >= 1 ? count + 0.5 : count + 1.5;
  const d = shape - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (let i = 0; i < draws; i++) {
    let value = 0;
    while (value === 0) {
      const x = random.normal();
      const v = (1 + c * x) ** 3;
      if (v > 0 && Math.log(random.uniform()) < 0.5 * x * x + d - d * v + d * Math.log(v)) value = d * v;
    }
    if (count + 0.5 < 1) value *= random.uniform() ** (1 / (count + 0.5));
    rates[i] = value / exposure;
  }
  return rates;
}
