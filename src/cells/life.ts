/** Cell kind `life`: how long a component lives, with limits; one model for all or one a group. */
import {compareGroups, type GroupComparison} from "../statistics/index.ts";
import {livesBehind, stepsBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure, TableColumn} from "./contract.ts";
import {failuresIn, GROUPINGS, lifeGroups, type LifeGroup, sayModes, type Grouping} from "./lifeGroups.ts";
import {FRACTIONS, lifeModel, type LifeModel} from "./lifeModel.ts";
import {
  choiceParam,
  componentParam,
  conditionParam,
  modesParam,
  numberParam,
  numbersParam,
  params,
  type Condition,
  type Modes,
} from "./params.ts";
import {
  capital,
  clockOf,
  onlySentence,
  partsOf,
  sayCondition,
  sayCount,
  sayLevel,
  sayLimits,
  sayMoreFailures,
  sayNothing,
  sayNumber,
  sayP,
  sayPercent,
  uncapital,
} from "./say.ts";
import {tellLife} from "./tellLife.ts";

const LIMITS = {
  adjusted: "likelihood ratio, adjusted for few failures",
  likelihood: "likelihood ratio",
  normal: "normal approximation",
  bootstrap: "bootstrap, tools drawn whole",
} as const;

const {schema, fields} = params({
  component: componentParam(),
  modes: modesParam(),
  by: choiceParam("one model for each", GROUPINGS, "none"),
  condition: conditionParam(),
  limits: choiceParam("how the limits are found", LIMITS, "adjusted"),
  shape: numberParam("shape taken as known, where failures are too few to show one", {
    min: 0.1,
    max: 20,
    fallback: null,
  }),
  at: numbersParam("ages at which the reliability is told"),
});

interface Params {
  readonly component: string;
  readonly modes: Modes;
  readonly by: Grouping;
  readonly condition: Condition | null;
  readonly limits: keyof typeof LIMITS;
  readonly shape: number | null;
  readonly at: readonly number[];
}

export interface LifeResult {
  readonly models: readonly LifeModel[];
  readonly outside: number;
  /** groups that a figure does not draw, the ones with fewest failures */
  readonly undrawn: number;
  /** tests across groups; null where lives are kept together */
  readonly comparison: GroupComparison | null;
}

/** More lines than this cannot be told apart in one figure. */
const MOST_DRAWN = 6;
/** Groups with fewer failures than this are in the table, not in the sentence. */
const LEAST_TO_TELL = 5;

export const life: CellKind<Params, LifeResult> = {
  kind: "life",
  summary:
    "How long a component lives: Weibull model with limits, probability plot, reliability and failure rate by age.",
  schema,
  fields,
  example: "component: seals\n",

  compute(inputs, params, effects) {
    const {groups, outside} = lifeGroups(inputs.lives, params);
    const {level} = inputs.settings;
    const models = groups.map((group, i) => {
      effects.signal.throwIfAborted();
      effects.progress(i, groups.length);
      const make = () =>
        lifeModel(
          group,
          {level, by: params.limits, at: params.at, shape: params.shape, curves: i < MOST_DRAWN},
          {tools: inputs.lives.tool, effects},
        );
      return effects.memo ? effects.memo(JSON.stringify(["life", params, group.name, inputs.where]), make) : make();
    });
    const comparison = groups.length > 1 ? comparisonOf(groups) : null;
    return {
      models: models.map((model, i) => told(model, groups[i]!, inputs)),
      outside,
      comparison,
      undrawn: Math.max(0, models.length - MOST_DRAWN),
    };
  },

  present(result, params, inputs) {
    const what = subject(params);
    if (result.models.every(({lives}) => lives === 0))
      return onlySentence(sayNothing(`lives of ${what}`, inputs), outsideCaution(result, params));
    const drawn = result.models.slice(0, MOST_DRAWN).filter(({lives}) => lives > 0);
    return {
      headline:
        result.models.length === 1
          ? headlineOfOne(result.models[0]!, params, inputs)
          : headlineOfMany(result, params, inputs),
      figures: figuresOf(drawn, result, params, inputs),
      tables: [
        livesTable(result.models, params, inputs),
        ...(result.comparison?.sameLife ? [testsTable(result.comparison)] : []),
        ...(params.at.length ? [reliabilityTable(result.models, params, inputs)] : []),
      ],
      cautions: cautionsOf(result, params, inputs),
    };
  },
};

