/** Cell kind `intervals`: the interval sheet, a row per component, mud and flow regime. */
import {wordAt} from "../../shared/columnar.ts";
import {componentModels, POOLED, renewalIntervals, type ComponentModels, type IntervalRow} from "../decisions/index.ts";
import {cutLives, type LifeTable} from "../lives/index.ts";
import {decisionOffer} from "./decisionOffer.ts";
import {livesBehind} from "./behind.ts";
import type {CellEffects, CellInputs, CellKind, CellTable, Figure, Memo, TableColumn, Where} from "./contract.ts";
import {livesOfEveryComponent, unknownConditions} from "./inView.ts";
import {unsetCosts} from "./money.ts";
import {choiceParam, componentsParam, mudsParam, numberParam, params, regimesParam, textParam} from "./params.ts";
import {
  capital,
  clockOf,
  onlySentence,
  partsOf,
  sayCondition,
  sayCount,
  sayLevel,
  sayLimits,
  sayMoney,
  sayNothing,
  sayNumber,
  sayPercent,
  sayRegimes,
} from "./say.ts";

const DECISIONS = {none: "no form", offered: "a form below the table"} as const;
const SORTS = {saving: "money saved against today, most first", component: "component, mud and flow"} as const;

const {schema, fields} = params({
  component: componentsParam(),
  mud: mudsParam(),
  regime: regimesParam(),
  fleet: textParam(
    "a fleet to keep the sheet for: its costs, rebuilds and today's policy; the lives stay those of all",
  ),
  sort: choiceParam("order of the rows", SORTS, "saving"),
  decisions: choiceParam("whether decisions on its rows can be recorded here", DECISIONS, "none"),
  most: numberParam("how many rows the figure draws at most", {min: 1, max: 200, fallback: 24}),
});

interface Params {
  readonly component: readonly string[] | null;
  readonly mud: readonly string[] | null;
  readonly regime: readonly string[] | null;
  readonly fleet: string | null;
  readonly sort: keyof typeof SORTS;
  readonly decisions?: keyof typeof DECISIONS;
  readonly most: number;
}

export const BENCH_DEFERRAL =
  "An interval is advice from past lives, no permission: the maker's procedures, the law and rules where you stand, and people competent for the task decide, and win over any number here.";

/** Rows by condition, and one a component for all conditions together. */
export interface IntervalSheet {
  readonly rows: readonly IntervalRow[];
  readonly pooled: readonly IntervalRow[];
}

export const intervals: CellKind<Params, IntervalSheet> = {
  kind: "intervals",
  summary: "When to renew each component in each mud and flow, with limits, money, and what decided it.",
  schema,
  fields,
  example: "component: seals\n",
  reads: ["register"],

  compute(inputs, params, effects) {
    const wanted = wantedRow(params, inputs.where);
    const sheet = intervalSheet(inputs, {components: wanted.components, fleet: params.fleet}, effects);
    const rows = sheet.rows.filter(wanted.has);
    if (params.sort === "component") return {rows, pooled: sheet.pooled};
    const bySaving = (list: readonly IntervalRow[]) => [...list].sort((a, b) => rowStake(b) - rowStake(a));
    return {rows: bySaving(rows), pooled: bySaving(sheet.pooled)};
  },

  present({rows, pooled}, params, inputs) {
    const parts = params.component === null ? "lives" : `lives of ${params.component.map(partsOf).join(" and ")}`;
    const what = params.fleet === null ? parts : `${parts} of ${params.fleet}`;
    if (rows.length === 0) return onlySentence(sayNothing(`${what} with exposure`, inputs));
    const [priced] = rows.filter((row) => row.curve !== null).sort((a, b) => rowStake(b) - rowStake(a));
    return {
      headline: `${params.fleet === null ? "" : `${params.fleet}: `}${headlineOf(rows, inputs)}`,
      figures: [
        ...(rows.some(isDrawn) ? [sheetFigure(rows, params, inputs)] : []),
        ...(priced ? [costFigure(priced, inputs)] : []),
      ],
      tables: [
        sheetTable(rows, inputs),
        ...(pooled.length > 0 ? [pooledTable(pooled, inputs)] : []),
        behindTable([...rows, ...pooled], inputs),
      ],
      cautions: [
        BENCH_DEFERRAL,
        ...(params.fleet === null
          ? []
          : [
              `Costs, rebuilds and today's policy are those of ${params.fleet}; the lives are those of all fleets in view.`,
            ]),
        ...unsetCosts(inputs.settings),
        ...unknownConditions(inputs),
        ...cautionsOf(rows, inputs),
      ],
      ...(params.decisions === "offered" ? {records: [decisionOffer(rows, inputs, params.fleet)]} : {}),
    };
  },
};

