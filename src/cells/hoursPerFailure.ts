/** Cell kind `hours-per-failure`: mean hours per failure of each fleet by class of failure, with clock, window and limits. */
import {wordAt} from "../../shared/columnar.ts";
import {MODES} from "../../shared/vocabulary/index.ts";
import {exposureOf} from "../lives/index.ts";
import {FAILURE_CLASSES} from "../lives/failureTable.ts";
import {rateLimits} from "../statistics/index.ts";
import {LEAST_TO_RANK, window} from "./compareWords.ts";
import {runsBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {failuresInView, runsInView} from "./inView.ts";
import {asked, choiceParam, numberParam, params} from "./params.ts";
import {capital, clockOf, onlySentence, sayCount, sayLevel, sayLimits, sayList, sayNothing, sayNumber} from "./say.ts";

/**
 * The trade's classes (ours, trade practice) as far as the columns of the logs tell them apart. One failed run counts once,
 * whatever number of parts is blamed for it.
 */
export const CLASSES = {
  F1: "service lost, string tripped",
  F2: "service lost, retrieved on wireline (the run's comment says so)",
  F3: "degraded: the run was completed or pulled for another reason, yet rig time was lost",
  F4: "failed before its first run since it was fitted",
  F5: "limit exceeded, found at a teardown",
  X: "plugged with more lost-circulation material in the run than the limit given; chargeable elsewhere",
  shop: "spoilt at the bench, no service lost",
} as const;
export type TradeClass = keyof typeof CLASSES;

const BY = {fleet: "one row a fleet", none: "all together"} as const;

const {schema, fields} = params({
  by: choiceParam("what stands in a row", BY, "fleet"),
  lcm_limit: asked(
    numberParam(
      "lost-circulation material from which plugging is chargeable elsewhere, kg/m³; common practice, per tool",
      {
        min: 0,
        max: 1000,
        // 40 lb/bbl, the upper end of usual telemetry limits (trade practice)
        fallback: 114,
      },
    ),
  ),
});

interface Params {
  readonly by: keyof typeof BY;
  readonly lcm_limit: number;
}

const NAMES = Object.keys(CLASSES) as readonly TradeClass[];
const CHARGEABLE: readonly TradeClass[] = ["F1", "F2", "F3"];

interface Row {
  readonly name: string;
  readonly exposure: number;
  readonly counts: Readonly<Record<TradeClass, number>>;
  /** rows of the run table behind the chargeable ones */
  readonly chargeable: readonly number[];
}

interface HoursResult {
  readonly rows: readonly Row[];
  readonly from: number;
  readonly to: number;
  readonly unknownRuns: number;
}

export const hoursPerFailure: CellKind<Params, HoursResult> = {
  kind: "hours-per-failure",
  summary: "Mean circulating hours per failure by class, with clock, window, count and limits.",
  schema,
  fields,
  example: "by: fleet\n",

  compute(inputs, {by, lcm_limit}) {
    const {runs, failures, settings} = inputs;
    const {fleet, end, lost_time_h, outcome} = runs.columns;
    const exposures = exposureOf(runs, settings.exposure);
    const rows = new Map<string, {exposure: number; counts: Record<TradeClass, number>; chargeable: Set<number>}>();
    const rowOf = (name: string) => {
      const row = rows.get(name) ?? {
        exposure: 0,
        chargeable: new Set<number>(),
        counts: Object.fromEntries(NAMES.map((what) => [what, 0])) as Record<TradeClass, number>,
      };
      rows.set(name, row);
      return row;
    };
    const named = (word: string | null) => (by === "none" ? "all fleets" : (word ?? "no fleet named"));
    let unknownRuns = 0;
    let from = Infinity;
    let to = -Infinity;
    for (const run of runsInView(inputs)) {
      const row = rowOf(named(wordAt(fleet, run)));
      if (exposures[run]! >= 0) row.exposure += exposures[run]!;
      else unknownRuns++;
      if (Number.isFinite(end[run]!)) {
        from = Math.min(from, end[run]!);
        to = Math.max(to, end[run]!);
      }
      const how = wordAt(outcome, run);
      if ((how === "completed" || how === "pulled for other reason") && lost_time_h[run]! > 0) {
        row.counts.F3++;
        row.chargeable.add(run);
      }
    }
    const counted = new Set<number>();
    for (const failure of failuresInView(inputs)) {
      const row = rowOf(named(wordAt(failures.fleet, failure)));
      const what = FAILURE_CLASSES[failures.failureClass[failure]!]!;
      const run = failures.run[failure]!;
      if ((what === "F1" || what === "F2") && run >= 0) {
        if (counted.has(run)) continue;
        counted.add(run);
        // a run that ended in a failure and was logged as completed is that failure, not a degraded run besides
        const how = wordAt(outcome, run);
        if ((how === "completed" || how === "pulled for other reason") && lost_time_h[run]! > 0) row.counts.F3--;
      }
      const plugged = isPlugged(inputs, failure, lcm_limit);
      row.counts[plugged ? "X" : what]++;
      if (run < 0 || (what !== "F1" && what !== "F2")) continue;
      if (plugged) row.chargeable.delete(run);
      else row.chargeable.add(run);
    }
    return {
      rows: [...rows]
        .map(([name, row]) => ({name, ...row, chargeable: [...row.chargeable]}))
        .sort((a, b) => (a.name < b.name ? -1 : 1)),
      from,
      to,
      unknownRuns,
    };
  },

  present(result, params, inputs) {
    const {rows} = result;
    if (rows.every(({exposure}) => exposure === 0)) return onlySentence(sayNothing("runs with exposure", inputs));
    return {
      headline: headlineOf(result, inputs),
      figures: [figureOf(result, inputs)],
      tables: [tableOf(result, params, inputs)],
      cautions: cautionsOf(result, inputs),
      asks: [
        {
          name: "lcm_limit",
          label: "plugging is chargeable elsewhere from",
          kind: "number",
          value: String(params.lcm_limit),
          unit: "kg/m³ of lost-circulation material",
          min: 0,
          max: 1000,
        },
      ],
    };
  },
};

/** X as far as the columns go: blockage in a run with more lost-circulation material than the limit. */
function isPlugged({failures, runs}: CellInputs, failure: number, limit: number): boolean {
  const mode = wordAt(failures.mode, failure);
  const run = failures.run[failure]!;
  return (
    run >= 0 &&
    mode !== null &&
    (MODES[mode]?.mechanism.startsWith("5.1") ?? false) &&
    runs.columns.lcm_kgm3[run]! > limit
  );
}

const chargeable = ({counts}: Row): number => CHARGEABLE.reduce((sum, what) => sum + counts[what], 0);

function perFailure(count: number, exposure: number, level: number) {
  const [lower, upper] = exposure > 0 ? rateLimits({count, exposure}, level) : [0, Infinity];
  return {
    mean: count > 0 && exposure > 0 ? exposure / count : null,
    limits: [upper > 0 && upper < Infinity ? 1 / upper : null, lower > 0 ? 1 / lower : null] as const,
  };
}

function headlineOf({rows, from, to}: HoursResult, {settings}: CellInputs): string {
  const {unit, name} = clockOf(settings);
  const say = (row: Row) => {
    const count = chargeable(row);
    const {mean, limits} = perFailure(count, row.exposure, settings.level);
    const value =
      mean === null
        ? `${row.name} above ${sayNumber(Math.round(limits[0] ?? 0))} ${unit}`
        : `${row.name} ${sayNumber(Math.round(mean))} ${unit}`;
    return `${value} (${sayLimits([limits[0] === null ? null : Math.round(limits[0]), limits[1] === null ? null : Math.round(limits[1])])}; ${sayCount(count, "failure")} in ${sayNumber(Math.round(row.exposure))} ${unit})`;
  };
  return `Mean ${name} per failure of classes F1 to F3, ${window({from, to})}, with ${sayLevel(settings)}: ${rows.map(say).join("; ")}.`;
}

function figureOf({rows}: HoursResult, inputs: CellInputs): Figure {
  const {settings} = inputs;
  const {unit, name} = clockOf(settings);
  const told = rows.map((row) => ({row, ...perFailure(chargeable(row), row.exposure, settings.level)}));
  const best = [...told].filter(({mean}) => mean !== null).sort((a, b) => (b.mean ?? 0) - (a.mean ?? 0));
  const rankable = rows.length > 1 && rows.every((row) => chargeable(row) >= LEAST_TO_RANK);
  return {
    name: "hours-per-failure",
    title: rankable
      ? `${best[0]!.row.name} runs longest between failures, ${best.at(-1)!.row.name} shortest`
      : rows.length === 1
        ? `Hours per failure of ${rows[0]!.name}`
        : "Too few failures to rank every fleet",
    caption: `Mean ${name} per failure, classes F1 to F3 together. Whiskers: ${sayLevel(settings)}, time-truncated chi-square bounds.`,
    alt: told
      .map(({row, mean}) => `${row.name}: ${mean === null ? "no failure" : `${sayNumber(Math.round(mean))} ${unit}`}`)
      .join("; "),
    chart: {
      kind: "dots",
      label: `mean ${name} per failure`,
      unit: "",
      reference: null,
      log: false,
      rows: told.map(({row, mean, limits}) => ({
        name: row.name,
        group: row.name,
        value: mean,
        lower: limits[0],
        upper: limits[1],
        note: `${sayCount(chargeable(row), "failure")} in ${sayNumber(Math.round(row.exposure))} ${unit}`,
        behind: runsBehind(inputs, row.chargeable, {
          mark: row.name,
          one: "run that failed or lost time",
          many: "runs that failed or lost time",
        }),
      })),
    },
  };
}

function tableOf({rows, from, to}: HoursResult, {lcm_limit}: Params, {settings}: CellInputs): CellTable {
  const {unit, name} = clockOf(settings);
  const flat = rows.flatMap((row) => [
    {
      name: row.name,
      what: "F1 to F3",
      meaning: "chargeable failures in service",
      count: chargeable(row),
      exposure: row.exposure,
    },
    ...NAMES.map((what) => ({
      name: row.name,
      what: what as string,
      meaning: CLASSES[what] as string,
      count: row.counts[what],
      exposure: row.exposure,
    })),
  ]);
  const told = flat.map(({count, exposure}) => perFailure(count, exposure, settings.level));
  return {
    name: "hours-per-failure",
    title: "By class",
    columns: [
      {name: "fleet", label: "fleet", values: flat.map((row) => row.name)},
      {name: "class", label: "class", values: flat.map(({what}) => what)},
      {name: "meaning", label: "what it says", values: flat.map(({meaning}) => meaning)},
      {name: "failures", label: "failures", format: "count", values: flat.map(({count}) => count)},
      {name: "exposure", label: name, unit, format: "hours", values: flat.map(({exposure}) => Math.round(exposure))},
      {name: "mean", label: "per failure", unit, format: "hours", values: told.map(({mean}) => mean)},
      {name: "lower", label: "lower limit", unit, format: "hours", values: told.map(({limits}) => limits[0])},
      {name: "upper", label: "upper limit", unit, format: "hours", values: told.map(({limits}) => limits[1])},
    ],
    note: `Clock: ${name}. Window: runs that ended ${window({from, to})}. Limits: ${sayLevel(settings)} of a test ended by the clock, 2T/χ² with 2r + 2 and 2r degrees of freedom; with no failure there is a lower limit only. X: plugging above ${sayNumber(lcm_limit)} kg/m³; washout and misuse carry no mode of their own and stand in the other classes. Failures caused at service are among F1 and F2 where they ended a run.`,
  };
}

function cautionsOf({rows, unknownRuns}: HoursResult, {settings}: CellInputs): string[] {
  const cautions: string[] = [];
  const few = rows.filter((row) => chargeable(row) < LEAST_TO_RANK);
  if (few.length > 0)
    cautions.push(
      `${sayList(few.map((row) => `${row.name} has ${sayCount(chargeable(row), "failure")}`))}: too few to rank among the others.`,
    );
  if (rows.every(({counts}) => counts.F3 === 0))
    cautions.push(
      "No run names lost time without having failed, so class F3 (degraded, run completed) is empty: the logs may not tell of it.",
    );
  if (unknownRuns > 0)
    cautions.push(
      `${capital(sayCount(unknownRuns, "run"))} in view name no ${clockOf(settings).name}; hours per failure read low by that much.`,
    );
  return cautions;
}
