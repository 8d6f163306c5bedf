/** Cell kind `families`: which life distribution describes the lives best, and whether the choice matters. */
import {checkFit, runToEnd, type FitCheck, type LifeData, type LifeFit} from "../statistics/index.ts";
import {livesBehind, stepsBehind} from "./behind.ts";
import type {CellEffects, CellInputs, CellKind, Figure} from "./contract.ts";
import {
  aiccOf,
  candidates as candidatesOf,
  isFitted,
  NAMES,
  ranked as rankedOf,
  RANK_NAME,
  threshold as thresholdOf,
  THRESHOLD_NAME,
  type Candidate,
  type Fitted,
  type Ranked,
  type Threshold,
} from "./familyFits.ts";
import {familyTables} from "./familyTables.ts";
import {failuresIn, lifeGroups, sayModes} from "./lifeGroups.ts";
import {observedPoints} from "./lifeModel.ts";
import {choiceParam, componentParam, conditionParam, modesParam, params, type Condition, type Modes} from "./params.ts";
import {residualFigure} from "./residualFigure.ts";
import {residualSteps, type ResidualSteps} from "./residualSteps.ts";
import {
  capital,
  clockOf,
  onlySentence,
  partsOf,
  sayCondition,
  sayCount,
  sayLevel,
  sayLimits,
  sayList,
  sayNothing,
  sayNumber,
  sayP,
  sayMoreFailures,
  uncapital,
} from "./say.ts";
import {tellLife} from "./tellLife.ts";

const PAPERS = {weibull: "Weibull paper", lognormal: "lognormal paper", loglogistic: "loglogistic paper"} as const;
const RESIDUALS = {best: "of the best family", ...NAMES} as const;
const CHECKS = {
  none: "no check",
  simulated: "Anderson-Darling distance against simulated sets of the same lives",
} as const;
const SIMULATED = 200;

const {schema, fields} = params({
  component: componentParam(),
  modes: modesParam(),
  condition: conditionParam(),
  residuals: choiceParam("family whose residuals are drawn", RESIDUALS, "best"),
  check: choiceParam("whether the fit of the best family is checked by simulation; it takes seconds", CHECKS, "none"),
  paper: choiceParam("paper of the plot, on which that family is straight", PAPERS, "weibull"),
});

interface Params {
  readonly component: string;
  readonly modes: Modes;
  readonly condition: Condition | null;
  readonly residuals: keyof typeof RESIDUALS;
  readonly check: keyof typeof CHECKS;
  readonly paper: keyof typeof PAPERS;
}

export interface FamiliesResult {
  readonly lives: number;
  readonly failures: number;
  /** oldest age seen, failed or not */
  readonly oldest: number;
  /** best first; families without a fit last */
  readonly candidates: readonly Candidate[];
  readonly threshold: Threshold;
  readonly ranked: Ranked | null;
  readonly points: ReturnType<typeof observedPoints>;
  /** rows of the life table and the ages by which each has failed, Infinity for a suspension */
  readonly rows: Int32Array;
  readonly upper: Float64Array;
  /** of the family asked for; null when it has no fit */
  readonly residuals: {readonly name: string; readonly found: ResidualSteps} | null;
  /** of the best family; null when not asked for */
  readonly check: FitCheck | null;
}

/** An AICc this much higher leaves a family hardly supported (Burnham & Anderson, 2002, p. 70; from memory). */
const HARDLY = 10;
const CLOSE = 2;

