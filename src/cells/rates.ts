/** Cell kind `rates`: who fails more often than the rest, beyond chance, when many are compared at once. */
import {wordAt, type Words} from "../../shared/columnar.ts";
import {FAILURE_CLASSES} from "../lives/failureTable.ts";
import {compareRates, countAgainst, falseDiscovery, funnelLimits, rateLimits} from "../statistics/index.ts";
import {failuresBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {exposureSum, failuresInView, runsInView} from "./inView.ts";
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
  sayNothing,
  sayNumber,
  sayP,
  sayPercent,
} from "./say.ts";

const UNITS = {fleet: "fleets", tool: "tools", mud: "muds", regime: "flow regimes"} as const;
const COUNTED = {
  "ended runs": "failures that ended a run",
  all: "every failure",
  "caused at service": "failures the shop caused",
  "not caused at service": "failures the shop did not cause",
} as const;

const {schema, fields} = params({
  by: choiceParam("what is compared", UNITS, "fleet"),
  count: choiceParam("which failures are counted", COUNTED, "ended runs"),
  component: componentsParam(),
});

interface Params {
  readonly by: keyof typeof UNITS;
  readonly count: keyof typeof COUNTED;
  readonly component: readonly string[] | null;
}

export interface UnitRate {
  /** rows of the failure table */
  readonly failed: readonly number[];
  readonly name: string;
  readonly failures: number;
  readonly exposure: number;
  readonly rate: number;
  readonly limits: readonly [number, number];
  /** two-sided mid-p of the count against the rate of all together, and adjusted for how many are compared */
  readonly p: number;
  readonly adjusted: number;
}

interface Pair {
  readonly first: string;
  readonly second: string;
  readonly ratio: number | null;
  readonly limits: readonly [number, number | null];
  readonly p: number;
  readonly adjusted: number;
}

export interface RatesResult {
  readonly units: readonly UnitRate[];
  readonly overall: number;
  readonly pairs: readonly Pair[];
  /** failures and runs of no named unit, or without exposure */
  readonly outsideFailures: number;
  readonly unknownRuns: number;
}

/** Calls are made so that at most this share of them is false, in the long run. */
const FALSE_SHARE = 0.1;
/** Pairs are told one by one up to this many units. */
const MOST_PAIRED = 6;
const POINTS = 60;

export const rates: CellKind<Params, RatesResult> = {
  kind: "rates",
  summary:
    "Who fails more often than the rest, beyond chance: funnel, exact ratios of two rates, false discoveries held down.",
  schema,
  fields,
  example: "by: tool\n",

  compute(inputs, params) {
    const exposures = exposureByUnit(inputs, params.by);
    const counts = new Map<string, number[]>();
    let outsideFailures = 0;
    const runsEnded = new Set<string>();
    for (const row of countedFailures(inputs, params)) {
      const name = wordAt(failureColumn(inputs, params.by), row);
      // several parts blamed for one run are one failure of the run
      const run = inputs.failures.run[row]!;
      const key = `${name ?? ""} ${run}`;
      if (params.count === "ended runs" && params.component === null && run >= 0) {
        if (runsEnded.has(key)) continue;
        runsEnded.add(key);
      }
      if (name === null || !((exposures.get(name) ?? 0) > 0)) outsideFailures++;
      else {
        const rows = counts.get(name);
        if (rows) rows.push(row);
        else counts.set(name, [row]);
      }
    }
    const names = [...exposures.keys()].filter((name) => (exposures.get(name) ?? 0) > 0);
    const rows = names.map((name) => {
      const failed = counts.get(name) ?? [];
      return {name, failed, failures: failed.length, exposure: exposures.get(name)!};
    });
    const overall = total(rows.map(({failures}) => failures)) / total(rows.map(({exposure}) => exposure));
    const {level} = inputs.settings;
    const p = rows.map(({failures, exposure}) => countAgainst({count: failures, exposure}, overall));
    const adjusted = falseDiscovery(p);
    const units = rows.map((row, i): UnitRate => {
      const [lower, upper] = rateLimits({count: row.failures, exposure: row.exposure}, level);
      return {
        ...row,
        rate: (row.failures / row.exposure) * 1000,
        limits: [lower * 1000, upper * 1000],
        p: p[i]!,
        adjusted: adjusted[i]!,
      };
    });
    units.sort((a, b) => b.rate - a.rate || (a.name < b.name ? -1 : 1));
    return {
      units,
      overall: overall * 1000,
      pairs: units.length <= MOST_PAIRED ? pairsOf(units, level) : [],
      outsideFailures,
      unknownRuns: exposureSum(inputs, runsInView(inputs)).unknown,
    };
  },

  present(result, params, inputs) {
    const {units} = result;
    if (units.length === 0) return onlySentence(sayNothing(`${UNITS[params.by]} with exposure`, inputs));
    return {
      headline: headlineOf(result, params, inputs),
      figures: units.length > 1 && result.overall > 0 ? [funnelFigure(result, params, inputs)] : [],
      tables: [unitsTable(result, params, inputs), ...(result.pairs.length ? [pairsTable(result, inputs)] : [])],
      cautions: cautionsOf(result, params),
    };
  },
};