/**
 * The sheet. Filters by fleet and date choose the lives; those by component, mud and flow only choose rows, since a row
 * rests on the lives of its component in every condition, mixed ones included.
 *
 * @param asked components, null for all; a fleet to price for, null for all with exposure
 */
export function intervalSheet(
  inputs: CellInputs,
  {components, fleet}: {readonly components: readonly string[] | null; readonly fleet: string | null},
  effects: CellEffects,
): IntervalSheet {
  const {component: _component, mud: _mud, regime: _regime, ...rest} = inputs.where;
  const memo: Memo = effects.memo ?? ((_, make) => make());
  return memo(JSON.stringify(["interval sheet", components, fleet, rest, inputs.register.decisions]), () => {
    const {lives, models} = modelledLives(inputs, effects);
    const rows = renewalIntervals(
      {
        ...inputs,
        lives,
        models,
        pooled: true,
        ...(components === null ? {} : {components}),
        ...(fleet === null ? {} : {fleet}),
      },
      effects,
    );
    return {rows: rows.filter(({mud}) => mud !== POOLED), pooled: rows.filter(({mud}) => mud === POOLED)};
  });
}

export interface ModelledLives {
  readonly lives: LifeTable;
  readonly models: ComponentModels;
}

/** Lives under the filters by fleet and date, in every condition and of every component, with their life models. */
export function modelledLives(
  {all, runs, where, settings}: CellInputs,
  {memo}: Pick<CellEffects, "memo">,
): ModelledLives {
  const {component: _component, mud: _mud, regime: _regime, ...rest} = where;
  const make = () => {
    const lives = cutLives(all, runs, rest);
    return {lives, models: componentModels(lives, settings.level)};
  };
  return memo ? memo(JSON.stringify(["modelled lives", rest]), make) : make();
}

/** The components asked for, and whether a row is of the mud and flow asked for; by the cell's parameters and the page's filters. */
export function wantedRow(
  {component, mud, regime}: Pick<Params, "component" | "mud" | "regime">,
  where: Where,
): {readonly components: readonly string[] | null; readonly has: (row: IntervalRow) => boolean} {
  const muds = both(mud, where.mud);
  const regimes = both(regime, where.regime);
  return {
    components: both(component, where.component),
    has: (row) => (muds?.includes(row.mud) ?? true) && (regimes?.includes(row.regime) ?? true),
  };
}

/** Codes in both lists; null and an empty filter are all. */
function both(a: readonly string[] | null, b: readonly string[] | undefined): readonly string[] | null {
  if (b === undefined || b.length === 0) return a;
  return a === null ? b : a.filter((code) => b.includes(code));
}

/** Money that following the advice would have saved over the exposure in view; rows without a figure come last. */
export const rowStake = (row: IntervalRow): number =>
  ((row.savingPer1000h.againstCurrent ?? -Infinity) * row.exposure_h) / 1000;

const conditionOf = (row: IntervalRow): string =>
  row.mud === POOLED ? "all together" : sayCondition(row.mud, row.regime);
export const rowName = (row: IntervalRow): string => `${row.componentLabel}, ${conditionOf(row)}`;