/** Each failure, and each step of the curve that assumes no distribution, with the rows of the log that tell of it. */
function told(model: LifeModel, {rows, data}: LifeGroup, inputs: CellInputs): LifeModel {
  const {lives} = inputs;
  const {unit} = clockOf(inputs.settings);
  const points = model.points.map((point) => {
    const row = rows[point.life]!;
    return {
      ...point,
      behind: livesBehind(inputs, lives, [row], {mark: `${tellLife(inputs, row)}, ${sayNumber(point.age)} ${unit}`}),
    };
  });
  const failed = Array.from(rows, (row, i) => ({age: data.upper[i]!, row})).filter(({age}) => age < Infinity);
  const steps = stepsBehind(model.steps, failed, (found, age) =>
    livesBehind(inputs, lives, found, {
      mark: `${model.name === "" ? "step" : model.name} at ${sayNumber(age)} ${unit}`,
      one: "life that ended there",
      many: "lives that ended there",
    }),
  );
  return {...model, points, steps};
}

/** Same shape, same life? Asked of the groups with failures enough for an answer. */
function comparisonOf(groups: readonly LifeGroup[]): GroupComparison | null {
  const asked = groups.filter(({data}) => failuresIn(data) >= LEAST_TO_TELL);
  if (asked.length < 2) return null;
  const join = (of: (data: LifeGroup["data"]) => Float64Array) =>
    Float64Array.from(asked.flatMap(({data}) => [...of(data)]));
  return compareGroups(
    {
      lower: join((d) => d.lower),
      upper: join((d) => d.upper),
      entry: join((d) => d.entry),
      weight: join((d) => d.weight),
    },
    asked.flatMap(({data}, code) => Array.from(data.lower, () => code)),
    asked.map(({name}) => name),
  );
}

function subject({component, condition}: Params): string {
  const parts = partsOf(component);
  return condition === null ? parts : `${parts} in ${sayCondition(condition.mud, condition.regime)}`;
}

const half = ({ages}: LifeModel) => ages.find(({p}) => p === 0.5);
const tenth = ({ages}: LifeModel) => ages.find(({p}) => p === 0.1);

/** What the shape says, no more than its limits allow. */
export function sayShape({weibull, fit, shapeLimits: [lower, upper]}: LifeModel): string {
  if (!weibull) return "";
  if (fit.fitted && fit.fixedShape !== null) return "taken as known";
  if (lower !== null && lower > 1) return "it wears out";
  if (upper !== null && upper < 1) return "it fails most when new";
  return "wear-out is not shown, since the limits hold 1";
}

function headlineOfOne(model: LifeModel, params: Params, inputs: CellInputs): string {
  const {unit} = clockOf(inputs.settings);
  const counts = `${sayModes(params.modes, model.failures)} among ${sayCount(model.lives, "life", "lives")}`;
  const b10 = tenth(model);
  const b50 = half(model);
  if (model.bound) {
    return (
      `None of the ${sayCount(model.lives, "life", "lives")} of ${subject(params)} failed by what is counted; if the shape is ${sayNumber(model.bound.shape)}, ` +
      `the B10 life is at least ${sayNumber(model.bound.b10)} ${unit} with ${sayPercent(model.bound.confidence)} confidence.`
    );
  }
  if (!model.weibull || !b10 || !b50) {
    const why = model.fit.fitted ? "the fit gave no Weibull" : model.fit.sentence.replace(/\.$/, "");
    const next =
      model.failures === 0 && params.shape === null
        ? "With a shape known from like parts, given to the cell as “shape”, there is a lower bound."
        : sayMoreFailures(inputs);
    return `No life model of ${subject(params)}: ${uncapital(why)} (${counts}). ${next}`;
  }
  const level = sayLevel(inputs.settings);
  const beyond = b50.age > model.oldest ? ", beyond the oldest part seen" : "";
  return (
    `One in ten ${subject(params)} has failed by ${sayNumber(b10.age)} ${unit} (B10 life; ${level} ${sayLimits(b10.limits, unit)}), ` +
    `half by ${sayNumber(b50.age)} ${unit}${beyond}; shape ${sayNumber(model.weibull.shape)} (${sayLimits(model.shapeLimits)}): ${sayShape(model)}. From ${counts}.`
  );
}