export const families: CellKind<Params, FamiliesResult> = {
  kind: "families",
  summary: "Which life distribution describes the lives best, how far the B10 life depends on the choice, residuals.",
  schema,
  fields,
  example: "component: seals\n",

  compute(inputs, params, effects) {
    const {groups} = lifeGroups(inputs.lives, {...params, by: "none"});
    const group = groups[0];
    if (!group) return NOTHING;
    const {data, rows} = group;
    const {level} = inputs.settings;
    const points = observedPoints(data);
    const candidates = candidatesOf(data, points.ages, level);
    effects.signal.throwIfAborted();
    const threshold = thresholdOf(data, points.ages, level);
    effects.signal.throwIfAborted();
    const fitted = candidates.filter(isFitted);
    const best = fitted[0];
    const chosen = params.residuals === "best" ? best : fitted.find(({family}) => family === params.residuals);
    return {
      lives: data.lower.length,
      failures: failuresIn(data),
      oldest: points.ages.at(-1) ?? 0,
      candidates,
      threshold,
      ranked: rankedOf(data),
      points,
      rows,
      upper: data.upper,
      residuals: chosen ? {name: NAMES[chosen.family], found: residualSteps(data, chosen.fit, level)} : null,
      check: params.check === "simulated" && best ? checked(data, best.fit, effects) : null,
    };
  },

  present(result, params, inputs) {
    const {lives, failures, candidates, residuals, check} = result;
    const parts =
      partsOf(params.component) +
      (params.condition ? ` in ${sayCondition(params.condition.mud, params.condition.regime)}` : "");
    if (lives === 0) return onlySentence(sayNothing(`lives of ${parts}`, inputs));
    const fitted = candidates.filter(isFitted);
    const [best] = fitted;
    if (!best)
      return onlySentence(
        `No family can be fitted to ${parts}: ${candidates[0]!.fit.fitted ? "" : uncapital(candidates[0]!.fit.sentence)} ${sayMoreFailures(inputs)}`,
      );
    const {unit} = clockOf(inputs.settings);
    const level = sayLevel(inputs.settings);
    const words: Words = {
      parts,
      unit,
      level,
      counts: `${sayModes(params.modes, failures)} among ${sayCount(lives, "life", "lives")}`,
    };
    const drawn = residuals && residuals.found.steps.length > 0 ? residuals : null;
    return {
      headline: headlineOf(result, fitted, words),
      figures: [
        plotOf(result, fitted, params.paper, words, inputs),
        ...(drawn
          ? [
              residualFigure(residualsBehind(drawn.found, result, inputs), {
                ...words,
                name: drawn.name,
                failures,
                checked: check !== null && drawn.name === NAMES[best.family],
              }),
            ]
          : []),
      ],
      tables: familyTables(result, {unit, level, lives}),
      cautions: [
        ...(check?.cautions ?? []),
        "The best of a few families need not be right; wear with a physical limit is why Weibull is the usual choice.",
        ...beyondOldest(result, fitted, unit),
        ...thresholdCautions(result),
        ...rankCautions(result, words),
        ...residualCautions(result, params.residuals),
        ...fitted.flatMap(({family, fit, cautions}) =>
          [...new Set([...fit.cautions, ...cautions])].map((caution) => `${capital(NAMES[family])}: ${caution}`),
        ),
      ],
    };
  },
};

const NOTHING: FamiliesResult = {
  lives: 0,
  failures: 0,
  oldest: 0,
  candidates: [],
  threshold: {shown: false, sentence: null},
  ranked: null,
  points: {points: [], suspensions: [], ages: []},
  rows: new Int32Array(0),
  upper: new Float64Array(0),
  residuals: null,
  check: null,
};

interface Words {
  readonly parts: string;
  readonly unit: string;
  readonly level: string;
  readonly counts: string;
}

/** AICc above that of the best family; null where either has none. */
function worse(candidate: Fitted, best: Fitted): number | null {
  const [own, least] = [aiccOf(candidate), aiccOf(best)];
  return own === null || least === null ? null : own - least;
}

const closeTo = (best: Fitted, fitted: readonly Fitted[]): string[] =>
  fitted.filter((c) => c !== best && (worse(c, best) ?? Infinity) < CLOSE).map(({family}) => NAMES[family]);

