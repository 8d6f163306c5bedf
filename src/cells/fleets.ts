/** Cell kind `fleets`: failure rates of the fleets with exact limits, and what they are made of. */
import {wordAt} from "../../shared/columnar.ts";
import {FAILURE_CLASSES} from "../lives/failureTable.ts";
import {rateLimits} from "../statistics/index.ts";
import {failuresBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {exposureSum, failuresInView, runsInView} from "./inView.ts";
import {failureMoney, partsBlamed} from "./money.ts";
import {choiceParam, componentsParam, numberParam, params} from "./params.ts";
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
  sayShare,
} from "./say.ts";

const COUNTED = {
  "ended runs": "failures that ended a run (classes F1 and F2)",
  all: "every failure, those found at a teardown or made at the bench included",
} as const;

const {schema, fields} = params({
  count: choiceParam("which failures are counted", COUNTED, "ended runs"),
  component: componentsParam(),
  early_h: numberParam("a failure within this many hours after a rebuild counts as early", {
    min: 1,
    max: 1000,
    fallback: 50,
  }),
});

interface Params {
  readonly count: keyof typeof COUNTED;
  readonly component: readonly string[] | null;
  readonly early_h: number;
}

/** Fewer failures than this carry no ranking. */
const LEAST_TO_RANK = 5;
const NO_FLEET = "no fleet named";

export interface FleetRate {
  readonly failures: number;
  /** per 1,000 of the clock */
  readonly rate: number | null;
  readonly limits: readonly [number, number] | null;
  /** rows of the failure table */
  readonly rows: readonly number[];
}

export interface FleetRow {
  readonly fleet: string;
  readonly tools: number;
  readonly runs: number;
  readonly exposure: number;
  readonly unknownRuns: number;
  readonly all: FleetRate;
  /** without what the shop caused */
  readonly withoutShop: FleetRate;
  readonly early: number;
  readonly earlyKnown: number;
  readonly foundAtTeardown: number;
  readonly lostHours: number;
  readonly money: number;
  /** share of exposure in each condition, largest first */
  readonly mix: readonly {readonly condition: string; readonly share: number}[];
}

export interface FleetsResult {
  readonly rows: readonly FleetRow[];
  readonly from: string | null;
  readonly to: string | null;
  readonly unblamed: number;
}

export const fleets: CellKind<Params, FleetsResult> = {
  kind: "fleets",
  summary:
    "Failure rate of every fleet with exact limits, the shop's own share, and the mix of muds and flow behind it.",
  schema,
  fields,
  example: "count: ended runs\n",

  compute(inputs, params) {
    const runs = runsInView(inputs);
    const byFleet = new Map<string, number[]>();
    for (const row of runs) push(byFleet, wordAt(inputs.runs.columns.fleet, row) ?? NO_FLEET, row);
    const failures = new Map<string, number[]>();
    let unblamed = 0;
    for (const row of failuresInView(inputs)) {
      const component = wordAt(inputs.failures.component, row);
      if (params.component !== null && (component === null || !params.component.includes(component))) continue;
      if (component === null) unblamed++;
      push(failures, wordAt(inputs.failures.fleet, row) ?? NO_FLEET, row);
    }
    const names = [...new Set([...byFleet.keys(), ...failures.keys()])].sort();
    const ends = [...runs].map((row) => inputs.runs.columns.end[row]!).filter(Number.isFinite);
    return {
      rows: names.map((name) => fleetRow(name, byFleet.get(name) ?? [], failures.get(name) ?? [], inputs, params)),
      from: ends.length ? day(ends.reduce((a, b) => Math.min(a, b))) : null,
      to: ends.length ? day(ends.reduce((a, b) => Math.max(a, b))) : null,
      unblamed,
    };
  },

  present(result, params, inputs) {
    const {rows} = result;
    if (rows.length === 0) return onlySentence(sayNothing("runs", inputs));
    return {
      headline: headlineOf(result, params, inputs),
      figures: rows.some(({all}) => all.rate !== null) ? [ratesFigure(result, params, inputs)] : [],
      tables: [ratesTable(result, params, inputs), ...(rows.some(({mix}) => mix.length > 0) ? [mixTable(rows)] : [])],
      cautions: cautionsOf(result, params, inputs),
    };
  },
};

