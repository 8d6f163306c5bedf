/**
 * Simulated sets of lives with a known truth: Weibull, shape 2, scale 1. Coverage does not depend on the scale, and on the
 * shape only through where suspensions and looks fall.
 */
import {lifeData} from "../../../src/statistics/lifeData.ts";
import type {Random} from "../../../src/statistics/random.ts";
import type {LifeData, Weibull} from "../../../src/statistics/types.ts";

export const TRUTH: Weibull = {shape: 2, scale: 1};

export interface Design {
  readonly name: string;
  /** lives for about this many failures */
  readonly draw: (failures: number, random: Random) => LifeData;
}

const life = (random: Random): number => TRUTH.scale * random.exponential() ** (1 / TRUTH.shape);

/** Suspension ages even over 0.2 to this: 30 % of lives fail before theirs. */
const LAST_SUSPENSION = 0.9806;

/** Every life ran to failure. */
const complete: Design = {
  name: "complete",
  draw: (failures, random) => lifeData({failed: Array.from({length: failures}, () => life(random))}),
};

/** Seven in ten taken out unfailed at ages of their own; the number of failures varies around its mean. */
const suspended: Design = {
  name: "70 % suspended",
  draw: (failures, random) => {
    const n = Math.round(failures / 0.3);
    const ends = Array.from({length: n}, () => 0.2 + (LAST_SUSPENSION - 0.2) * random.uniform());
    const lives = ends.map(() => life(random));
    return lifeData({
      lower: lives.map((t, i) => Math.min(t, ends[i]!)),
      upper: lives.map((t, i) => (t <= ends[i]! ? t : Infinity)),
    });
  },
};

/** Looked at every 0.15 to 0.45 scales; failures known to one gap only, about half of the lives renewed unfailed. */
const teardown: Design = {
  name: "found at teardown",
  draw: (failures, random) => {
    const lower: number[] = [];
    const upper: number[] = [];
    const n = Math.round(failures / 0.5);
    for (let i = 0; i < n; i++) {
      const t = life(random);
      const retired = 0.3 + 1.2 * random.uniform();
      let from = 0;
      for (;;) {
        const to = from + 0.15 + 0.3 * random.uniform();
        if (t <= to) {
          lower.push(from);
          upper.push(to);
          break;
        }
        from = to;
        if (from >= retired) {
          lower.push(from);
          upper.push(Infinity);
          break;
        }
      }
    }
    return lifeData({lower, upper});
  },
};

export const DESIGNS: readonly Design[] = [complete, suspended, teardown];
