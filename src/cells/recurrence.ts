/** Cell kind `recurrence`: how often tools fail again and again, and whether that grows or falls. */
import {wordAt} from "../../shared/columnar.ts";
import {exposureOf} from "../lives/index.ts";
import {FAILURE_CLASSES} from "../lives/failureTable.ts";
import {
  fitPowerLaw,
  handbookTest,
  laplaceTest,
  meanCumulative,
  meanCumulativeDifference,
  repairHistory,
  type MeanCumulative,
  type NoPowerLaw,
  type PowerLaw,
  type RepairHistory,
  type TrendTest,
} from "../statistics/index.ts";
import type {CurvePoint} from "../charts/chart.ts";
import {runsBehind, stepsBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable} from "./contract.ts";
import {failuresInView, runsInView} from "./inView.ts";
import {choiceParam, componentsParam, params} from "./params.ts";
import {
  capital,
  clockOf,
  onlySentence,
  partsOf,
  sayCount,
  sayLevel,
  sayLimits,
  sayList,
  sayMoreFailures,
  sayNothing,
  sayNumber,
  sayP,
} from "./say.ts";

const SPLITS = {none: "all tools together", fleet: "one curve a fleet"} as const;

const {schema, fields} = params({
  by: choiceParam("one curve for each", SPLITS, "fleet"),
  component: componentsParam(),
});

interface Params {
  readonly by: keyof typeof SPLITS;
  readonly component: readonly string[] | null;
}

interface Group {
  readonly name: string;
  readonly tools: number;
  readonly events: number;
  readonly exposure: number;
  readonly failed: NamedHistory["failed"];
  readonly curve: MeanCumulative;
  readonly growth: PowerLaw | NoPowerLaw;
  readonly laplace: TrendTest | null;
  readonly handbook: TrendTest | null;
}

export interface RecurrenceResult {
  readonly groups: readonly Group[];
  /** difference of the first two groups at the last age both reach */
  readonly difference: {
    readonly first: string;
    readonly second: string;
    readonly at: number;
    readonly value: number;
    readonly lower: number;
    readonly upper: number;
  } | null;
  readonly unknownRuns: number;
}

export const recurrence: CellKind<Params, RecurrenceResult> = {
  kind: "recurrence",
  summary: "How often tools fail again and again, and whether that grows or falls with their hours.",
  schema,
  fields,
  example: "by: fleet\n",

  compute(inputs, params) {
    const {histories, unknownRuns} = historiesOf(inputs, params);
    const {level} = inputs.settings;
    const groups = histories.map(({name, history, exposure, failed}): Group => ({
      name,
      tools: history.end.length,
      events: history.age.length,
      exposure,
      curve: meanCumulative(history, {level}),
      failed,
      growth: fitPowerLaw(history, {level}),
      laplace: laplaceTest(history),
      handbook: handbookTest(history),
    }));
    const order = histories
      .map((_, i) => i)
      .sort((a, b) => groups[b]!.events / groups[b]!.exposure - groups[a]!.events / groups[a]!.exposure);
    const [a, b] = [order[0], order.at(-1)];
    return {
      groups: order.map((i) => groups[i]!),
      difference:
        a === undefined || b === undefined || a === b ? null : differenceOf(histories[a]!, histories[b]!, level),
      unknownRuns,
    };
  },

  present({groups, difference, unknownRuns}, params, inputs) {
    if (groups.length === 0) return onlySentence(sayNothing("tools with exposure", inputs));
    const {unit, name: clock} = clockOf(inputs.settings);
    const events = groups.reduce((sum, group) => sum + group.events, 0);
    const what =
      params.component === null
        ? "failures that ended a run"
        : `failures of ${sayList(params.component.map(partsOf))} that ended a run`;
    if (events === 0)
      return onlySentence(
        `No ${what} in ${sayNumber(Math.round(groups.reduce((sum, group) => sum + group.exposure, 0)))} ${unit} of ${sayCount(
          groups.reduce((sum, group) => sum + group.tools, 0),
          "tool",
        )}. ${sayMoreFailures(inputs)}`,
      );
    return {
      headline:
        `By ${clock} of a tool since the log or the window begins: ${groups.map(sayTrend).join("; ")}. ` +
        (difference
          ? `By ${sayNumber(difference.at)} ${unit} a tool of ${difference.first} has had ${sayNumber(difference.value)} more ${what} than one of ${difference.second} (${sayLevel(inputs.settings)} ${sayLimits([difference.lower, difference.upper])}). `
          : "") +
        `From ${sayCount(events, "failure")} of ${sayCount(
          groups.reduce((sum, group) => sum + group.tools, 0),
          "tool",
        )}.`,
      figures: [
        {
          name: "recurrence",
          title: titleOf(groups),
          caption: `${capital(sayCount(events, "failure"))} of ${sayCount(
            groups.reduce((sum, group) => sum + group.tools, 0),
            "tool",
          )}. Mean number of ${what} per tool so far. A straight line is a steady rate; one that bends up grows. Band: ${sayLevel(inputs.settings)}, robust against tools that differ. Thin line: power law.`,
          alt: groups
            .map(
              (group) =>
                `${group.name === "" ? "tools" : group.name}: ${sayNumber(group.curve.mean.at(-1) ?? 0)} per tool by ${sayNumber(group.curve.age.at(-1) ?? 0)} ${unit}`,
            )
            .join("; "),
          chart: {
            kind: "recurrence",
            unit,
            series: groups.map((group) => ({
              name: group.name === "" ? "all tools" : group.name,
              curve: stepsBehind(curveOf(group.curve), group.failed, (rows, age) =>
                runsBehind(inputs, rows, {
                  mark: `${group.name === "" ? "all tools" : group.name} at ${sayNumber(age)} ${unit}`,
                  one: "run that failed",
                  many: "runs that failed",
                }),
              ),
              growth: growthOf(group),
            })),
          },
        },
      ],
      tables: [trendTable(groups, inputs)],
      cautions: [
        "The tests suppose that a repair leaves the tool as it was; a rebuild that renews much does not. Read a falling rate as what the shop achieves, not as the tool's own.",
        ...groups.flatMap((group) =>
          [...group.curve.cautions, ...(group.growth.fitted ? group.growth.cautions : [group.growth.sentence])].map(
            (caution) => (group.name === "" ? caution : `${group.name}: ${caution}`),
          ),
        ),
        ...(unknownRuns > 0
          ? [
              `${sayCount(unknownRuns, "run")} without logged exposure ${unknownRuns === 1 ? "adds" : "add"} nothing to the clock.`,
            ]
          : []),
      ],
    };
  },
};