const day = (time: number): string => new Date(time).toISOString().slice(0, 10);

function push<T>(map: Map<string, T[]>, key: string, value: T): void {
  const list = map.get(key);
  if (list) list.push(value);
  else map.set(key, [value]);
}

function fleetRow(
  fleet: string,
  runs: readonly number[],
  rows: readonly number[],
  inputs: CellInputs,
  params: Params,
): FleetRow {
  const {failures, settings} = inputs;
  const {exposure, unknown} = exposureSum(inputs, Int32Array.from(runs));
  const blamed = partsBlamed(failures);
  const classOf = (row: number) => FAILURE_CLASSES[failures.failureClass[row]!]!;
  const counted = params.count === "all" ? rows : rows.filter((row) => classOf(row) === "F1" || classOf(row) === "F2");
  const known = counted.filter((row) => Number.isFinite(failures.sinceRebuild[row]));
  return {
    fleet,
    tools: new Set(runs.map((row) => inputs.runs.columns.tool.codes[row])).size,
    runs: runs.length,
    exposure,
    unknownRuns: unknown,
    all: rateOf(counted, exposure, settings.level),
    withoutShop: rateOf(
      counted.filter((row) => failures.serviceInduced[row] !== 1),
      exposure,
      settings.level,
    ),
    early: known.filter((row) => failures.sinceRebuild[row]! <= params.early_h).length,
    earlyKnown: known.length,
    foundAtTeardown: rows.filter((row) => classOf(row) === "F5").length,
    lostHours: rows.reduce((sum, row) => sum + failures.lostHours[row]!, 0),
    money: rows.reduce((sum, row) => {
      const component = wordAt(failures.component, row);
      return sum + (failureMoney(settings, {component, fleet, what: classOf(row), parts: blamed(row)}) ?? 0);
    }, 0),
    mix: mixOf(runs, inputs),
  };
}

function rateOf(rows: readonly number[], exposure: number, level: number): FleetRate {
  const failures = rows.length;
  if (!(exposure > 0)) return {failures, rate: null, limits: null, rows};
  const [lower, upper] = rateLimits({count: failures, exposure}, level);
  return {failures, rate: (failures / exposure) * 1000, limits: [lower * 1000, upper * 1000], rows};
}

function mixOf(runs: readonly number[], inputs: CellInputs): FleetRow["mix"] {
  const hours = new Map<string, number>();
  let whole = 0;
  for (const row of runs) {
    const {exposure} = exposureSum(inputs, Int32Array.of(row));
    const condition = sayCondition(
      wordAt(inputs.conditions.mud, row) ?? "UNK",
      wordAt(inputs.conditions.regime, row) ?? "unknown",
    );
    hours.set(condition, (hours.get(condition) ?? 0) + exposure);
    whole += exposure;
  }
  if (!(whole > 0)) return [];
  return [...hours].map(([condition, sum]) => ({condition, share: sum / whole})).sort((a, b) => b.share - a.share);
}

const whatIsCounted = ({count, component}: Params): string => {
  const parts = component === null ? "" : ` of ${component.map(partsOf).join(" and ")}`;
  return count === "all" ? `failures${parts}` : `failures${parts} that ended a run`;
};

function headlineOf({rows, from, to}: FleetsResult, params: Params, {settings}: CellInputs): string {
  const {unit, name} = clockOf(settings);
  const ranked = rows.filter((row) => row.all.rate !== null).sort((a, b) => (b.all.rate ?? 0) - (a.all.rate ?? 0));
  const say = (row: FleetRow) =>
    `${row.fleet} ${sayNumber(row.all.rate ?? 0)} per 1,000 ${unit} (${sayLimits(row.all.limits ?? [null, null])}; ${sayNumber(row.all.failures)} in ${sayNumber(Math.round(row.exposure))} ${unit})`;
  if (ranked.length === 0)
    return `No exposure is logged for ${sayCount(rows.length, "fleet")}, so no rate can be given: add the run log, with the hours of every run.`;
  const shop = ranked
    .map((row) => ({row, caused: row.all.failures - row.withoutShop.failures}))
    .filter(({caused}) => caused > 0)
    .sort((a, b) => b.caused / b.row.all.failures - a.caused / a.row.all.failures)[0];
  return (
    `${capital(whatIsCounted(params))}, per 1,000 ${name}, with ${sayLevel(settings)}, ${from ?? "?"} to ${to ?? "?"}: ${ranked.map(say).join("; ")}.` +
    (shop
      ? ` The shop caused ${sayNumber(shop.caused)} of ${sayNumber(shop.row.all.failures)} in ${shop.row.fleet} (${sayShare(shop.caused, shop.row.all.failures)}).`
      : " None was caused at service.")
  );
}