function headlineOf(rows: readonly IntervalRow[], inputs: CellInputs): string {
  const {settings} = inputs;
  const {unit} = clockOf(settings);
  const count = (advice: IntervalRow["advice"]) => rows.filter((row) => row.advice === advice).length;
  const shares = [
    {rows: count("renew at"), say: "have an interval"},
    {rows: count("run to failure"), say: "are better run to failure and inspected"},
    {rows: count("not enough data"), say: "have too few failures to say"},
  ].filter((share) => share.rows > 0);
  const tally = `Of ${sayCount(rows.length, "row")}, ${shares.map((share) => `${share.rows === rows.length ? "all" : sayNumber(share.rows)} ${share.say}`).join(", ")}.`;
  const best = [...rows].sort((a, b) => rowStake(b) - rowStake(a))[0]!;
  const saving = best.savingPer1000h.againstCurrent;
  if (saving === null || !(saving > 0))
    return `${tally} No row would cost less than today's policy by a figure that can be shown.`;
  const advised =
    best.interval_h === null
      ? `${best.advice} for ${rowName(best)}`
      : `renew the ${rowName(best)} at ${sayNumber(best.interval_h)} ${unit} (${sayBestAge(best.limits_h, unit, settings)})`;
  return (
    `Most to gain: ${advised}, today ${today(best, unit)}; expected saving ${sayMoney(saving, settings)} per 1,000 ${unit} ` +
    `(${sayLimits(best.savingPer1000h.limitsCurrent)}), from ${sayCount(best.failures, "failure")} among ${sayCount(best.lives, "life", "lives")} of that condition and ${sayNumber(best.failuresPooled)} among ${sayNumber(best.livesPooled)} in all. ${tally}`
  );
}

/** Whether the figure has anything to show of a row. */
const isDrawn = ({interval_h, current_h}: IntervalRow): boolean => interval_h !== null || (current_h ?? 0) > 0;

/** Limits that meet say that the best age stands on the border of what rebuilds allow, whatever the model. */
function sayBestAge(limits: IntervalRow["limits_h"], unit: string, settings: CellInputs["settings"]): string {
  const [lower, upper] = limits;
  const meet = lower !== null && upper !== null && sayNumber(lower) === sayNumber(upper);
  const level = sayLevel(settings);
  return meet ? `the best age all through its ${level}` : `${level} of the best age ${sayLimits(limits, unit)}`;
}

const today = (row: IntervalRow, unit: string): string =>
  row.current_h === null
    ? "run to failure"
    : row.current_h === 0
      ? "at every rebuild"
      : `${sayNumber(row.current_h)} ${unit}`;

function sheetFigure(rows: readonly IntervalRow[], {most}: Params, inputs: CellInputs): Figure {
  const {settings, bands, regimeConvention} = inputs;
  const lives = livesOfEveryComponent(inputs);
  const own = livesByCondition(lives);
  const {unit} = clockOf(settings);
  const shown = rows.slice(0, most);
  const limited = shown.filter((row) => row.interval_h !== null);
  const shorter = limited.filter(
    (row) => row.current_h !== null && row.current_h > 0 && row.interval_h! < row.current_h,
  ).length;
  const longer = limited.filter((row) => row.current_h !== null && row.interval_h! > row.current_h).length;
  const fresh = limited.filter((row) => row.current_h === null).length;
  const changes = [
    ...(shorter > 0 ? [`${sayNumber(shorter)} shorter than today's`] : []),
    ...(longer > 0 ? [`${sayNumber(longer)} longer`] : []),
    ...(fresh > 0 ? [`${sayNumber(fresh)} where today runs to failure`] : []),
  ];
  return {
    name: "intervals",
    title:
      limited.length === 0
        ? "No row has an interval"
        : `${capital(sayCount(limited.length, "interval"))}: ${changes.join(", ") || "all as today"}`,
    caption:
      `Dot: recommended age at renewal; bar: ${sayLevel(settings)} of the best age by cost; diamond: today. ` +
      `Behind them: ${sayCount(sum(shown, "failures"), "failure")} among ${sayCount(sum(shown, "lives"), "life", "lives")} of these conditions. ` +
      `Flow: ${sayRegimes({settings, bands, regimeConvention})}.` +
      (rows.length > shown.length
        ? ` The first ${sayNumber(shown.length)} of ${sayCount(rows.length, "row")}; the table has them all.`
        : ""),
    alt: shown
      .slice(0, 8)
      .map(
        (row) =>
          `${rowName(row)}: ${row.interval_h === null ? row.advice : `${sayNumber(row.interval_h)} ${unit}`}, today ${today(row, unit)}`,
      )
      .join("; "),
    chart: {
      kind: "intervals",
      unit,
      rows: shown.map((row) => ({
        name: rowName(row),
        group: row.componentLabel,
        value: row.interval_h,
        lower: row.interval_h === null ? null : row.limits_h[0],
        upper: row.interval_h === null ? null : row.limits_h[1],
        current: row.current_h,
        note: row.advice,
        behind: livesBehind(inputs, lives, own.get(`${row.component} ${row.mud} ${row.regime}`) ?? [], {
          mark: rowName(row),
          one: "life in this condition",
          many: "lives in this condition",
        }),
      })),
    },
  };
}