function headlineOfMany({models, comparison}: LifeResult, params: Params, inputs: CellInputs): string {
  const {unit} = clockOf(inputs.settings);
  const told = models.filter(({weibull, failures}) => weibull !== null && failures >= LEAST_TO_TELL);
  const rest = models.length - told.length;
  const few = `${sayCount(rest, "group")} with fewer than ${LEAST_TO_TELL} failures ${rest === 1 ? "is" : "are"} in the table only.`;
  if (told.length === 0)
    return `No group of ${subject(params)} ${GROUPINGS[params.by]} has ${LEAST_TO_TELL} failures; the table has what there is.`;
  const b10 = (model: LifeModel) => tenth(model)!;
  const ranked = [...told].sort((a, b) => b10(a).age - b10(b).age).slice(0, MOST_DRAWN);
  const say = (model: LifeModel) =>
    `${model.name} ${sayNumber(b10(model).age)} ${unit} (${sayLimits(b10(model).limits)}; ${sayCount(model.failures, "failure")} among ${sayNumber(model.lives)})`;
  const ages = `B10 life of ${subject(params)} ${GROUPINGS[params.by]}, with ${sayLevel(inputs.settings)}, shortest first: ${ranked.map(say).join("; ")}.`;
  const list = ages + sayTests(comparison);
  return rest > 0 ? `${list} ${capital(few)}` : list;
}

function figuresOf(models: readonly LifeModel[], {undrawn}: LifeResult, params: Params, inputs: CellInputs): Figure[] {
  const {unit, name: clock} = clockOf(inputs.settings);
  const label = (model: LifeModel) => (model.name === "" ? partsOf(params.component) : model.name);
  const lives = models.reduce((sum, model) => sum + model.lives, 0);
  const failures = models.reduce((sum, model) => sum + model.failures, 0);
  const one = models.length === 1 ? models[0]! : null;
  const b10 = one ? tenth(one) : undefined;
  const counts = `${capital(sayModes(params.modes, failures))} among ${sayCount(lives, "life", "lives")}; ages in ${clock}.`;
  const left = undrawn > 0 ? ` ${sayCount(undrawn, "group")} with fewest failures not drawn.` : "";
  const band = `Band: ${sayLevel(inputs.settings)} at each age, by ${LIMITS[params.limits]}.`;
  const anyFit = models.some(({weibull}) => weibull !== null);
  const figures: Figure[] = [
    {
      name: "probability",
      title: one
        ? b10
          ? `One in ten ${subject(params)} has failed by ${sayNumber(b10.age)} ${unit}`
          : `${capital(subject(params))}: ${sayCount(one.failures, "failure")}, too little for a line`
        : apartTitle(models, params, inputs),
      caption: `${counts} A straight line is a Weibull life; steeper is steadier. Points: failures, on the curve that assumes no distribution (Kaplan-Meier; Turnbull where ages are ranges); a bar is the range in which a failure found at a teardown must lie; ticks: suspensions.${anyFit ? ` ${band}` : ""}${left}`,
      alt: models.map((model) => `${label(model)}: ${modelInWords(model, unit)}`).join("; "),
      chart: {
        kind: "probability",
        paper: "weibull",
        unit,
        series: models.map((model) => ({
          name: label(model),
          points: model.points,
          suspensions: model.suspensions,
          line: model.curve.map((p) => ({
            age: p.age,
            estimate: 1 - p.estimate,
            lower: p.upper === null ? null : 1 - p.upper,
            upper: p.lower === null ? null : 1 - p.lower,
          })),
        })),
      },
    },
  ];
  if (models.some(({curve, steps}) => curve.length > 0 || steps.length > 1)) {
    figures.push({
      name: "reliability",
      title: one?.weibull
        ? reliabilityTitle(one, params, inputs)
        : `Share of ${subject(params)} still good by age, ${GROUPINGS[params.by]}`,
      caption: `${counts} Smooth: fitted Weibull; steps: no distribution assumed (Kaplan-Meier; Turnbull where ages are ranges).${anyFit ? ` ${band}` : ""}${left}`,
      alt: models
        .map(
          (model) =>
            `${label(model)}: ${model.reliability.map((r) => `${sayPercent(r.estimate)} at ${sayNumber(r.age)} ${unit}`).join(", ") || modelInWords(model, unit)}`,
        )
        .join("; "),
      chart: {
        kind: "reliability",
        unit,
        target: inputs.settings.reliability_target,
        series: models.map((model) => ({name: label(model), curve: model.curve, steps: model.steps})),
      },
    });
  }
  if (anyFit) {
    figures.push({
      name: "hazard",
      title: one
        ? `${capital(subject(params))}: ${sayShape(one)}`
        : `Failure rate of ${subject(params)} by age, ${GROUPINGS[params.by]}`,
      caption: `${counts} Failures per 1,000 ${unit} among parts that have reached the age, from the fitted Weibull.${left}`,
      alt: models.map((model) => `${label(model)}: ${modelInWords(model, unit)}`).join("; "),
      chart: {
        kind: "hazard",
        unit,
        series: models
          .filter(({hazard}) => hazard.length > 0)
          .map((model) => ({name: label(model), curve: model.hazard})),
      },
    });
  }
  return figures;
}