type Trend = "growing" | "falling" | "none" | "unknown";

/** What the shape of the power law says, no more than its limits allow. */
function trendOf({growth}: Group): Trend {
  if (!growth.fitted) return "unknown";
  const [lower, upper] = growth.shapeLimits;
  return lower > 1 ? "growing" : upper < 1 ? "falling" : "none";
}

const TRENDS: Readonly<Record<Trend, string>> = {
  growing: "failures come more and more often",
  falling: "failures come less and less often",
  none: "no trend is shown",
  unknown: "too few failures for a trend",
};

function sayTrend(group: Group): string {
  const {growth} = group;
  const shape = growth.fitted ? ` (shape ${sayNumber(growth.shape)}, ${sayLimits(growth.shapeLimits)})` : "";
  return `${group.name === "" ? "all tools" : group.name}: ${TRENDS[trendOf(group)]}${shape}`;
}

function titleOf(groups: readonly Group[]): string {
  const named = (trend: Trend) => groups.filter((group) => trendOf(group) === trend).map(({name}) => name);
  if (groups.length === 1) return capital(TRENDS[trendOf(groups[0]!)]);
  const moving = (["growing", "falling"] as const).flatMap((trend) =>
    named(trend).length ? [`In ${sayList(named(trend))} ${TRENDS[trend]}`] : [],
  );
  return moving.length ? moving.join("; ") : "No group shows a trend";
}

interface NamedHistory {
  readonly name: string;
  readonly history: RepairHistory;
  readonly exposure: number;
  /** rows of the run table that a failure ended, by the clock of their tool */
  readonly failed: readonly {readonly age: number; readonly row: number}[];
}