function ratesFigure({rows}: FleetsResult, params: Params, inputs: CellInputs): Figure {
  const {settings} = inputs;
  const {unit, name} = clockOf(settings);
  const ranked = [...rows].sort((a, b) => (b.all.rate ?? -1) - (a.all.rate ?? -1));
  const dotRow = (
    label: string,
    group: string,
    {failures, rate, limits, rows: behind}: FleetRate,
    exposure: number,
  ) => ({
    name: label,
    group,
    value: rate,
    lower: limits?.[0] ?? null,
    upper: limits?.[1] ?? null,
    note: `${sayNumber(failures)} in ${sayNumber(Math.round(exposure))} ${unit}`,
    behind: failuresBehind(inputs, inputs.failures, behind, {mark: label}),
  });
  const [worst] = ranked;
  const best = ranked.filter((row) => row.all.rate !== null).at(-1);
  const rankable = rows.every((row) => row.all.failures >= LEAST_TO_RANK);
  return {
    name: "rates",
    title:
      rows.length === 1 || !worst || !best
        ? `${capital(whatIsCounted(params))}, with and without the shop's own`
        : rankable
          ? `${worst.fleet} fails most often, ${best.fleet} least`
          : `Too few failures to rank every fleet`,
    caption: `${capital(whatIsCounted(params))}, per 1,000 ${name}. Whiskers: exact Poisson ${sayLevel(settings)}. The mix of muds and flow differs between fleets and is in the table.`,
    alt: ranked
      .map(
        (row) =>
          `${row.fleet}: ${row.all.rate === null ? "no exposure" : `${sayNumber(row.all.rate)} per 1,000 ${unit}`}`,
      )
      .join("; "),
    chart: {
      kind: "dots",
      label: `failures per 1,000 ${unit}`,
      unit: "",
      reference: null,
      log: false,
      rows: ranked.flatMap((row) => [
        dotRow(row.fleet, row.fleet, row.all, row.exposure),
        ...(row.withoutShop.failures < row.all.failures
          ? [dotRow(`${row.fleet}, less the shop's own`, row.fleet, row.withoutShop, row.exposure)]
          : []),
      ]),
    },
  };
}

