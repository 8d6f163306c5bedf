/**
 * Same shape? Same life? Likelihood-ratio tests across groups: separate Weibulls, a common shape, one Weibull for all
 * (Meeker & Escobar, Statistical Methods for Reliability Data, 1998, sections 17.3 and 17.4). p-values from chi-square; with
 * fewer than about five failures a group they are too small.
 */
import {chiSquareSurvival} from "./gammaFunctions.ts";
import {fitLife} from "./fitLife.ts";
import {fitRegression} from "./fitRegression.ts";
import {selectLives} from "./lifeData.ts";
import type {Family, FitOutcome, LifeData, LifeFit} from "./types.ts";

export interface GroupTest {
  readonly statistic: number;
  readonly degreesOfFreedom: number;
  readonly p: number;
}

export interface GroupComparison {
  readonly groups: readonly {readonly group: string; readonly fit: FitOutcome}[];
  readonly pooled: FitOutcome;
  /** common spread (1 / shape) and the location of each group that could be fitted */
  readonly common: {
    readonly spread: number;
    readonly shape: number;
    readonly locations: readonly number[];
    readonly logLikelihood: number;
  } | null;
  /** separate against common shape; common shape against one life; separate against one life. Null when they cannot be made */
  readonly sameShape: GroupTest | null;
  readonly sameScale: GroupTest | null;
  readonly sameLife: GroupTest | null;
  readonly cautions: readonly string[];
}

/** `group[i]` is the code of life i, an index of `names`. Groups that cannot be fitted are left out of the tests, by name. */
export function compareGroups(
  data: LifeData,
  group: ArrayLike<number>,
  names: readonly string[],
  {family = "weibull"}: {readonly family?: Family} = {},
): GroupComparison {
  const n = data.lower.length;
  if (group.length !== n)
    throw new RangeError(`compareGroups requires a group for each of ${n} lives, got ${group.length}`);
  const groups = names.map((name, code) => {
    const rows = Array.from({length: n}, (_, i) => i).filter((i) => group[i] === code);
    return {group: name, code, rows, fit: fitLife(selectLives(data, rows), {family})};
  });
  const usable = groups.filter(({fit}) => fit.fitted);
  const cautions = groups
    .filter(({fit}) => !fit.fitted)
    .map(({group: name, fit}) => `${name} is left out of the tests. ${fit.fitted ? "" : fit.sentence}`);
  const listed = groups.map(({group: name, fit}) => ({group: name, fit}));
  const nothing = {groups: listed, common: null, sameShape: null, sameScale: null, sameLife: null, cautions};
  if (usable.length < 2) {
    cautions.push("Fewer than two groups can be fitted, so there is nothing to compare.");
    return {...nothing, pooled: fitLife(data, {family})};
  }
  const rows = usable.flatMap((g) => g.rows);
  const codes = usable.flatMap((g, index) => g.rows.map(() => index));
  const kept = selectLives(data, rows);
  const pooled = fitLife(kept, {family});
  const k = usable.length;
  const separate = usable.reduce((sum, {fit}) => sum + (fit as LifeFit).logLikelihood, 0);
  const few = usable.filter(({fit}) => fit.failures < 5).map((g) => g.group);
  if (few.length > 0) cautions.push(`${few.join(", ")}: fewer than five failures; the p-values are rough.`);
  const regression = fitRegression(
    kept,
    usable.slice(1).map((g, j) => ({name: g.group, values: codes.map((code) => (code === j + 1 ? 1 : 0))})),
    {family},
  );
  if (!pooled.fitted || !regression.fitted) {
    cautions.push(pooled.fitted ? "A common shape could not be fitted." : "All lives together could not be fitted.");
    return {...nothing, pooled};
  }
  const test = (better: number, worse: number, degreesOfFreedom: number): GroupTest => {
    const statistic = Math.max(0, 2 * (better - worse));
    return {statistic, degreesOfFreedom, p: chiSquareSurvival(statistic, degreesOfFreedom)};
  };
  const [first, ...others] = regression.coefficients;
  const oneParameter = family === "exponential";
  return {
    groups: listed,
    pooled,
    common: {
      spread: regression.spread,
      shape: 1 / regression.spread,
      locations: [first!, ...others.map((b) => first! + b)],
      logLikelihood: regression.logLikelihood,
    },
    sameShape: oneParameter ? null : test(separate, regression.logLikelihood, k - 1),
    sameScale: test(regression.logLikelihood, pooled.logLikelihood, k - 1),
    sameLife: test(separate, pooled.logLikelihood, (oneParameter ? 1 : 2) * (k - 1)),
    cautions,
  };
}