const total = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0);

function failureColumn({failures}: CellInputs, by: Params["by"]): Words {
  return failures[by];
}

function exposureByUnit(inputs: CellInputs, by: Params["by"]): Map<string, number> {
  const {fleet, tool} = inputs.runs.columns;
  const column = by === "fleet" ? fleet : by === "tool" ? tool : inputs.conditions[by];
  const rows = new Map<string, number[]>();
  for (const row of runsInView(inputs)) {
    const name = wordAt(column, row);
    if (name === null) continue;
    const list = rows.get(name);
    if (list) list.push(row);
    else rows.set(name, [row]);
  }
  return new Map([...rows].map(([name, list]) => [name, exposureSum(inputs, Int32Array.from(list)).exposure]));
}

function countedFailures(inputs: CellInputs, {count, component}: Params): number[] {
  const {failures} = inputs;
  return [...failuresInView(inputs)].filter((row) => {
    const what = FAILURE_CLASSES[failures.failureClass[row]!];
    const part = wordAt(failures.component, row);
    if (component !== null && (part === null || !component.includes(part))) return false;
    switch (count) {
      case "all":
        return true;
      case "ended runs":
        return what === "F1" || what === "F2";
      case "caused at service":
        return failures.serviceInduced[row] === 1;
      case "not caused at service":
        return failures.serviceInduced[row] !== 1;
    }
  });
}

function pairsOf(units: readonly UnitRate[], level: number): Pair[] {
  const raw = units.flatMap((a, i) =>
    units.slice(i + 1).map((b) => ({
      first: a.name,
      second: b.name,
      ...compareRates({count: a.failures, exposure: a.exposure}, {count: b.failures, exposure: b.exposure}, {level}),
    })),
  );
  const adjusted = falseDiscovery(raw.map(({pTwoSided}) => pTwoSided));
  return raw.map(({first, second, ratio, limits, pTwoSided}, i) => ({
    first,
    second,
    ratio,
    limits,
    p: pTwoSided,
    adjusted: adjusted[i]!,
  }));
}

const isOutside = ({adjusted}: UnitRate): boolean => adjusted <= FALSE_SHARE;

function subject({count, component}: Params): string {
  const parts = component === null ? "" : ` of ${sayList(component.map(partsOf))}`;
  switch (count) {
    case "all":
      return `failures${parts} of any kind`;
    case "ended runs":
      return `failures${parts} that ended a run`;
    case "caused at service":
      return `failures${parts} caused at service`;
    case "not caused at service":
      return `failures${parts} not caused at service`;
  }
}