/** Which group lives shortest and which longest, by the B10 life. */
function apartTitle(models: readonly LifeModel[], params: Params, {settings}: CellInputs): string {
  const told = models.flatMap((model) => {
    const age = model.weibull ? tenth(model)?.age : undefined;
    return age === undefined ? [] : [{name: model.name, age}];
  });
  const [first, ...rest] = told.sort((a, b) => a.age - b.age);
  const last = rest.at(-1);
  if (!first || !last) return `${capital(subject(params))} ${GROUPINGS[params.by]} on Weibull paper`;
  const {unit} = clockOf(settings);
  return `One in ten ${subject(params)} has failed by ${sayNumber(first.age)} ${unit} for ${first.name}, by ${sayNumber(last.age)} ${unit} for ${last.name}`;
}

/** The age to which the asked-for reliability holds, read off the model. */
function reliabilityTitle({weibull}: LifeModel, params: Params, {settings}: CellInputs): string {
  const {shape, scale} = weibull!;
  const age = scale * (-Math.log(settings.reliability_target)) ** (1 / shape);
  return `${sayPercent(settings.reliability_target)} of ${subject(params)} are still good at ${sayNumber(age)} ${clockOf(settings).unit}`;
}

function modelInWords(model: LifeModel, unit: string): string {
  if (!model.weibull) return `no fit, ${sayCount(model.failures, "failure")}`;
  return `shape ${sayNumber(model.weibull.shape)}, scale ${sayNumber(model.weibull.scale)} ${unit}, ${sayCount(model.failures, "failure")} among ${sayNumber(model.lives)} lives`;
}