/** Lives that were spent in one condition, by component, mud and regime. */
function livesByCondition(lives: LifeTable): ReadonlyMap<string, readonly number[]> {
  const rows = new Map<string, number[]>();
  for (let row = 0; row < lives.rows; row++) {
    const key = `${wordAt(lives.component, row)} ${wordAt(lives.mud, row)} ${wordAt(lives.regime, row)}`;
    const list = rows.get(key);
    if (list) list.push(row);
    else rows.set(key, [row]);
  }
  return rows;
}

function costFigure(row: IntervalRow, {settings}: CellInputs): Figure {
  const {unit} = clockOf(settings);
  const curve = row.curve!;
  const marks = [
    ...(row.current_h !== null && row.current_h > 0
      ? [{name: "today", interval: row.current_h, cost: row.costPer1000h.current}]
      : []),
    ...(row.interval_h === null
      ? []
      : [{name: "recommended", interval: row.interval_h, cost: row.costPer1000h.recommended}]),
  ];
  return {
    name: `cost-${row.component}-${row.mud}-${row.regime}`.toLowerCase(),
    title:
      row.interval_h === null
        ? `${capital(rowName(row))}: no age is clearly cheapest`
        : `${capital(rowName(row))}: ${sayNumber(row.interval_h)} ${unit} costs ${sayMoney(row.costPer1000h.recommended ?? NaN, settings)} per 1,000 ${unit}`,
    caption:
      `Expected cost when the part is renewed at the first rebuild at which its age and the next run pass the interval, averaged over what the lives leave uncertain; band: ${sayLevel(settings)} of the cost. ` +
      `The textbook optimum, renewing at any moment, is ${row.textbook ? `${sayNumber(row.textbook.interval_h)} ${unit}` : "not defined"}. ${capital(sayCount(row.failures, "failure"))} among ${sayCount(row.lives, "life", "lives")} in this condition, ${sayNumber(row.failuresPooled)} among ${sayNumber(row.livesPooled)} in all.`,
    alt: `Cost per 1,000 ${unit} against age at renewal. ${marks.map((mark) => `${mark.name} ${sayNumber(mark.interval)} ${unit}${mark.cost === null ? "" : `: ${sayMoney(mark.cost, settings)}`}`).join("; ")}.`,
    chart: {
      kind: "cost",
      unit,
      currency: settings.currency,
      series: [
        {
          name: "renewed at rebuilds",
          curve: curve.interval_h.map((age, i) => ({
            age,
            estimate: curve.expected[i]!,
            lower: curve.lower[i]!,
            upper: curve.upper[i]!,
          })),
        },
      ],
      marks,
      runToFailure: row.costPer1000h.runToFailure,
    },
  };
}