function headlineOf({units, overall, pairs}: RatesResult, params: Params, {settings}: CellInputs): string {
  const {unit} = clockOf(settings);
  const failures = total(units.map((row) => row.failures));
  const exposure = total(units.map((row) => row.exposure));
  const base = `${capital(subject(params))}: ${sayNumber(overall)} per 1,000 ${unit} over ${sayNumber(units.length)} ${units.length === 1 ? UNITS[params.by].replace(/s$/, "") : UNITS[params.by]} (${sayNumber(failures)} in ${sayNumber(Math.round(exposure))} ${unit})`;
  if (units.length === 1) return `${base}; there is nothing to compare ${units[0]!.name} with.`;
  const high = units.filter((row) => isOutside(row) && row.rate > overall);
  const low = units.filter((row) => isOutside(row) && row.rate < overall);
  if (high.length + low.length === 0) return `${base}. None of them differs from the rest by more than chance would.`;
  const say = (rows: readonly UnitRate[]) =>
    rows.length > 5
      ? `${rows.length} of them`
      : sayList(
          rows.map((row) => `${row.name} (${sayNumber(row.rate)}; ${sayLevel(settings)} ${sayLimits(row.limits)})`),
        );
  const told = [...(high.length ? [`worse: ${say(high)}`] : []), ...(low.length ? [`better: ${say(low)}`] : [])].join(
    "; ",
  );
  const [pair] = [...pairs]
    .filter(({ratio, adjusted}) => ratio !== null && adjusted <= FALSE_SHARE)
    .sort((a, b) => (b.ratio ?? 0) - (a.ratio ?? 0));
  const ratio = pair
    ? ` ${pair.first} fails ${sayNumber(pair.ratio ?? NaN)} times as often as ${pair.second} (${sayLevel(settings)} ${sayLimits(pair.limits)}).`
    : "";
  return `${base}. Beyond chance, with at most ${sayPercent(FALSE_SHARE)} of such calls false, ${told}.${ratio}`;
}

function funnelFigure({units, overall}: RatesResult, params: Params, inputs: CellInputs): Figure {
  const {settings} = inputs;
  const {unit, name: clock} = clockOf(settings);
  const outside = units.filter(isOutside);
  const longest = Math.max(...units.map(({exposure}) => exposure));
  const shortest = Math.min(...units.map(({exposure}) => exposure));
  const exposures = Array.from(
    {length: POINTS},
    (_, i) =>
      Math.max(shortest / 2, longest / 500) * (longest / Math.max(shortest / 2, longest / 500)) ** (i / (POINTS - 1)),
  );
  return {
    name: "funnel",
    title:
      outside.length === 0
        ? `Chance alone would spread the ${UNITS[params.by]} like this`
        : `${outside.length > 3 ? `${sayNumber(outside.length)} ${UNITS[params.by]} stand` : `${sayList(outside.map(({name}) => name))} ${outside.length === 1 ? "stands" : "stand"}`} apart from the rest`,
    caption: `${capital(subject(params))}, per 1,000 ${clock}: ${sayNumber(units.reduce((sum, {failures}) => sum + failures, 0))} in ${sayNumber(Math.round(units.reduce((sum, {exposure}) => sum + exposure, 0)))} ${unit}. Dashed: rate of all together; grey: where ${sayPercent(settings.level)} of equal ${UNITS[params.by]} would lie. Filled: apart after allowing for ${sayNumber(units.length)} comparisons.`,
    alt: units
      .slice(0, 8)
      .map((row) => `${row.name}: ${sayNumber(row.rate)} per 1,000 ${unit}${isOutside(row) ? ", apart" : ""}`)
      .join("; "),
    chart: {
      kind: "funnel",
      unit,
      overall,
      level: settings.level,
      curve: exposures.map((exposure) => {
        const [lower, upper] = funnelLimits(overall / 1000, exposure, settings.level);
        return {exposure, lower: lower * 1000, upper: upper * 1000};
      }),
      points: units.map((row) => ({
        name: row.name,
        exposure: row.exposure,
        rate: row.rate,
        outside: isOutside(row),
        behind: failuresBehind(inputs, inputs.failures, row.failed, {mark: row.name}),
      })),
    },
  };
}

