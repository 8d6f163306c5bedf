/**
 * Lives with one more condition, in which none of them spent an hour. Its ageing speed then rests on the effects of its mud
 * and its flow: learnt from other conditions where they were seen there, else on what is expected of them, with the width
 * of that expectation.
 */
import type {ConditionFactor} from "../statistics/conditionData.ts";
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
