/** Cell kind `families`: which life distribution describes the lives best, and whether the choice matters. */
import type {CurvePoint} from "../charts/chart.ts";
import {
  ageLimits,
  checkFit,
  fitLife,
  runToEnd,
  type Family,
  type FitCheck,
  type FitOutcome,
  type LifeData,
  type LifeFit,
  type Limits,
} from "../statistics/index.ts";
import type {CellEffects, CellKind} from "./contract.ts";
import {failuresIn, lifeGroups, sayModes} from "./lifeGroups.ts";
import {failedBy, observedPoints} from "./lifeModel.ts";
import {choiceParam, componentParam, conditionParam, modesParam, params, type Condition, type Modes} from "./params.ts";
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
} from "./say.ts";

const FAMILIES = ["weibull", "lognormal", "loglogistic", "exponential"] as const satisfies readonly Family[];
const NAMES: Readonly<Record<Family, string>> = {
  weibull: "Weibull",
  lognormal: "lognormal",
  loglogistic: "loglogistic",
  exponential: "exponential",
};
const PAPERS = {weibull: "Weibull paper", lognormal: "lognormal paper", loglogistic: "loglogistic paper"} as const;

const CHECKS = {
  none: "no check",
  simulated: "Anderson-Darling distance against simulated sets of the same lives",
} as const;
const SIMULATED = 200;

const {schema, fields} = params({
  component: componentParam(),
  modes: modesParam(),
  condition: conditionParam(),
  check: choiceParam("whether the fit of the best family is checked by simulation; it takes seconds", CHECKS, "none"),
  paper: choiceParam("paper of the plot, on which that family is straight", PAPERS, "weibull"),
});

interface Params {
  readonly component: string;
  readonly modes: Modes;
  readonly condition: Condition | null;
  readonly check: keyof typeof CHECKS;
  readonly paper: keyof typeof PAPERS;
}

interface Candidate {
  readonly family: Family;
  readonly fit: FitOutcome;
  readonly b10: {readonly age: number; readonly limits: Limits} | null;
  readonly line: readonly CurvePoint[];
}

export interface FamiliesResult {
  readonly lives: number;
  readonly failures: number;
  /** best first; families without a fit last */
  readonly candidates: readonly Candidate[];
  readonly points: ReturnType<typeof observedPoints>;
  /** of the best family; null when not asked for */
  readonly check: FitCheck | null;
}

/** An AICc this much higher leaves a family hardly supported (Burnham & Anderson, 2002, p. 70; from memory). */
const HARDLY = 10;
const CLOSE = 2;