function unitsTable({units}: RatesResult, params: Params, {settings}: CellInputs): CellTable {
  const {unit, name} = clockOf(settings);
  const per = `per 1,000 ${unit}`;
  return {
    name: "rates",
    title: `Rates of the ${UNITS[params.by]}`,
    columns: [
      {name: "unit", label: params.by === "regime" ? "flow regime" : params.by, values: units.map((row) => row.name)},
      {name: "failures", label: "failures", format: "count", values: units.map((row) => row.failures)},
      {name: "exposure", label: name, unit, format: "hours", values: units.map((row) => Math.round(row.exposure))},
      {name: "rate", label: "rate", unit: per, format: "rate", values: units.map((row) => row.rate)},
      {name: "lower", label: "lower limit", unit: per, format: "rate", values: units.map((row) => row.limits[0])},
      {name: "upper", label: "upper limit", unit: per, format: "rate", values: units.map((row) => row.limits[1])},
      {name: "p", label: "p against all", values: units.map((row) => sayP(row.p))},
      {name: "adjusted", label: "p, adjusted", values: units.map((row) => sayP(row.adjusted))},
      {name: "apart", label: "apart", values: units.map((row) => (isOutside(row) ? "yes" : "no"))},
    ],
    note: `${sayLevel(settings)}: exact Poisson. p: two-sided mid-p of the count against the rate of all together, itself included; adjusted after Benjamini and Hochberg, apart at ${sayNumber(FALSE_SHARE)} or below.`,
  };
}

function pairsTable({pairs}: RatesResult, {settings}: CellInputs): CellTable {
  return {
    name: "ratios",
    title: "Two by two",
    columns: [
      {name: "first", label: "first", values: pairs.map(({first}) => first)},
      {name: "second", label: "second", values: pairs.map(({second}) => second)},
      {name: "ratio", label: "times as often", format: "number", values: pairs.map(({ratio}) => ratio)},
      {name: "lower", label: "lower limit", format: "number", values: pairs.map(({limits}) => limits[0])},
      {name: "upper", label: "upper limit", format: "number", values: pairs.map(({limits}) => limits[1])},
      {name: "p", label: "p", values: pairs.map(({p}) => sayP(p))},
      {name: "adjusted", label: "p, adjusted", values: pairs.map(({adjusted}) => sayP(adjusted))},
    ],
    note: `Exact conditional test of two Poisson rates; ${sayLevel(settings)} after Clopper and Pearson.`,
  };
}

function cautionsOf({units, outsideFailures, unknownRuns}: RatesResult, {by, count, component}: Params): string[] {
  const cautions: string[] = [];
  const failures = total(units.map((row) => row.failures));
  if (failures < 5) cautions.push(`${sayCount(failures, "failure")} in all: too few to tell anyone apart.`);
  if (by === "fleet" || by === "tool")
    cautions.push(
      "A rate knows nothing of mud, flow or temperature: who runs in harder conditions fails more often without being worse.",
    );
  if (by === "mud" || by === "regime")
    cautions.push(
      "Failures are counted in the condition they happened in, although the hours before may have been spent in another; the condition effects take that into account.",
    );
  if (count === "ended runs" && component === null)
    cautions.push("Several parts blamed for one run count as one failure here.");
  if (outsideFailures > 0)
    cautions.push(
      `${sayCount(outsideFailures, "failure")} of no named ${by === "regime" ? "flow regime" : by}, or of one without exposure, ${outsideFailures === 1 ? "is" : "are"} left out.`,
    );
  if (unknownRuns > 0)
    cautions.push(
      `${sayCount(unknownRuns, "run")} without logged exposure ${unknownRuns === 1 ? "makes" : "make"} rates read high.`,
    );
  return cautions;
}