function headlineOf(
  {failures, threshold, check, lives}: FamiliesResult,
  fitted: readonly Fitted[],
  {parts, unit, level, counts}: Words,
): string {
  const [best, second] = fitted as [Fitted, ...Fitted[]];
  const name = NAMES[best.family];
  const aicc = aiccOf(best);
  const b10 = best.b10
    ? `B10 life is ${sayNumber(best.b10.age)} ${unit} (${level} ${sayLimits(best.b10.limits, unit)})`
    : "";
  const ages = (some: readonly Fitted[]) => some.flatMap((c) => (c.b10 ? [c.b10.age] : []));
  if (aicc === null) {
    const others = ages(fitted);
    return (
      `${capital(sayCount(lives, "life", "lives"))} of ${parts} ${lives === 1 ? "is" : "are"} too few to choose a family (AICc needs more lives than parameters). ` +
      `By ${name} the ${b10}; ${others.length < 2 ? "no other family can be fitted" : sayRange(others, unit, "families that can be fitted")}. From ${counts}.${sayCheck(check, name)}`
    );
  }
  const close = closeTo(best, fitted);
  const behind = second ? worse(second, best) : null;
  const inQuestion = ages(fitted.filter((c) => (worse(c, best) ?? Infinity) < HARDLY));
  return (
    `${fitted.length === 1 ? `Only the ${name} can be fitted to the ${parts}` : `${capital(name)} describes the ${parts} best of ${fitted.length} families`} (AICc ${sayNumber(aicc)}${second && behind !== null ? `; ${NAMES[second.family]} ${sayNumber(behind)} higher` : ""})` +
    `${close.length ? `, no better than ${sayList(close)} as far as ${sayCount(failures, "failure")} can tell` : ""}. ` +
    `Its ${b10}; ${sayRange(inQuestion, unit, "families that stay in question")}. From ${counts}.` +
    `${sayThreshold(threshold, aicc, {unit, level})}${sayCheck(check, name)}`
  );
}

function plotOf(
  {points, threshold, rows}: FamiliesResult,
  fitted: readonly Fitted[],
  paper: keyof typeof PAPERS,
  {unit, counts}: Words,
  inputs: CellInputs,
): Figure {
  const failures = points.points.map((point) => {
    const row = rows[point.life]!;
    const mark = `${tellLife(inputs, row)}, ${sayNumber(point.age)} ${unit}`;
    return {...point, behind: livesBehind(inputs, inputs.lives, [row], {mark})};
  });
  const best = fitted[0]!;
  const follow = [NAMES[best.family], ...closeTo(best, fitted)];
  const title =
    aiccOf(best) === null
      ? `On ${PAPERS[paper]}, too few lives to tell the families apart`
      : follow.length > 1
        ? `On ${PAPERS[paper]}, ${sayList(follow)} follow the points alike`
        : `On ${PAPERS[paper]}, ${follow[0]!} follows the points best`;
  const lines = fitted.map((c, i) => ({
    name: NAMES[c.family],
    points: i === 0 ? failures : [],
    suspensions: i === 0 ? points.suspensions : [],
    line: c.line,
  }));
  if (threshold.shown) lines.push({name: THRESHOLD_NAME, points: [], suspensions: [], line: threshold.line});
  return {
    name: "families",
    title,
    caption: `Points: failures, on the curve that assumes no distribution; ticks: suspensions. ${capital(NAMES[paper])} is straight on this paper. Families part most where there are no points: do not read them there. ${capital(counts)}.`,
    alt: fitted
      .map(({family, fit, b10}) => {
        const aicc = aiccOf({fit});
        return `${NAMES[family]}: AICc ${aicc === null ? "none" : sayNumber(aicc)}${b10 ? `, B10 life ${sayNumber(b10.age)} ${unit}` : ""}`;
      })
      .join("; "),
    chart: {kind: "probability", paper, unit, series: lines},
  };
}

/** Steps of the residuals with the failures that make each. */
function residualsBehind(found: ResidualSteps, {rows, upper}: FamiliesResult, inputs: CellInputs): ResidualSteps {
  const {unit} = clockOf(inputs.settings);
  const failed = Array.from(rows, (row, i) => ({row, age: upper[i]!})).filter(({age}) => age < Infinity);
  const steps = stepsBehind(found.steps, failed, (some, age) =>
    livesBehind(inputs, inputs.lives, some, {
      mark: `residual at ${sayNumber(age)} ${unit}`,
      one: "life that ended there",
      many: "lives that ended there",
    }),
  );
  return {...found, steps};
}

