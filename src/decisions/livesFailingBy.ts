/** The lives of a component, with only the failures of some groups of modes counted as failures. */
import {conditionDataFor, type ConditionAnswer, type LifeTable} from "../lives/index.ts";
import {conditionFaults, selectConditionLives, type ConditionData} from "../statistics/conditionData.ts";
import {modeGroup, type ModeGroup} from "./modeGroups.ts";

export interface GroupLives extends Pick<ConditionAnswer, "muds" | "regimes"> {
  readonly data: ConditionData;
  readonly failures: number;
  /** lives whose hours do not add up, left out */
  readonly leftOut: number;
}

/**
 * A failure by another group is a suspension at the age at which the part came out. A failure without a mode counts as wear,
 * which is what most turn out to be. Failures that the shop caused never count.
 */
export function livesFailingBy(lives: LifeTable, component: string, groups: readonly ModeGroup[]): GroupLives {
  const {data, rows, muds, regimes} = conditionDataFor(lives, {component});
  const {cells} = data;
  const counts = lives.mode.words.map((code) => groups.includes(modeGroup(code)));
  const unnamed = groups.includes("wear");
  const lower = data.lower.slice();
  const upper = data.upper.slice();
  const atLower = data.atLower.slice();
  const failedIn = data.failedIn.slice();
  for (let i = 0; i < rows.length; i++) {
    const mode = lives.mode.codes[rows[i]!]!;
    if (upper[i] === Infinity || (mode < 0 ? unnamed : counts[mode] === true)) continue;
    lower[i] = upper[i]!;
    upper[i] = Infinity;
    failedIn[i] = -1;
    for (let k = i * cells; k < (i + 1) * cells; k++) atLower[k] = data.atUpper[k]!;
  }
  const cut: ConditionData = {...data, lower, upper, atLower, failedIn};
  const faulty = new Set(conditionFaults(cut).map(({row}) => row));
  const sound =
    faulty.size === 0
      ? cut
      : selectConditionLives(
          cut,
          Array.from(lower.keys()).filter((row) => !faulty.has(row)),
        );
  let failures = 0;
  for (let i = 0; i < sound.upper.length; i++) if (sound.upper[i]! < Infinity) failures += sound.weight[i]!;
  return {data: sound, muds, regimes, failures, leftOut: faulty.size};
}
