/** Cell kind `conditions`: how much faster each mud and flow ages a component, from all its lives, mixed ones too. */
import {wordAt} from "../../shared/columnar.ts";
import {conditionDataFor} from "../lives/index.ts";
import {
  ageLimits,
  fitConditions,
  fitLife,
  normalQuantile,
  quantile,
  type CellLife,
  type ConditionEffect,
  type ConditionFit,
  type Limits,
  type NoFit,
} from "../statistics/index.ts";
import {livesBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {livesOfEveryCondition, unknownConditions} from "./inView.ts";
import {countedModes, failuresIn, lifeGroups, sayModes} from "./lifeGroups.ts";
import {componentParam, modesParam, numberParam, params, type Modes} from "./params.ts";
import {
  capital,
  clockOf,
  onlySentence,
  partsOf,
  sayCondition,
  sayCount,
  sayLevel,
  sayLimits,
  sayNothing,
  sayNumber,
  sayPercent,
  sayRegimes,
  sayMoreFailures,
  uncapital,
} from "./say.ts";

const {schema, fields} = params({
  component: componentParam(),
  modes: modesParam(),
  failed: numberParam("fraction failed at the age that is told; 0.1 is the B10 life", {
    min: 0.001,
    max: 0.9,
    fallback: 0.1,
  }),
});

interface Params {
  readonly component: string;
  readonly modes: Modes;
  readonly failed: number;
}

/** A part that spends all its time in one mud and flow. */
export interface ConditionRow {
  readonly mud: string;
  readonly regime: string;
  readonly age: number;
  readonly limits: readonly [number, number];
  readonly scale: number;
  readonly exposure: number;
  readonly failures: number;
  /** the same age from lives of this condition alone, to check the model against; null where they allow no fit */
  readonly alone: {readonly age: number; readonly limits: Limits; readonly failures: number} | null;
}

export interface ConditionsResult {
  readonly fit: ConditionFit | NoFit;
  readonly lives: number;
  readonly rows: readonly ConditionRow[];
  readonly assumedMix: number;
}

/** Fewer failures than this make no fit to check a model against. */
const LEAST_ALONE = 5;

export const conditions: CellKind<Params, ConditionsResult> = {
  kind: "conditions",
  summary: "How much faster each mud and flow ages a component, and the life it predicts for every condition.",
  schema,
  fields,
  example: "component: seals\n",

  compute(inputs, {component, modes, failed}, effects) {
    const make = (): ConditionsResult => {
      const {data, muds, regimes, assumedMix} = conditionDataFor(livesOfEveryCondition(inputs), {
        component,
        ...countedModes(component, modes),
      });
      const {level} = inputs.settings;
      const fit = fitConditions(data, {level});
      const alone = fit.fitted
        ? fitsAlone(inputs, {component, modes, failed})
        : new Map<string, ConditionRow["alone"]>();
      const rows = fit.fitted
        ? fit.cells.map((cell, k) => ({
            mud: muds[k]!,
            regime: regimes[k]!,
            ...ageIn(cell, failed, level),
            scale: cell.weibull.scale,
            exposure: cell.exposure,
            failures: cell.failures,
            alone: alone.get(`${muds[k]} ${regimes[k]}`) ?? null,
          }))
        : [];
      return {fit, lives: data.lower.length, rows, assumedMix};
    };
    const {mud: _mud, regime: _regime, ...rest} = inputs.where;
    const key = JSON.stringify(["conditions", component, modes, failed, rest]);
    return effects.memo ? effects.memo(key, make) : make();
  },

  present({fit, lives, rows, assumedMix}, params, inputs) {
    const {where} = inputs;
    if (lives === 0) return onlySentence(sayNothing(`lives of ${partsOf(params.component)}`, inputs));
    if (!fit.fitted)
      return onlySentence(
        `No condition effects of ${partsOf(params.component)}: ${uncapital(fit.sentence)} ${sayMoreFailures(inputs)}`,
      );
    const wanted = (list: readonly string[] | undefined, code: string) =>
      list === undefined || list.length === 0 || list.includes(code);
    const shown = rows
      .filter(({mud, regime}) => wanted(where.mud, mud) && wanted(where.regime, regime))
      .sort((a, b) => a.age - b.age);
    if (shown.length === 0) return onlySentence(sayNothing(`conditions of ${partsOf(params.component)}`, inputs));
    return {
      headline: headlineOf(fit, shown, params, inputs),
      figures: [
        ...(fit.effects.some(({reference}) => !reference) ? [effectsFigure(fit, params, inputs)] : []),
        livesFigure(fit, shown, params, inputs),
      ],
      tables: [effectsTable(fit, inputs), livesTable(shown, params, inputs)],
      cautions: [
        ...unknownConditions(inputs),
        ...fit.cautions.map((caution) => inWords(caution, fit.effects)),
        ...(assumedMix > 0
          ? [
              `${sayCount(assumedMix, "life", "lives")} began before the log or with a used part; those hours are taken to have been spent as the rest of the life was.`,
            ]
          : []),
        "Mud and flow are taken to act apart: the model has no effect of one mud at one flow alone. Temperature, sand and depth are not in it and may stand behind a mud.",
      ],
    };
  },
};

/**
 * Age by which a fraction has failed, with limits on its logarithm: log age = log scale + c / shape, c = log(-log(1 − p)),
 * by the delta method on (log scale, log shape).
 */
function ageIn(
  {weibull, covariance: [[v11, v12], [, v22]]}: CellLife,
  p: number,
  level: number,
): {readonly age: number; readonly limits: readonly [number, number]} {
  const slope = -Math.log(-Math.log1p(-p)) / weibull.shape;
  const error = Math.sqrt(Math.max(0, v11 + 2 * slope * v12 + slope * slope * v22));
  const z = normalQuantile((1 + level) / 2);
  const age = quantile(p, weibull);
  return {age, limits: [age * Math.exp(-z * error), age * Math.exp(z * error)]};
}

/** Separate fits of the lives that each condition has to itself, with enough failures to mean something. */
function fitsAlone(inputs: CellInputs, {component, modes, failed}: Params): Map<string, ConditionRow["alone"]> {
  const lives = livesOfEveryCondition(inputs);
  const {groups} = lifeGroups(lives, {component, modes, by: "condition", condition: null});
  const found = new Map<string, ConditionRow["alone"]>();
  for (const {data, rows} of groups) {
    const failures = failuresIn(data);
    const fit = failures >= LEAST_ALONE ? fitLife(data) : null;
    if (!fit?.fitted || rows.length === 0) continue;
    const {estimate, limits} = ageLimits(data, fit, failed, {level: inputs.settings.level});
    found.set(`${wordAt(lives.mud, rows[0]!)} ${wordAt(lives.regime, rows[0]!)}`, {age: estimate, limits, failures});
  }
  return found;
}

const lifeName = (failed: number): string => `B${sayNumber(failed * 100)} life`;
const speed = ({estimate}: ConditionEffect): number => Math.exp(estimate);
const speedLimits = ({limits: [lower, upper]}: ConditionEffect): readonly [number, number] => [
  Math.exp(lower),
  Math.exp(upper),
];
/** `1.35 times as fast as`, `at 0.53 of the pace of` */
const pace = (effect: ConditionEffect): string =>
  speed(effect) >= 1 ? `${sayNumber(speed(effect))} times as fast as` : `at ${sayNumber(speed(effect))} of the pace of`;
const levelName = ({factor, level}: ConditionEffect): string =>
  factor === "regime" ? sayCondition(null, level) : factor === "mud" ? sayCondition(level, null) : (level ?? factor);

/** The statistics name levels by code; a reader knows them by word. */
function inWords(caution: string, effects: readonly ConditionEffect[]): string {
  const words = new Map(
    effects.flatMap((effect) => (effect.level === null ? [] : [[effect.level, levelName(effect)] as const])),
  );
  return caution.replace(/[\w-]+/g, (word) => words.get(word) ?? word);
}

/** Effects of a factor that the limits set apart from none, the strongest first. */
function shown(effects: readonly ConditionEffect[]): readonly ConditionEffect[] {
  return effects
    .filter(({reference, limits: [lower, upper]}) => !reference && (lower > 0 || upper < 0))
    .sort((a, b) => Math.abs(b.estimate) - Math.abs(a.estimate));
}

/** A condition that the log names; an average over unknown ones is shown, not told. */
const isNamed = ({mud, regime}: ConditionRow): boolean => mud !== "UNK" && regime !== "unknown";

/** The hardest condition, where its limits stand clear of the kindest's; null where they do not. */
function hardest(rows: readonly ConditionRow[]): {readonly worst: ConditionRow; readonly best: ConditionRow} | null {
  const named = rows.filter(isNamed);
  const [worst, best] = [named[0], named.at(-1)];
  return worst && best && worst.limits[1] < best.limits[0] ? {worst, best} : null;
}

function headlineOf(
  fit: ConditionFit,
  rows: readonly ConditionRow[],
  {component, modes, failed}: Params,
  {settings}: CellInputs,
): string {
  const {unit} = clockOf(settings);
  const say = (row: ConditionRow) =>
    `${sayNumber(row.age)} ${unit} in ${sayCondition(row.mud, row.regime)} (${sayLimits(row.limits)})`;
  const strong = shown(fit.effects).slice(0, 3);
  const named = rows.some(isNamed) ? rows.filter(isNamed) : rows;
  const referenceOf = (factor: string) => fit.effects.find((effect) => effect.factor === factor && effect.reference);
  const told = strong.map((effect) => {
    const reference = referenceOf(effect.factor);
    return `${levelName(effect)} ages them ${pace(effect)} ${reference ? levelName(reference) : "the reference"} (${sayLimits(speedLimits(effect))})`;
  });
  const life = `The ${lifeName(failed)} of ${partsOf(component)}`;
  const spread =
    named.length > 1 ? `${life} runs from ${say(named[0]!)} to ${say(named.at(-1)!)}` : `${life} is ${say(named[0]!)}`;
  return (
    `${spread}, with ${sayLevel(settings)}. ${
      told.length
        ? `${capital(told.join("; "))}.`
        : fit.effects.every(({reference}) => reference)
          ? "All their hours were spent in one mud and flow, so no effect of either can be told."
          : "No mud and no flow is shown to age them faster or slower than the reference."
    } ` +
    `From ${sayModes(modes, fit.failures)} among ${sayCount(fit.lives, "life", "lives")}, those spent in several conditions included.`
  );
}

function effectsFigure(fit: ConditionFit, {component}: Params, inputs: CellInputs): Figure {
  const {settings} = inputs;
  const [strongest] = shown(fit.effects);
  const rows = fit.effects.filter(({reference}) => !reference);
  const behind = hoursIn(component, inputs);
  const references = fit.effects
    .filter(({reference}) => reference)
    .map(levelName)
    .join(" and ");
  const own = fit.effects.find(({factor, reference}) => reference && factor === strongest?.factor);
  return {
    name: "effects",
    title: strongest
      ? `${capital(levelName(strongest))} ages ${partsOf(component)} ${pace(strongest)} ${own ? levelName(own) : references}`
      : `No condition is shown to age ${partsOf(component)} faster`,
    caption: `${capital(sayCount(fit.failures, "failure"))} among ${sayCount(fit.lives, "life", "lives")}. How many times as fast a part ages as in ${references}; ${sayLevel(settings)}. Effects are drawn toward none by a prior whose width the lives set themselves (${fit.widths.map(({factor, width}) => `${factor === "regime" ? "flow" : factor}: a factor of ${sayNumber(Math.exp(width))}`).join(", ")}). Flow: ${sayRegimes(inputs)}.`,
    alt: rows
      .map((effect) => `${levelName(effect)}: ${sayNumber(speed(effect))} (${sayLimits(speedLimits(effect))})`)
      .join("; "),
    chart: {
      kind: "dots",
      label: "times as fast as the reference, log scale",
      unit: "",
      reference: 1,
      log: true,
      rows: rows.map((effect) => ({
        name: levelName(effect),
        group: effect.factor,
        value: speed(effect),
        lower: speedLimits(effect)[0],
        upper: speedLimits(effect)[1],
        behind: behind(effect.factor === "mud" ? {mud: effect.level} : {regime: effect.level}, levelName(effect)),
        note: `${sayCount(Math.round(effect.failures), "failure")}`,
      })),
    },
  };
}

/** Lives of a component with hours in a mud, a flow regime or both; looked for once. */
function hoursIn(component: string, inputs: CellInputs) {
  const lives = livesOfEveryCondition(inputs);
  const {offsets, hours, mud, regime, muds, regimes} = lives.exposure;
  const found = new Map<string, number[]>();
  const note = (key: string, life: number): void => {
    const rows = found.get(key);
    if (rows === undefined) found.set(key, [life]);
    else if (rows.at(-1) !== life) rows.push(life);
  };
  const code = lives.component.words.indexOf(component);
  for (let life = 0; life < lives.rows; life++) {
    if (lives.component.codes[life] !== code) continue;
    for (let s = offsets[life]!; s < offsets[life + 1]!; s++) {
      if (!(hours[s]! > 0)) continue;
      const [inMud, inRegime] = [muds[mud[s]!], regimes[regime[s]!]];
      note(keyOf(inMud, null), life);
      note(keyOf(null, inRegime), life);
      note(keyOf(inMud, inRegime), life);
    }
  }
  return (wanted: {readonly mud?: string | null; readonly regime?: string | null}, mark: string) =>
    livesBehind(inputs, lives, found.get(keyOf(wanted.mud, wanted.regime)) ?? [], {
      mark,
      one: "life with hours there",
      many: "lives with hours there",
    });
}

const keyOf = (mud: string | null | undefined, regime: string | null | undefined): string =>
  `${mud ?? ""}|${regime ?? ""}`;

function livesFigure(
  fit: ConditionFit,
  rows: readonly ConditionRow[],
  {component, failed}: Params,
  inputs: CellInputs,
): Figure {
  const {settings} = inputs;
  const {unit} = clockOf(settings);
  const behind = hoursIn(component, inputs);
  const apart = hardest(rows);
  return {
    name: "predicted",
    title: apart
      ? `${capital(partsOf(component))} live shortest in ${sayCondition(apart.worst.mud, apart.worst.regime)}, longest in ${sayCondition(apart.best.mud, apart.best.regime)}`
      : `No condition is shown to be harder on ${partsOf(component)} than the others`,
    caption: `${capital(sayCount(fit.failures, "failure"))} among ${sayCount(fit.lives, "life", "lives")}. Predicted ${lifeName(failed)} of a part that spends all its hours in one condition; ${sayLevel(settings)}, what the conditions lend each other included. Shape ${sayNumber(fit.shape)} for all. To the right: failures and exposure there.`,
    alt: rows
      .map((row) => `${sayCondition(row.mud, row.regime)}: ${sayNumber(row.age)} ${unit} (${sayLimits(row.limits)})`)
      .join("; "),
    chart: {
      kind: "dots",
      label: `${lifeName(failed)}, log scale`,
      unit,
      reference: null,
      log: true,
      rows: rows.map((row) => ({
        name: sayCondition(row.mud, row.regime),
        group: row.mud,
        value: row.age,
        lower: row.limits[0],
        upper: row.limits[1],
        behind: behind(row, sayCondition(row.mud, row.regime)),
        note: `${sayNumber(Math.round(row.failures))} in ${sayNumber(Math.round(row.exposure))} ${unit}`,
      })),
    },
  };
}

function effectsTable({effects}: ConditionFit, {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  return {
    name: "effects",
    title: "Condition effects",
    columns: [
      {name: "factor", label: "factor", values: effects.map(({factor}) => (factor === "regime" ? "flow" : factor))},
      {
        name: "level",
        label: "level",
        values: effects.map((effect) => levelName(effect) + (effect.reference ? " (reference)" : "")),
      },
      {name: "speed", label: "times as fast", format: "number", values: effects.map(speed)},
      {
        name: "lower",
        label: "lower limit",
        format: "number",
        values: effects.map((effect) => (effect.reference ? null : speedLimits(effect)[0])),
      },
      {
        name: "upper",
        label: "upper limit",
        format: "number",
        values: effects.map((effect) => (effect.reference ? null : speedLimits(effect)[1])),
      },
      {
        name: "exposure",
        label: "exposure",
        unit,
        format: "hours",
        values: effects.map(({exposure}) => Math.round(exposure)),
      },
      {name: "failures", label: "failures", format: "number", values: effects.map(({failures}) => failures)},
      {
        name: "prior",
        label: "still open",
        format: "share",
        values: effects.map((effect) => (effect.reference ? null : effect.priorShare)),
      },
    ],
    note: `${sayLevel(settings)}. Failures known only to lie in a range are shared among the conditions of that range, so they need not be whole. Still open: share of the doubt before the data that is left; near 100 % the effect rests on the other levels alone.`,
  };
}

function livesTable(rows: readonly ConditionRow[], {failed}: Params, {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  return {
    name: "predicted",
    title: `Predicted ${lifeName(failed)} by condition`,
    columns: [
      {name: "mud", label: "mud", values: rows.map(({mud}) => sayCondition(mud, null))},
      {name: "flow", label: "flow", values: rows.map(({regime}) => sayCondition(null, regime))},
      {name: "age", label: lifeName(failed), unit, format: "hours", values: rows.map(({age}) => age)},
      {name: "lower", label: "lower limit", unit, format: "hours", values: rows.map(({limits}) => limits[0])},
      {name: "upper", label: "upper limit", unit, format: "hours", values: rows.map(({limits}) => limits[1])},
      {name: "scale", label: "scale", unit, format: "hours", values: rows.map(({scale}) => scale)},
      {
        name: "exposure",
        label: "exposure",
        unit,
        format: "hours",
        values: rows.map(({exposure}) => Math.round(exposure)),
      },
      {name: "failures", label: "failures", format: "number", values: rows.map(({failures}) => failures)},
      {
        name: "alone",
        label: "from its own lives alone",
        unit,
        format: "hours",
        values: rows.map(({alone}) => alone?.age ?? null),
      },
      {
        name: "alone_lower",
        label: "lower limit",
        unit,
        format: "hours",
        values: rows.map(({alone}) => alone?.limits[0] ?? null),
      },
      {
        name: "alone_upper",
        label: "upper limit",
        unit,
        format: "hours",
        values: rows.map(({alone}) => alone?.limits[1] ?? null),
      },
    ],
    note: `${sayPercent(failed)} have failed by that age. ${sayLevel(settings)} by normal approximation on log age. The columns to the right check the model against the lives that a condition has to itself, where at least ${LEAST_ALONE} of them failed; they read short, because a part that ends early has had less time to change conditions.`,
  };
}
