/**
 * Lives with one more condition, in which none of them spent an hour. Its ageing speed then rests on the effects of its mud
 * and its flow: learnt from other conditions where they were seen there, else on what is expected of them, with the width
 * of that expectation.
 */
import type {ConditionFactor} from "../statistics/conditionData.ts";
import {seededRandom} from "../statistics/random.ts";
import type {LifePosterior} from "./lifePosterior.ts";
import type {GroupLives} from "./livesFailingBy.ts";

/** The same lives where the condition is null or has been seen. */
export function withCondition(
  lives: GroupLives,
  also: {readonly mud: string; readonly regime: string} | null,
): GroupLives {
  const {muds, regimes, data} = lives;
  if (also === null || muds.some((mud, c) => mud === also.mud && regimes[c] === also.regime)) return lives;
  const n = data.lower.length;
  const wider = (at: Float64Array): Float64Array => {
    const out = new Float64Array(n * (data.cells + 1));
    for (let i = 0; i < n; i++) out.set(at.subarray(i * data.cells, (i + 1) * data.cells), i * (data.cells + 1));
    return out;
  };
  const levelFor: Readonly<Record<string, string>> = {mud: also.mud, regime: also.regime};
  return {
    ...lives,
    muds: [...muds, also.mud],
    regimes: [...regimes, also.regime],
    data: {
      ...data,
      cells: data.cells + 1,
      atEntry: wider(data.atEntry),
      atLower: wider(data.atLower),
      atUpper: wider(data.atUpper),
      factors: data.factors.map((factor) => withLevel(factor, levelFor[factor.name] ?? "")),
    },
  };
}

function withLevel({name, levels, levelOf}: ConditionFactor, level: string): ConditionFactor {
  const known = levels.indexOf(level);
  return {
    name,
    levels: known >= 0 ? levels : [...levels, level],
    levelOf: Int32Array.from([...levelOf, known >= 0 ? known : levels.length]),
  };
}

/**
 * Where the log knows one step of flow only, it can teach no slope: the last cell then ages by what is expected of one.
 *
 * @param slope how many steps away the cell is, and the log ageing speed expected of a step
 */
export function withExpectedSlope(
  posterior: LifePosterior,
  slope: {readonly steps: number; readonly mean: number; readonly deviation: number},
  seed: number,
): LifePosterior {
  const {cells, count, likeliest} = posterior;
  const random = seededRandom(seed);
  const scale = posterior.scale.slice();
  for (let d = 0; d < count; d++) {
    scale[d * cells + cells - 1]! *= Math.exp(-slope.steps * (slope.mean + slope.deviation * random.normal()));
  }
  const shift = slope.steps * slope.mean;
  const last = (values: Float64Array, change: (value: number) => number): Float64Array =>
    values.map((value, c) => (c === cells - 1 ? change(value) : value));
  return {
    ...posterior,
    scale,
    likeliest: {...likeliest, scale: last(likeliest.scale, (value) => value * Math.exp(-shift))},
    speed: last(posterior.speed, (value) => value + shift),
  };
}
