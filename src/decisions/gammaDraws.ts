/** Seeded draws of a rate from what was counted. */
import {seededRandom} from "../statistics/random.ts";

/**
 * Draws of a Poisson rate after `count` events in `exposure`: gamma of shape count + ½ (the prior of Jeffreys), which
 * puts the mean half an event above the count. All zero without exposure.
 */
export function rateDraws(count: number, exposure: number, draws: number, seed: number): Float64Array {
  if (!(exposure > 0)) return new Float64Array(draws);
  return gammaDraws(count + 0.5, draws, seed).map((value) => value / exposure);
}

/**
 * Draws of a gamma variable of scale 1, after Marsaglia & Tsang, ACM Trans. Math. Software 26 (2000) 363–372.
 *
 * @param shape > 0
 */
export function gammaDraws(shape: number, draws: number, seed: number): Float64Array {
  const values = new Float64Array(draws);
  const random = seededRandom(seed);
  // shape below 1 is reached from one above it by a power of a uniform number
  const d = (shape >= 1 ? shape : shape + 1) - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (let i = 0; i < draws; i++) {
    let value = 0;
    while (value === 0) {
      const x = random.normal();
      const v = (1 + c * x) ** 3;
      if (v > 0 && Math.log(random.uniform()) < 0.5 * x * x + d - d * v + d * Math.log(v)) value = d * v;
    }
    values[i] = shape < 1 ? value * random.uniform() ** (1 / shape) : value;
  }
  return values;
}