function livesTable(models: readonly LifeModel[], params: Params, {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const column = (
    name: string,
    label: string,
    columnUnit: string | null,
    of: (model: LifeModel) => number | null,
  ): TableColumn => ({
    name,
    label,
    ...(columnUnit === null ? {} : {unit: columnUnit}),
    format: columnUnit === null ? "number" : "hours",
    values: models.map(of),
  });
  const fractions = FRACTIONS.flatMap((p) => {
    const b = `B${Math.round(p * 100)}`;
    const at = (model: LifeModel) => model.ages.find((age) => age.p === p);
    return [
      column(b, `${b} life`, unit, (model) => at(model)?.age ?? null),
      column(`${b}_lower`, "lower limit", unit, (model) => at(model)?.limits[0] ?? null),
      column(`${b}_upper`, "upper limit", unit, (model) => at(model)?.limits[1] ?? null),
    ];
  });
  return {
    name: "lives",
    title: `Life of ${subject(params)}`,
    columns: [
      {
        name: "group",
        label: params.by === "none" ? "component" : params.by,
        values: models.map(({name}) => (name === "" ? partsOf(params.component) : name)),
      },
      {name: "lives", label: "lives", format: "count", values: models.map(({lives}) => lives)},
      {name: "failures", label: "failures", format: "count", values: models.map(({failures}) => failures)},
      column("shape", "shape", null, ({weibull}) => weibull?.shape ?? null),
      column("shape_lower", "lower limit", null, (model) => model.shapeLimits[0]),
      column("shape_upper", "upper limit", null, (model) => model.shapeLimits[1]),
      column("scale", "scale", unit, ({weibull}) => weibull?.scale ?? null),
      column("scale_lower", "lower limit", unit, (model) => model.scaleLimits[0]),
      column("scale_upper", "upper limit", unit, (model) => model.scaleLimits[1]),
      ...fractions,
      column("oldest", "oldest part seen", unit, ({oldest}) => oldest),
      ...(models.some(({fit}) => !fit.fitted)
        ? [{name: "reason", label: "why no model", values: models.map(({fit}) => (fit.fitted ? null : fit.sentence))}]
        : []),
    ],
    note: `Weibull by maximum likelihood; ${sayLevel(settings)} by ${LIMITS[params.limits]}. Counted: ${sayModes(params.modes, 2).replace(/^2 /, "")}; any other end of a life is a suspension.`,
  };
}

/** ` They do not live alike (likelihood ratio, p under 0.001).`, or nothing where no test can be made. */
function sayTests(comparison: GroupComparison | null): string {
  if (!comparison?.sameLife) return "";
  const {p} = comparison.sameLife;
  return p < 0.05
    ? ` That they all live alike is hard to hold (likelihood ratio, p ${sayP(p)}).`
    : ` The lives do not show that the groups differ (likelihood ratio, p ${sayP(p)}).`;
}

function testsTable({sameShape, sameScale, sameLife, common}: GroupComparison): CellTable {
  const rows = [
    {name: "same shape, each its own scale", test: sameShape},
    {name: "same scale, given one shape", test: sameScale},
    {name: "one life for all", test: sameLife},
  ].flatMap(({name, test}) => (test ? [{name, ...test}] : []));
  return {
    name: "tests",
    title: "Do the groups live alike?",
    columns: [
      {name: "hypothesis", label: "supposed", values: rows.map(({name}) => name)},
      {name: "statistic", label: "likelihood ratio", format: "number", values: rows.map(({statistic}) => statistic)},
      {
        name: "degrees",
        label: "degrees of freedom",
        format: "count",
        values: rows.map(({degreesOfFreedom}) => degreesOfFreedom),
      },
      {name: "p", label: "p", values: rows.map(({p}) => sayP(p))},
    ],
    note: `A small p speaks against what is supposed. Groups with at least ${LEAST_TO_TELL} failures.${common ? ` Common shape ${sayNumber(common.shape)}.` : ""}`,
  };
}

function reliabilityTable(models: readonly LifeModel[], params: Params, {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const rows = models.flatMap((model) =>
    model.reliability.map((r) => ({name: model.name === "" ? partsOf(params.component) : model.name, ...r})),
  );
  return {
    name: "reliability",
    title: "Reliability at the ages asked for",
    columns: [
      {name: "group", label: params.by === "none" ? "component" : params.by, values: rows.map((r) => r.name)},
      {name: "age", label: "age", unit, format: "hours", values: rows.map((r) => r.age)},
      {name: "reliability", label: "still good", format: "share", values: rows.map((r) => r.estimate)},
      {name: "lower", label: "lower limit", format: "share", values: rows.map((r) => r.limits[0])},
      {name: "upper", label: "upper limit", format: "share", values: rows.map((r) => r.limits[1])},
    ],
    note: `${sayLevel(settings)}. A new part; a used one is asked on the next-run check.`,
  };
}

function outsideCaution({outside}: LifeResult, {by, condition}: Params): string[] {
  if (outside === 0) return [];
  const stands = `${outside === 1 ? "stands" : "stand"} in no group here`;
  const mixed = condition !== null || by === "mud" || by === "regime" || by === "condition";
  if (!mixed) return [`${sayCount(outside, "life carries", "lives carry")} no ${by} and ${stands}.`];
  return [
    `${sayCount(outside, "life was", "lives were")} spent in several conditions and ${stands}. A part that ends early has had less time to change conditions, ` +
      "so lives of one condition alone read short; the condition effects use every life and do not.",
  ];
}

function cautionsOf(result: LifeResult, params: Params, inputs: CellInputs): string[] {
  const cautions = outsideCaution(result, params);
  for (const caution of result.comparison?.cautions ?? []) cautions.push(caution);
  for (const {name, cautions: said} of result.models) {
    for (const caution of said) cautions.push(name === "" ? caution : `${name}: ${caution}`);
  }
  if (params.modes === "all" || params.modes === "own") {
    cautions.push("Several modes in one model bend the plot; the incidence cell shows them apart.");
  }
  if (result.models.length > 1 && params.by !== "condition") {
    const mix = params.by === "mud" ? "flows" : params.by === "regime" ? "muds" : "muds and flows";
    cautions.push(
      `Groups ${GROUPINGS[params.by]} may differ in more than that: their mix of ${mix} is not evened out here.`,
    );
  }
  if (inputs.where.from !== undefined || inputs.where.to !== undefined) {
    cautions.push("The date filter cuts lives at its edges: they enter or leave at the age they had.");
  }
  return cautions;
}
