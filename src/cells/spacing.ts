/** Cell kind `spacing`: a control chart of the hours between failures, fleet by fleet. */
import {wordAt} from "../../shared/columnar.ts";
import {exposureOf} from "../lives/index.ts";
import {FAILURE_CLASSES} from "../lives/failureTable.ts";
import {spacingLimits, type SpacingLimits} from "../statistics/index.ts";
import {day} from "./compareWords.ts";
import {runsBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {failuresInView, runsInView} from "./inView.ts";
import {choiceParam, componentsParam, numberParam, params} from "./params.ts";
import {capital, clockOf, onlySentence, partsOf, sayCount, sayList, sayNothing, sayNumber, sayPercent} from "./say.ts";

const BY = {fleet: "one chart a fleet", none: "all together"} as const;

const {schema, fields} = params({
  by: choiceParam("one chart for each", BY, "fleet"),
  component: componentsParam(),
  events: numberParam("failures that end a stretch; chosen so that there are some twenty stretches when left out", {
    min: 1,
    max: 50,
    fallback: null,
  }),
  false_alarms: numberParam("chance in percent that a stretch of a steady rate lies outside", {
    min: 0.01,
    max: 20,
    // three standard deviations of a normal, the usual choice of control charts (common practice)
    fallback: 0.27,
  }),
});

interface Params {
  readonly by: keyof typeof BY;
  readonly component: readonly string[] | null;
  readonly events: number | null;
  readonly false_alarms: number;
}

interface Stretch {
  readonly at: number;
  readonly length: number;
  readonly day: number;
  readonly outside: "short" | "long" | null;
  /** rows of the run table: the runs that failed in it, the last of which ended it */
  readonly rows: readonly number[];
}

interface Series {
  readonly name: string;
  readonly failures: number;
  readonly exposure: number;
  readonly events: number;
  readonly limits: SpacingLimits | null;
  readonly stretches: readonly Stretch[];
}

interface SpacingResult {
  readonly series: readonly Series[];
  readonly undated: number;
}

const STRETCHES = 20;
/** Fewer stretches than this give no limits worth drawing. */
const LEAST = 5;

export const spacing: CellKind<Params, SpacingResult> = {
  kind: "spacing",
  summary: "A control chart of the hours between failures: is one stretch shorter or longer than a steady rate gives?",
  schema,
  fields,
  example: "by: fleet\n",

  compute(inputs, {by, component, events, false_alarms}) {
    const {runs, failures, settings} = inputs;
    const exposures = exposureOf(runs, settings.exposure);
    const hours = settings.exposure === "circulating hours";
    const ended = new Set<number>();
    for (const row of failuresInView(inputs)) {
      const what = FAILURE_CLASSES[failures.failureClass[row]!];
      const part = wordAt(failures.component, row);
      if (what !== "F1" && what !== "F2") continue;
      if (component === null || (part !== null && component.includes(part))) ended.add(failures.run[row]!);
    }
    const byName = new Map<string, number[]>();
    let undated = 0;
    for (const run of runsInView(inputs)) {
      if (!Number.isFinite(runs.columns.end[run]!)) {
        undated++;
        continue;
      }
      if (!(exposures[run]! >= 0)) continue;
      const name = by === "none" ? "all fleets" : (wordAt(runs.columns.fleet, run) ?? "no fleet named");
      byName.set(name, [...(byName.get(name) ?? []), run]);
    }
    const series = [...byName].map(([name, list]): Series => {
      list.sort((a, b) => runs.columns.end[a]! - runs.columns.end[b]! || a - b);
      const exposure = list.reduce((sum, run) => sum + exposures[run]!, 0);
      const count = list.filter((run) => ended.has(run)).length;
      const size = events ?? Math.max(1, Math.round(count / STRETCHES));
      const limits =
        count >= LEAST * size && exposure > 0 ? spacingLimits(count / exposure, size, false_alarms / 100) : null;
      const stretches: Stretch[] = [];
      let clock = 0;
      let since = 0;
      let seen: number[] = [];
      for (const run of list) {
        if (ended.has(run)) {
          const at = runs.columns.failed_at_h[run]!;
          const into = hours && at > 0 && at <= exposures[run]! ? at : exposures[run]!;
          seen.push(run);
          if (seen.length === size) {
            const length = clock + into - since;
            stretches.push({
              at: clock + into,
              length,
              day: runs.columns.end[run]!,
              outside: limits && outsideOf(length, limits),
              rows: seen,
            });
            since = clock + into;
            seen = [];
          }
        }
        clock += exposures[run]!;
      }
      return {name, failures: count, exposure, events: size, limits, stretches};
    });
    return {series: series.sort((a, b) => b.failures / b.exposure - a.failures / a.exposure), undated};
  },

  present({series, undated}, params, inputs) {
    const cautions = [
      "Runs of several tools overlap in time; they are lined up by the day they ended, so the order within some days is a convention.",
      ...(undated > 0
        ? [
            `${capital(sayCount(undated, "run"))} without a date cannot be put in order and ${undated === 1 ? "is" : "are"} left out.`,
          ]
        : []),
    ];
    if (series.length === 0)
      return onlySentence(
        undated > 0
          ? `${capital(sayCount(undated, "run"))} in view, none with a date: nothing can be put in order.`
          : sayNothing("runs with exposure", inputs),
      );
    const drawn = series.filter(({limits, stretches}) => limits !== null && stretches.length > 0);
    const thin = series.filter((s) => !drawn.includes(s));
    return {
      headline: headlineOf(drawn, thin, params, inputs),
      figures: drawn.map((s) => figureOf(s, params, inputs)),
      tables: drawn.length ? [tableOf(drawn, inputs)] : [],
      cautions: [
        ...(thin.length
          ? [
              `${sayList(thin.map(({name, failures}) => `${name} has ${sayCount(failures, "failure")}`))}: too few for limits.`,
            ]
          : []),
        ...cautions,
        "The limits come from the rate of the very failures they judge, so a lasting change shows as many points to one side of the median rather than as one outside.",
      ],
    };
  },
};

const outsideOf = (length: number, {lower, upper}: SpacingLimits): "short" | "long" | null =>
  length < lower ? "short" : length > upper ? "long" : null;

const what = ({component}: Params): string =>
  component === null ? "failures that ended a run" : `failures of ${sayList(component.map(partsOf))} that ended a run`;

function headlineOf(drawn: readonly Series[], thin: readonly Series[], params: Params, {settings}: CellInputs): string {
  const {unit} = clockOf(settings);
  if (drawn.length === 0)
    return `Too few ${what(params)} for a control chart: ${sayList(thin.map(({name, failures, exposure}) => `${name} ${sayNumber(failures)} in ${sayNumber(Math.round(exposure))} ${unit}`))}. With ${sayNumber(LEAST * (params.events ?? 1))} or more in a fleet there is one.`;
  const say = (s: Series): string => {
    const short = s.stretches.filter(({outside}) => outside === "short");
    const long = s.stretches.filter(({outside}) => outside === "long");
    const found =
      short.length + long.length === 0
        ? "no stretch outside the limits"
        : sayList([
            ...(short.length
              ? [
                  `${sayCount(short.length, "stretch", "stretches")} shorter than chance gives (${sayList(short.slice(0, 3).map((x) => day(x.day)))})`,
                ]
              : []),
            ...(long.length
              ? [
                  `${sayCount(long.length, "stretch", "stretches")} longer (${sayList(long.slice(0, 3).map((x) => day(x.day)))})`,
                ]
              : []),
          ]);
    return `${s.name}: ${found} among ${sayNumber(s.stretches.length)}`;
  };
  return `${capital(clockOf(settings).name)} between ${what(params)}, against a steady rate: ${drawn.map(say).join("; ")}.`;
}

function figureOf(s: Series, {false_alarms}: Params, inputs: CellInputs): Figure {
  const {settings} = inputs;
  const {unit, name: clock} = clockOf(settings);
  const outside = s.stretches.filter((stretch) => stretch.outside !== null).length;
  return {
    name: `spacing-${s.name}`,
    title:
      outside === 0
        ? `No stretch of ${s.name} is out of the ordinary`
        : `${sayCount(outside, "stretch", "stretches")} of ${s.name} ${outside === 1 ? "is" : "are"} out of the ordinary`,
    caption: `${capital(clock)} of all tools ${s.events === 1 ? "from failure to failure" : `to every ${sayNumber(s.events)} failures`}; ${sayCount(s.failures, "failure")} in ${sayNumber(Math.round(s.exposure))} ${unit}. Limits: ${sayPercent(1 - false_alarms / 100)} of the stretches of a steady rate (gamma quantiles).`,
    alt: `${sayNumber(s.stretches.length)} stretches, ${sayNumber(outside)} outside; limits ${sayNumber(s.limits!.lower)} and ${sayNumber(s.limits!.upper)} ${unit}`,
    chart: {
      kind: "spacing",
      unit,
      events: s.events,
      ...s.limits!,
      points: s.stretches.map(({rows, ...stretch}) => ({
        ...stretch,
        behind: runsBehind(inputs, rows, {
          mark: `${s.name}, stretch to ${day(stretch.day)}, ${sayNumber(Math.round(stretch.at))} ${unit}`,
          one: "run that failed",
          many: "runs that failed",
        }),
      })),
    },
  };
}

function tableOf(drawn: readonly Series[], {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const flat = drawn.flatMap((s) => s.stretches.map((stretch) => ({s, stretch})));
  return {
    name: "spacing",
    title: "Stretch by stretch",
    columns: [
      {name: "fleet", label: "fleet", values: flat.map(({s}) => s.name)},
      {name: "ended", label: "ended", values: flat.map(({stretch}) => day(stretch.day))},
      {name: "failures", label: "failures in it", format: "count", values: flat.map(({s}) => s.events)},
      {name: "length", label: "length", unit, format: "hours", values: flat.map(({stretch}) => stretch.length)},
      {name: "lower", label: "lower limit", unit, format: "hours", values: flat.map(({s}) => s.limits!.lower)},
      {name: "upper", label: "upper limit", unit, format: "hours", values: flat.map(({s}) => s.limits!.upper)},
      {name: "outside", label: "outside", values: flat.map(({stretch}) => stretch.outside ?? "no")},
    ],
    note: "Limits: quantiles of the gamma distribution of a steady rate (Chan, Xie and Goh 2000; Xie, Goh and Ranjan 2002), at the fleet's own rate in view.",
  };
}
