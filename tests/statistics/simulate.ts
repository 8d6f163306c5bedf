/** Seeded fleets for tests: lives spent under several conditions, with their true effects. */
import type {ConditionData} from "../../src/statistics/conditionData.ts";
import {seededRandom} from "../../src/statistics/random.ts";

export {seededRandom} from "../../src/statistics/random.ts";

export interface Scenario {
  readonly lives: number;
  readonly seed: number;
  /** log ageing speed of each level of two factors, as muds and regimes would have */
  readonly first: readonly number[];
  readonly second: readonly number[];
  readonly shape: number;
  readonly scale: number;
  /** chance that a stretch is spent in the life's own cell rather than in any other */
  readonly loyalty: number;
  /** mean age at which an unfailed life is taken out */
  readonly removal: number;
  /** chance that a failure is found exactly rather than between two looks */
  readonly exact: number;
}

/** Lives of stretches of 20 to 80 hours, each in one cell; failed when the effective age reaches its Weibull draw. */
export function conditionFleet(scenario: Scenario, interaction: (cell: number) => number = () => 0): ConditionData {
  const {lives: n, first, second, shape, scale, loyalty, removal, exact} = scenario;
  const random = seededRandom(scenario.seed);
  const cells = first.length * second.length;
  const speed = (c: number): number =>
    Math.exp(first[Math.floor(c / second.length)]! + second[c % second.length]! + interaction(c));
  const lower = new Float64Array(n);
  const upper = new Float64Array(n);
  const atLower = new Float64Array(n * cells);
  const atUpper = new Float64Array(n * cells);
  const failedIn = new Int32Array(n).fill(-1);
  for (let i = 0; i < n; i++) {
    const draw = scale * random.exponential() ** (1 / shape);
    const home = random.below(cells);
    const end = removal * (0.3 + 1.4 * random.uniform());
    const hours = new Float64Array(cells);
    let age = 0;
    let effective = 0;
    for (;;) {
      const c = random.uniform() < loyalty ? home : random.below(cells);
      const length = 20 + 60 * random.uniform();
      const found = random.uniform() < exact;
      const fails = effective + length * speed(c) >= draw;
      if (fails && found) {
        const last = (draw - effective) / speed(c);
        hours[c]! += last;
        age += last;
        failedIn[i] = c;
      }
      lower[i] = age;
      atLower.set(hours, i * cells);
      if (!(fails && found)) {
        hours[c]! += length;
        age += length;
        effective += length * speed(c);
      }
      atUpper.set(hours, i * cells);
      upper[i] = age;
      if (fails) break;
      if (age > end) {
        lower[i] = age;
        upper[i] = Infinity;
        atLower.set(hours, i * cells);
        break;
      }
    }
  }
  return {
    lower,
    upper,
    entry: new Float64Array(n),
    weight: new Float64Array(n).fill(1),
    cells,
    atEntry: new Float64Array(n * cells),
    atLower,
    atUpper,
    failedIn,
    factors: [
      {
        name: "first",
        levels: first.map((_, i) => `a${i}`),
        levelOf: Int32Array.from({length: cells}, (_, c) => Math.floor(c / second.length)),
      },
      {
        name: "second",
        levels: second.map((_, i) => `b${i}`),
        levelOf: Int32Array.from({length: cells}, (_, c) => c % second.length),
      },
    ],
  };
}