export const families: CellKind<Params, FamiliesResult> = {
  kind: "families",
  summary: "Which life distribution describes the lives best, and how far the B10 life depends on the choice.",
  schema,
  fields,
  example: "component: seals\n",

  compute(inputs, params, effects) {
    const {groups} = lifeGroups(inputs.lives, {...params, by: "none"});
    const data = groups[0]?.data;
    if (!data)
      return {lives: 0, failures: 0, candidates: [], points: {points: [], suspensions: [], ages: []}, check: null};
    const points = observedPoints(data);
    const candidates = FAMILIES.map((family) => candidate(data, family, points.ages, inputs.settings.level));
    const aicc = ({fit}: Candidate) => (fit.fitted ? fit.aicc : Infinity);
    candidates.sort((a, b) => aicc(a) - aicc(b) || 0);
    const best = candidates[0]?.fit;
    const check = params.check === "simulated" && best?.fitted ? checked(data, best, effects) : null;
    return {lives: data.lower.length, failures: failuresIn(data), candidates, points, check};
  },

  present({lives, failures, candidates, points, check}, params, inputs) {
    const parts =
      partsOf(params.component) +
      (params.condition ? ` in ${sayCondition(params.condition.mud, params.condition.regime)}` : "");
    if (lives === 0) return onlySentence(sayNothing(`lives of ${parts}`, inputs));
    const fitted = candidates.filter((c): c is Candidate & {readonly fit: LifeFit} => c.fit.fitted);
    const [best, second] = fitted;
    if (!best)
      return onlySentence(
        `No family can be fitted to ${parts}: ${candidates[0]!.fit.fitted ? "" : candidates[0]!.fit.sentence}`,
      );
    const {unit} = clockOf(inputs.settings);
    const worse = (c: Candidate & {readonly fit: LifeFit}) => c.fit.aicc - best.fit.aicc;
    const b10s = fitted.filter((c) => worse(c) < HARDLY).flatMap(({b10}) => (b10 ? [b10.age] : []));
    const close = fitted.filter((c) => c !== best && worse(c) < CLOSE).map(({family}) => NAMES[family]);
    return {
      headline:
        `${capital(NAMES[best.family])} describes the ${parts} best (AICc ${sayNumber(best.fit.aicc)}${second ? `; ${NAMES[second.family]} ${sayNumber(worse(second))} higher` : ""})` +
        `${close.length ? `, no better than ${sayList(close)} as far as ${sayCount(failures, "failure")} can tell` : ""}. ` +
        `${best.b10 ? `Its B10 life is ${sayNumber(best.b10.age)} ${unit} (${sayLevel(inputs.settings)} ${sayLimits(best.b10.limits, unit)}); ` : ""}` +
        `${sayRange(b10s, unit)}. From ${sayModes(params.modes, failures)} among ${sayCount(lives, "life", "lives")}.${sayCheck(check, NAMES[best.family])}`,
      figures: [
        {
          name: "families",
          title: `On ${PAPERS[params.paper]}, ${close.length ? `${sayList([NAMES[best.family], ...close])} follow the points alike` : `${NAMES[best.family]} follows the points best`}`,
          caption: `Points: failures, on the curve that assumes no distribution; ticks: suspensions. ${NAMES[params.paper]} is straight on this paper. Families part most where there are no points: do not read them there.`,
          alt: fitted
            .map(
              (c) =>
                `${NAMES[c.family]}: AICc ${sayNumber(c.fit.aicc)}${c.b10 ? `, B10 life ${sayNumber(c.b10.age)} ${unit}` : ""}`,
            )
            .join("; "),
          chart: {
            kind: "probability",
            paper: params.paper,
            unit,
            series: fitted.map((c, i) => ({
              name: NAMES[c.family],
              points: i === 0 ? points.points : [],
              suspensions: i === 0 ? points.suspensions : [],
              line: c.line,
            })),
          },
        },
      ],
      tables: [
        {
          name: "families",
          title: "Families side by side",
          columns: [
            {name: "family", label: "family", values: candidates.map(({family}) => NAMES[family])},
            {
              name: "aicc",
              label: "AICc",
              format: "number",
              values: candidates.map(({fit}) => (fit.fitted ? fit.aicc : null)),
            },
            {
              name: "worse",
              label: "above the best",
              format: "number",
              values: candidates.map((c) => (c.fit.fitted ? c.fit.aicc - best.fit.aicc : null)),
            },
            {
              name: "log_likelihood",
              label: "log-likelihood",
              format: "number",
              values: candidates.map(({fit}) => (fit.fitted ? fit.logLikelihood : null)),
            },
            {
              name: "location",
              label: "location of log age",
              format: "number",
              values: candidates.map(({fit}) => (fit.fitted ? fit.location : null)),
            },
            {
              name: "spread",
              label: "spread of log age",
              format: "number",
              values: candidates.map(({fit}) => (fit.fitted ? fit.spread : null)),
            },
            {
              name: "b10",
              label: "B10 life",
              unit,
              format: "hours",
              values: candidates.map(({b10}) => b10?.age ?? null),
            },
            {
              name: "b10_lower",
              label: "lower limit",
              unit,
              format: "hours",
              values: candidates.map(({b10}) => b10?.limits[0] ?? null),
            },
            {
              name: "b10_upper",
              label: "upper limit",
              unit,
              format: "hours",
              values: candidates.map(({b10}) => b10?.limits[1] ?? null),
            },
            ...(candidates.some(({fit}) => !fit.fitted)
              ? [
                  {
                    name: "reason",
                    label: "why no fit",
                    values: candidates.map(({fit}) => (fit.fitted ? null : fit.sentence)),
                  },
                ]
              : []),
          ],
          note: `AICc weighs fit against the number of parameters; lower is better, and a difference below 2 decides nothing. ${sayLevel(inputs.settings)} by likelihood ratio.`,
        },
      ],
      cautions: [
        ...(check?.cautions ?? []),
        "The best of a few families need not be right; wear with a physical limit is why Weibull is the usual choice.",
        ...fitted.flatMap(({family, fit}) => fit.cautions.map((caution) => `${NAMES[family]}: ${caution}`)),
      ],
    };
  },
};

function checked(data: LifeData, fit: LifeFit, {progress, signal}: CellEffects): FitCheck | null {
  const check = runToEnd(checkFit(data, fit, {count: SIMULATED, seed: 1}), {
    report: (done) => progress(done, SIMULATED),
    signal,
  });
  signal.throwIfAborted();
  return check;
}

/** How far the B10 life depends on the choice among the families that stay in question. */
function sayRange(ages: readonly number[], unit: string): string {
  const [low, high] = [sayNumber(Math.min(...ages)), sayNumber(Math.max(...ages))];
  if (ages.length < 2) return "no other family stays in question";
  return low === high
    ? "the other families in question say the same"
    : `over the families that stay in question it runs from ${low} to ${high} ${unit}`;
}

/** What the simulated check says, no more than its p-value carries. */
function sayCheck(check: FitCheck | null, family: string): string {
  if (check === null || check.p === null) return "";
  const p = `p ${sayP(check.p)} from ${sayNumber(check.simulated)} simulated sets`;
  return check.p < 0.05
    ? ` Yet the lives lie further from ${family} than chance would put them (${p}).`
    : ` Nothing speaks against ${family} (${p}).`;
}

function candidate(data: LifeData, family: Family, ages: readonly number[], level: number): Candidate {
  const fit = fitLife(data, {family});
  if (!fit.fitted) return {family, fit, b10: null, line: []};
  const b10 = ageLimits(data, fit, 0.1, {level});
  return {
    family,
    fit,
    b10: {age: b10.estimate, limits: b10.limits},
    line: ages.map((age) => ({age, estimate: failedBy(fit, age), lower: null, upper: null})),
  };
}