function ratesTable({rows, from, to}: FleetsResult, params: Params, {settings}: CellInputs): CellTable {
  const {unit, name} = clockOf(settings);
  const per = `per 1,000 ${unit}`;
  const hoursPer = (count: number, exposure: number) => (count > 0 && exposure > 0 ? exposure / count : null);
  return {
    name: "fleets",
    title: "Rates by fleet",
    columns: [
      {name: "fleet", label: "fleet", values: rows.map((r) => r.fleet)},
      {name: "tools", label: "tools", format: "count", values: rows.map((r) => r.tools)},
      {name: "runs", label: "runs", format: "count", values: rows.map((r) => r.runs)},
      {name: "exposure", label: name, unit, format: "hours", values: rows.map((r) => Math.round(r.exposure))},
      {name: "failures", label: "failures", format: "count", values: rows.map((r) => r.all.failures)},
      {name: "rate", label: "rate", unit: per, format: "rate", values: rows.map((r) => r.all.rate)},
      {
        name: "rate_lower",
        label: "lower limit",
        unit: per,
        format: "rate",
        values: rows.map((r) => r.all.limits?.[0] ?? null),
      },
      {
        name: "rate_upper",
        label: "upper limit",
        unit: per,
        format: "rate",
        values: rows.map((r) => r.all.limits?.[1] ?? null),
      },
      {
        name: "per_failure",
        label: `${name} per failure`,
        unit,
        format: "hours",
        values: rows.map((r) => hoursPer(r.all.failures, r.exposure)),
      },
      {
        name: "per_failure_lower",
        label: "lower limit",
        unit,
        format: "hours",
        values: rows.map((r) => (r.all.limits ? 1000 / r.all.limits[1] : null)),
      },
      {
        name: "per_failure_upper",
        label: "upper limit",
        unit,
        format: "hours",
        values: rows.map((r) => (r.all.limits && r.all.limits[0] > 0 ? 1000 / r.all.limits[0] : null)),
      },
      {
        name: "shop_caused",
        label: "caused at service",
        format: "count",
        values: rows.map((r) => r.all.failures - r.withoutShop.failures),
      },
      {
        name: "early",
        label: `within ${sayNumber(params.early_h)} h of a rebuild`,
        format: "count",
        values: rows.map((r) => r.early),
      },
      {
        name: "found",
        label: "besides, found at a teardown",
        format: "count",
        values: rows.map((r) => r.foundAtTeardown),
      },
      {
        name: "lost",
        label: "rig time lost",
        unit: `h per 1,000 ${unit}`,
        format: "rate",
        values: rows.map((r) => (r.exposure > 0 ? (r.lostHours / r.exposure) * 1000 : null)),
      },
      {
        name: "money",
        label: "cost of failures",
        unit: `${settings.currency} ${per}`,
        format: "money",
        values: rows.map((r) => (r.exposure > 0 ? (r.money / r.exposure) * 1000 : null)),
      },
    ],
    note:
      `Counted: ${COUNTED[params.count]}. Clock: ${name}. Window: runs that ended ${from ?? "?"} to ${to ?? "?"}. ` +
      `Limits: exact Poisson, ${sayLevel(settings)}; with no failure there is a lower limit of hours per failure only.`,
  };
}

function mixTable(rows: readonly FleetRow[]): CellTable {
  const flat = rows.flatMap((row) =>
    row.mix.map((part) => ({fleet: row.fleet, ...part, hours: part.share * row.exposure})),
  );
  return {
    name: "mix",
    title: "What each fleet ran in",
    columns: [
      {name: "fleet", label: "fleet", values: flat.map((r) => r.fleet)},
      {name: "condition", label: "mud and flow", values: flat.map((r) => r.condition)},
      {name: "share", label: "share of its hours", format: "share", values: flat.map((r) => r.share)},
      {name: "hours", label: "exposure", format: "hours", values: flat.map((r) => Math.round(r.hours))},
    ],
  };
}

function cautionsOf({rows, unblamed}: FleetsResult, params: Params, inputs: CellInputs): string[] {
  const cautions: string[] = [];
  const few = rows.filter((row) => row.all.failures < LEAST_TO_RANK);
  if (few.length > 0)
    cautions.push(
      `${few.map((row) => `${row.fleet} has ${sayCount(row.all.failures, "failure")}`).join("; ")}: too few to rank it among the others.`,
    );
  if (rows.length === 1) cautions.push("Only one fleet is in view, so there is nothing to compare it with.");
  else if (rows.some((row) => row.mix.length > 0))
    cautions.push(
      "Fleets run in different muds, flows and temperatures. A difference between them is not yet a difference of their shops: compare like with like, in the mix table and on the page of condition effects.",
    );
  if (unblamed > 0 && params.component === null)
    cautions.push(
      `In ${sayCount(unblamed, "failed run")} no part of the lower end was blamed; ${unblamed === 1 ? "it counts" : "they count"} here, without a cost.`,
    );
  const unknown = rows.reduce((sum, row) => sum + row.unknownRuns, 0);
  if (unknown > 0)
    cautions.push(
      `${sayCount(unknown, "run")} in view name no ${clockOf(inputs.settings).name}; rates read high by that much.`,
    );
  const untimed = rows.reduce((sum, row) => sum + row.all.failures - row.earlyKnown, 0);
  if (untimed > 0)
    cautions.push(
      `For ${sayCount(untimed, "failure")} no rebuild before is logged, so whether they came early is not known.`,
    );
  return cautions;
}