function sheetTable(rows: readonly IntervalRow[], {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const money = `${settings.currency} per 1,000 ${unit}`;
  const column = (
    name: string,
    label: string,
    columnUnit: string,
    format: TableColumn["format"] & string,
    of: (row: IntervalRow) => number | null,
  ): TableColumn => ({
    name,
    label,
    unit: columnUnit,
    format,
    values: rows.map(of),
  });
  return {
    name: "intervals",
    title: "Interval sheet",
    columns: [
      {name: "component", label: "component", values: rows.map((row) => row.componentLabel)},
      {name: "condition", label: "mud and flow", values: rows.map(conditionOf)},
      {name: "advice", label: "advice", values: rows.map((row) => row.advice)},
      column("interval", "renew at", unit, "hours", (row) => row.interval_h),
      column("lower", "lower limit", unit, "hours", (row) => row.limits_h[0]),
      column("upper", "upper limit", unit, "hours", (row) => row.limits_h[1]),
      {name: "bound_by", label: "decided by", values: rows.map((row) => row.boundBy)},
      {
        name: "today",
        label: "today",
        unit,
        values: rows.map((row) =>
          row.current_h === null ? "run to failure" : row.current_h === 0 ? "every rebuild" : row.current_h,
        ),
      },
      column("saving", "saves against today", money, "money", (row) => row.savingPer1000h.againstCurrent),
      column("saving_lower", "lower limit", money, "money", (row) => row.savingPer1000h.limitsCurrent[0]),
      column("saving_upper", "upper limit", money, "money", (row) => row.savingPer1000h.limitsCurrent[1]),
      {
        name: "chance",
        label: "chance it beats today",
        format: "share",
        values: rows.map((row) => row.chanceBetterThanCurrent),
      },
      column(
        "failures_per",
        "failures expected",
        `per 1,000 ${unit}`,
        "rate",
        (row) => row.failuresPer1000h.recommended,
      ),
      column(
        "failures_today",
        "failures expected today",
        `per 1,000 ${unit}`,
        "rate",
        (row) => row.failuresPer1000h.current,
      ),
      {name: "lives", label: "lives", format: "count", values: rows.map((row) => row.lives)},
      {name: "failures", label: "failures", format: "count", values: rows.map((row) => row.failures)},
      {name: "because", label: "why", values: rows.map((row) => row.because)},
    ],
    note: `A part is renewed at a rebuild when its age and the planned next run would pass the interval. Limits: ${sayLevel(settings)}. Lives and failures are those of the condition; sparse rows borrow from the same component in other conditions. Filters by component, mud and flow choose rows; the model behind a row uses every condition.`,
  };
}

/** The sheet's columns, for each component in all conditions together. */
function pooledTable(rows: readonly IntervalRow[], inputs: CellInputs): CellTable {
  const {columns} = sheetTable(rows, inputs);
  return {
    name: "all_conditions",
    title: "All muds and flows together",
    columns: columns.filter(({name}) => name !== "condition"),
    note: "For a part that spends its hours in the muds and flows as all hours of its component in view were spent; where it stays in one of them, the row of that mud and flow holds.",
  };
}

function behindTable(rows: readonly IntervalRow[], {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const money = `${settings.currency} per 1,000 ${unit}`;
  return {
    name: "behind",
    title: "What stands behind each row",
    columns: [
      {name: "component", label: "component", values: rows.map((row) => row.componentLabel)},
      {name: "condition", label: "mud and flow", values: rows.map(conditionOf)},
      {
        name: "exposure",
        label: "exposure",
        unit,
        format: "hours",
        values: rows.map((row) => Math.round(row.exposure_h)),
      },
      {name: "shape", label: "shape", format: "number", values: rows.map((row) => row.shape)},
      {name: "shape_lower", label: "lower limit", format: "number", values: rows.map((row) => row.shapeLimits[0])},
      {name: "shape_upper", label: "upper limit", format: "number", values: rows.map((row) => row.shapeLimits[1])},
      {name: "scale", label: "scale", unit, format: "hours", values: rows.map((row) => row.scale)},
      {name: "scale_lower", label: "lower limit", unit, format: "hours", values: rows.map((row) => row.scaleLimits[0])},
      {name: "scale_upper", label: "upper limit", unit, format: "hours", values: rows.map((row) => row.scaleLimits[1])},
      {name: "wear_out", label: "chance of wear-out", format: "share", values: rows.map((row) => row.chanceOfWearOut)},
      {
        name: "chance_rate",
        label: "failures by chance",
        unit: `per 1,000 ${unit}`,
        format: "rate",
        values: rows.map((row) => row.chancePer1000h),
      },
      {name: "ends_run", label: "failures that end a run", format: "share", values: rows.map((row) => row.endsRun)},
      {
        name: "cost",
        label: "cost if followed",
        unit: money,
        format: "money",
        values: rows.map((row) => row.costPer1000h.recommended),
      },
      {
        name: "cost_today",
        label: "cost today",
        unit: money,
        format: "money",
        values: rows.map((row) => row.costPer1000h.current),
      },
      {
        name: "cost_rtf",
        label: "cost run to failure",
        unit: money,
        format: "money",
        values: rows.map((row) => row.costPer1000h.runToFailure),
      },
      {
        name: "by_cost",
        label: "best age by cost",
        unit,
        format: "hours",
        values: rows.map((row) => row.costInterval_h),
      },
      {
        name: "by_risk",
        label: "longest age by risk",
        unit,
        format: "hours",
        values: rows.map((row) => row.riskInterval_h),
      },
      {
        name: "textbook",
        label: "textbook optimum",
        unit,
        format: "hours",
        values: rows.map((row) => row.textbook?.interval_h ?? null),
      },
      {
        name: "pooled",
        label: "failures in all conditions",
        format: "count",
        values: rows.map((row) => row.failuresPooled),
      },
      {name: "oldest", label: "oldest part seen", unit, format: "hours", values: rows.map((row) => row.oldest_h)},
      {name: "cautions", label: "to be read with it", values: rows.map((row) => row.cautions.join("; ") || null)},
    ],
    note: `Survival asked for through the next run: ${sayPercent(settings.reliability_target)}. Chance of wear-out: share of the plausible models with a shape above 1.`,
  };
}

/** What the row named in the headline must be read with, and what holds for every row; the rest stands in the table. */
function cautionsOf(rows: readonly IntervalRow[], {settings}: CellInputs): string[] {
  const [first] = [...rows].sort((a, b) => rowStake(b) - rowStake(a));
  const every = (first?.cautions ?? []).filter((caution) => rows.every((row) => row.cautions.includes(caution)));
  const own = (first?.cautions ?? []).filter((caution) => !every.includes(caution));
  const beyond = rows.filter((row) => row.interval_h !== null && row.beyondOldest_h > 0).length;
  const empty = rows.filter((row) => row.interval_h !== null && row.failures === 0).length;
  const others = rows.filter((row) => row !== first && row.cautions.length > 0).length;
  return [
    ...every.map(capital),
    ...own.map((caution) => `${capital(rowName(first!))}: ${caution}`),
    ...(empty > 0
      ? [
          `${capital(sayCount(empty, "row"))} with an interval ${empty === 1 ? "has" : "have"} no failure of ${empty === 1 ? "its" : "their"} own condition and ${empty === 1 ? "borrows" : "borrow"} all from others.`,
        ]
      : []),
    ...(beyond > 0
      ? [
          `${capital(sayCount(beyond, "interval"))} ${beyond === 1 ? "lies" : "lie"} beyond the oldest part seen in ${clockOf(settings).name} of that condition.`,
        ]
      : []),
    ...(others > 0
      ? [
          `${capital(sayCount(others, "more row"))} ${others === 1 ? "has" : "have"} cautions of ${others === 1 ? "its" : "their"} own, in the last column of “What stands behind each row”.`,
        ]
      : []),
  ];
}

const sum = (rows: readonly IntervalRow[], key: "lives" | "failures"): number =>
  rows.reduce((total, row) => total + row[key], 0);