/** Runs and failures that ended them, tool by tool, on the tool's own clock from its first run in view. */
function historiesOf(
  inputs: CellInputs,
  {by, component}: Params,
): {readonly histories: readonly NamedHistory[]; readonly unknownRuns: number} {
  const {runs, failures, settings} = inputs;
  const {tool, fleet, end, failed_at_h} = runs.columns;
  const exposures = exposureOf(runs, settings.exposure);
  const hours = settings.exposure === "circulating hours";
  const ended = new Set<number>();
  for (const row of failuresInView(inputs)) {
    const what = FAILURE_CLASSES[failures.failureClass[row]!];
    const part = wordAt(failures.component, row);
    if (what !== "F1" && what !== "F2") continue;
    if (component !== null && (part === null || !component.includes(part))) continue;
    ended.add(failures.run[row]!);
  }
  const byTool = new Map<string, number[]>();
  let unknownRuns = 0;
  for (const row of runsInView(inputs)) {
    if (!(exposures[row]! > 0)) {
      unknownRuns++;
      continue;
    }
    const key = JSON.stringify([by === "fleet" ? (wordAt(fleet, row) ?? "no fleet named") : "", wordAt(tool, row)]);
    const rows = byTool.get(key);
    if (rows) rows.push(row);
    else byTool.set(key, [row]);
  }
  const groups = new Map<
    string,
    {end: number[]; system: number[]; age: number[]; failed: {age: number; row: number}[]}
  >();
  for (const [key, rows] of byTool) {
    const [name] = JSON.parse(key) as [string];
    const group = groups.get(name) ?? {end: [], system: [], age: [], failed: []};
    groups.set(name, group);
    let clock = 0;
    const system = group.end.length;
    for (const row of rows.sort((a, b) => end[a]! - end[b]!)) {
      const failedAt = failed_at_h[row]!;
      // the log names the hour of a failure in circulating hours only; else it stands at the end of its run
      const into = hours && failedAt > 0 && failedAt <= exposures[row]! ? failedAt : exposures[row]!;
      if (ended.has(row)) {
        group.system.push(system);
        group.age.push(clock + into);
        group.failed.push({age: clock + into, row});
      }
      clock += exposures[row]!;
    }
    group.end.push(clock);
  }
  const histories = [...groups].map(([name, group]) => ({
    name,
    history: repairHistory(group),
    failed: group.failed,
    exposure: group.end.reduce((sum, e) => sum + e, 0),
  }));
  return {histories, unknownRuns};
}

function differenceOf(first: NamedHistory, second: NamedHistory, level: number): RecurrenceResult["difference"] {
  const {age, difference, lower, upper} = meanCumulativeDifference(first.history, second.history, {level});
  const last = age.length - 1;
  if (last < 0) return null;
  return {
    first: first.name,
    second: second.name,
    at: age[last]!,
    value: difference[last]!,
    lower: lower[last]!,
    upper: upper[last]!,
  };
}

function curveOf({age, mean, lower, upper}: MeanCumulative): CurvePoint[] {
  return [
    {age: 0, estimate: 0, lower: null, upper: null},
    ...Array.from(age, (at, i) => ({age: at, estimate: mean[i]!, lower: lower[i]!, upper: upper[i]!})),
  ];
}

function growthOf({growth, curve}: Group): CurvePoint[] {
  const last = curve.age.at(-1);
  if (!growth.fitted || last === undefined) return [];
  return Array.from({length: 25}, (_, i) => {
    const age = (last * (i + 1)) / 25;
    return {age, estimate: growth.rate * age ** growth.shape, lower: null, upper: null};
  });
}

function trendTable(groups: readonly Group[], {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const pOf = (test: TrendTest | null) => (test === null ? null : sayP(test.pTwoSided));
  const power = (of: (law: PowerLaw) => number) => groups.map(({growth}) => (growth.fitted ? of(growth) : null));
  return {
    name: "trend",
    title: "Trend",
    columns: [
      {name: "group", label: "group", values: groups.map(({name}) => (name === "" ? "all tools" : name))},
      {name: "tools", label: "tools", format: "count", values: groups.map(({tools}) => tools)},
      {name: "failures", label: "failures", format: "count", values: groups.map(({events}) => events)},
      {
        name: "exposure",
        label: "exposure",
        unit,
        format: "hours",
        values: groups.map(({exposure}) => Math.round(exposure)),
      },
      {name: "shape", label: "shape of the power law", format: "number", values: power(({shape}) => shape)},
      {name: "shape_lower", label: "lower limit", format: "number", values: power(({shapeLimits}) => shapeLimits[0])},
      {name: "shape_upper", label: "upper limit", format: "number", values: power(({shapeLimits}) => shapeLimits[1])},
      {name: "laplace", label: "Laplace test, p", values: groups.map(({laplace}) => pOf(laplace))},
      {name: "handbook", label: "MIL-HDBK-189 test, p", values: groups.map(({handbook}) => pOf(handbook))},
    ],
    note: `Shape 1 is a steady rate, above 1 a growing one. ${sayLevel(settings)} of the shape. Both tests are two-sided against a steady rate.`,
  };
}