function checked(data: LifeData, fit: LifeFit, {progress, signal}: CellEffects): FitCheck | null {
  const check = runToEnd(checkFit(data, fit, {count: SIMULATED, seed: 1}), {
    report: (done) => progress(done, SIMULATED),
    signal,
  });
  signal.throwIfAborted();
  return check;
}

/** How far the B10 life depends on the choice among some families. */
function sayRange(ages: readonly number[], unit: string, which: string): string {
  const [low, high] = [sayNumber(Math.min(...ages)), sayNumber(Math.max(...ages))];
  if (ages.length < 2) return "no other family stays in question";
  return low === high ? `the other ${which} say the same` : `over the ${which} it runs from ${low} to ${high} ${unit}`;
}

/** A threshold is told only where the lives show one and it fits clearly closer. */
function sayThreshold(threshold: Threshold, best: number, {unit, level}: Pick<Words, "unit" | "level">): string {
  if (!threshold.shown) return "";
  const {fit} = threshold;
  const gain = best - fit.aicc;
  if (!(gain > CLOSE) || !((fit.thresholdLimits[0] ?? 0) > 0)) return "";
  return ` A Weibull without failures before ${sayNumber(fit.threshold)} ${unit} (${level} ${sayLimits(fit.thresholdLimits, unit)}) follows the lives closer still, AICc ${sayNumber(gain)} lower; read its caution before using it.`;
}

/** What the simulated check says, no more than its p-value carries. */
function sayCheck(check: FitCheck | null, family: string): string {
  if (check === null || check.p === null) return "";
  const p = `p ${sayP(check.p)} from ${sayNumber(check.simulated)} simulated sets`;
  return check.p < 0.05
    ? ` Yet the lives lie further from ${family} than chance would put them (${p}).`
    : ` Nothing speaks against ${family} (${p}).`;
}

/** A B10 life past every life seen is the family's word alone. */
function beyondOldest({oldest}: FamiliesResult, fitted: readonly Fitted[], unit: string): string[] {
  const past = fitted.filter(({b10}) => b10 !== null && b10.age > oldest).map(({family}) => NAMES[family]);
  return past.length === 0
    ? []
    : [
        `The B10 life by ${sayList(past)} lies beyond the oldest part seen (${sayNumber(oldest)} ${unit}); it leans on the family, not on lives.`,
      ];
}

function thresholdCautions({threshold}: FamiliesResult): string[] {
  if (!threshold.shown) return threshold.sentence === null ? [] : [threshold.sentence];
  return [
    ...threshold.fit.cautions,
    "Parts of several conditions or makes taken together can look like a threshold; try the cell on one condition before believing it.",
  ].map((caution) => `${THRESHOLD_NAME}: ${caution}`);
}

function rankCautions({ranked, candidates, failures}: FamiliesResult, {unit}: Words): string[] {
  if (!ranked)
    return failures > 0 && candidates.some((c) => c.family === "weibull" && c.fit.fitted)
      ? [
          `${RANK_NAME} is left out: it needs failures at two ages or more, and no more lives than can be ranked one by one.`,
        ]
      : [];
  const weibull = candidates.find(({family}) => family === "weibull");
  const beside = weibull?.b10
    ? ` Its B10 life of ${sayNumber(ranked.b10)} ${unit} stands beside ${sayNumber(weibull.b10.age)} ${unit} by likelihood.`
    : "";
  return [
    ...ranked.fit.cautions,
    `It differs because every ranked failure weighs the same in its line, and a suspension counts only by the failures it stands between, not by its age.${beside}`,
  ].map((caution) => (caution.startsWith("Rank regression") ? caution : `Rank regression: ${caution}`));
}

function residualCautions({residuals}: FamiliesResult, asked: keyof typeof RESIDUALS): string[] {
  if (residuals === null) return [`No residuals of ${asked}: it could not be fitted; the table says why.`];
  if (residuals.found.steps.length === 0)
    return [`No residuals of ${residuals.name} are drawn: the lives alone show no hazard at any age.`];
  return ["Residuals come from the lives the fit was made of, so they keep nearer the diagonal than new lives would."];
}
