/** Cell kind `pareto`: what fails most, most often, or dearest; what the shop itself caused told apart. */
import {op, table} from "arquero";
import {wordAt} from "../../shared/columnar.ts";
import {FAILURE_CLASSES} from "../lives/failureTable.ts";
import {poissonLimits, rateLimits, weightedCountLimits} from "../statistics/index.ts";
import type {BarsChart} from "../charts/chart.ts";
import {failuresBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure, Presentation} from "./contract.ts";
import {exposureSum, failuresInView, runsInView} from "./inView.ts";
import {causeOf, OF} from "./failureCauses.ts";
import {failureMoney, partsBlamed, unsetCosts} from "./money.ts";
import {choiceParam, componentsParam, numberParam, params} from "./params.ts";
import {
  capital,
  clockOf,
  onlySentence,
  partsOf,
  sayCount,
  sayLevel,
  sayLimits,
  sayMoney,
  sayNothing,
  sayNumber,
  sayShare,
} from "./say.ts";

const RANKS = {
  count: "number of failures",
  rate: "failures per 1,000 h",
  "lost hours": "rig hours lost",
  money: "cost of the failures",
} as const;
const SPLITS = {
  none: "all together",
  fleet: "one chart a fleet",
  mud: "one chart a mud",
  regime: "one chart a flow regime",
} as const;
type Rank = keyof typeof RANKS;
type Split = keyof typeof SPLITS;

const {schema, fields} = params({
  component: componentsParam(),
  rank: choiceParam("what the bars are ranked by", RANKS, "count", {
    "hours lost": "lost hours",
    cost: "money",
    number: "count",
  }),
  of: choiceParam("what a bar stands for", OF, "mode"),
  by: choiceParam("one chart for each", SPLITS, "none"),
  most: numberParam("how many bars at most", {min: 1, max: 50, fallback: 12}),
});

interface Params {
  readonly component: readonly string[] | null;
  readonly rank: Rank;
  readonly of: keyof typeof OF;
  readonly by: Split;
  readonly most: number;
}

export interface Cause {
  readonly key: string;
  readonly name: string;
  readonly component: string | null;
  readonly serviceInduced: boolean;
  readonly failures: number;
  readonly endedRun: number;
  readonly lostHours: number;
  readonly money: number;
  /** per 1,000 of the clock, with limits; null without exposure */
  readonly rate: number | null;
  readonly limits: readonly [number, number] | null;
  /** of what such failures come to in as long a time, by chance alone */
  readonly countLimits: readonly [number, number];
  readonly lostLimits: readonly [number, number];
  readonly moneyLimits: readonly [number, number];
  /** rows of the failure table */
  readonly rows: readonly number[];
}

interface Group {
  readonly name: string;
  /** exposure of the tools in view */
  readonly exposure: number;
  readonly causes: readonly Cause[];
}

export interface ParetoResult {
  readonly groups: readonly Group[];
  /** failures without a cost, because no part was blamed or settings name no cost */
  readonly unpriced: number;
  readonly unblamed: number;
  readonly unknownRuns: number;
}

export const pareto: CellKind<Params, ParetoResult> = {
  kind: "pareto",
  summary: "What fails most, most often or dearest, and how much of it the shop caused itself.",
  schema,
  fields,
  example: "rank: money\n",

  compute(inputs, params) {
    const {failures, settings} = inputs;
    const rows = [...failuresInView(inputs)].filter((row) => {
      const component = wordAt(failures.component, row);
      return params.component === null || (component !== null && params.component.includes(component));
    });
    const blamed = partsBlamed(failures);
    const facts = rows.map((row) => {
      const component = wordAt(failures.component, row);
      const what = FAILURE_CLASSES[failures.failureClass[row]!]!;
      const serviceInduced = failures.serviceInduced[row] === 1;
      return {
        row,
        group: groupOf(inputs, row, params.by),
        ...causeOf(inputs, row, params.of, serviceInduced),
        component: params.of === "mode" || params.of === "component" ? (component ?? "") : "",
        serviceInduced,
        endedRun: what === "F1" || what === "F2" ? 1 : 0,
        lostHours: failures.lostHours[row]!,
        money: failureMoney(settings, {component, fleet: wordAt(failures.fleet, row), what, parts: blamed(row)}),
      };
    });
    const exposures = exposureBy(inputs, params.by);
    return {
      groups: rollUp(facts).map(({name, causes}) => {
        const exposure = exposures.get(name) ?? 0;
        return {
          name,
          exposure,
          causes: causes
            .map((cause) => withLimits(cause, {exposure, level: settings.level, facts: same(facts, name, cause)}))
            .sort(byRank(params.rank)),
        };
      }),
      unpriced: facts.filter(({money}) => money === null).length,
      unblamed: rows.filter((row) => wordAt(failures.component, row) === null).length,
      unknownRuns: exposureSum(inputs, runsInView(inputs)).unknown,
    };
  },

  present(result, params, inputs) {
    const what = params.component === null ? "failures" : `failures of ${params.component.map(partsOf).join(" and ")}`;
    const groups = result.groups.filter(({causes}) => causes.length > 0);
    if (groups.length === 0) return onlySentence(sayNothing(what, inputs));
    if (isWorthless(groups, params.rank)) return byCount(result, params, inputs);
    return {
      headline: groups.map((group) => headlineOf(group, params, inputs, groups.length > 1)).join(" "),
      figures: groups.map((group) => figureOf(group, params, inputs)),
      tables: groups.map((group) => tableOf(group, params, inputs)),
      cautions: [
        ...cautionsOf(result, groups, params, inputs),
        ...(params.rank === "money" ? unsetCosts(inputs.settings) : []),
      ],
    };
  },
};

/** Nothing to rank by: no failure has a cost, or none lost rig time. */
const isWorthless = (groups: readonly Group[], rank: Rank): boolean =>
  (rank === "money" || rank === "lost hours") &&
  groups.every(({causes}) => total(causes, (cause) => valueOf(cause, rank)) === 0);

/** The same failures, ranked by how many there are, and why. */
function byCount(result: ParetoResult, params: Params, inputs: CellInputs): Presentation {
  const groups = result.groups.map((group) => ({...group, causes: [...group.causes].sort(byRank("count"))}));
  const told = pareto.present({...result, groups}, {...params, rank: "count"}, inputs);
  const why =
    params.rank === "money"
      ? "They are ranked by count: none has a cost, since the logs blame no part for them. Add the rebuild log, which says what failed."
      : "They are ranked by count: no run names the rig time it lost. Log the lost time of failed runs.";
  return {...told, headline: `${told.headline} ${why}`};
}

type Fact = ReturnType<typeof causeOf> & {
  readonly row: number;
  readonly group: string;
  readonly component: string;
  readonly serviceInduced: boolean;
  readonly endedRun: number;
  readonly lostHours: number;
  readonly money: number | null;
};

type Counted = Omit<Cause, "rate" | "limits" | "countLimits" | "lostLimits" | "moneyLimits" | "rows">;

function rollUp(facts: readonly Fact[]): {name: string; causes: Counted[]}[] {
  if (facts.length === 0) return [];
  const column = <K extends keyof Fact>(key: K) => facts.map((fact) => fact[key]);
  const grouped = table({
    group: column("group"),
    key: column("key"),
    name: column("name"),
    component: column("component"),
    serviceInduced: column("serviceInduced"),
    endedRun: column("endedRun"),
    lostHours: column("lostHours"),
    money: facts.map(({money}) => money ?? 0),
  })
    .groupby("group", "key", "name", "component", "serviceInduced")
    .rollup({
      failures: op.count(),
      endedRun: op.sum("endedRun"),
      lostHours: op.sum("lostHours"),
      money: op.sum("money"),
    })
    .objects() as (Counted & {group: string})[];
  const groups = new Map<string, Counted[]>();
  for (const {group, ...cause} of grouped)
    groups.set(group, [
      ...(groups.get(group) ?? []),
      {...cause, component: cause.component === "" ? null : cause.component},
    ]);
  return [...groups].map(([name, causes]) => ({name, causes})).sort((a, b) => (a.name < b.name ? -1 : 1));
}

function groupOf({failures}: CellInputs, row: number, by: Split): string {
  if (by === "none") return "";
  return wordAt(failures[by], row) ?? (by === "fleet" ? "no fleet named" : "unknown");
}

/** Exposure of the tools in view for each group. */
function exposureBy(inputs: CellInputs, by: Split): Map<string, number> {
  const rows = runsInView(inputs);
  if (by === "none") return new Map([["", exposureSum(inputs, rows).exposure]]);
  const column = by === "fleet" ? inputs.runs.columns.fleet : inputs.conditions[by];
  const groups = new Map<string, number[]>();
  for (const row of rows) {
    const name = wordAt(column, row) ?? (by === "fleet" ? "no fleet named" : "unknown");
    const list = groups.get(name);
    if (list) list.push(row);
    else groups.set(name, [row]);
  }
  return new Map([...groups].map(([name, list]) => [name, exposureSum(inputs, Int32Array.from(list)).exposure]));
}

const same = (facts: readonly Fact[], group: string, cause: Counted): readonly Fact[] =>
  facts.filter(
    (fact) => fact.group === group && fact.key === cause.key && fact.serviceInduced === cause.serviceInduced,
  );

/** Exact limits of counts and rates; of hours lost and money by the gamma method, which lets failures differ in weight. */
function withLimits(
  cause: Counted,
  {exposure, level, facts}: {readonly exposure: number; readonly level: number; readonly facts: readonly Fact[]},
): Cause {
  const weighted = (of: (fact: Fact) => number) =>
    weightedCountLimits(
      facts.map((fact) => ({count: 1, weight: of(fact)})),
      level,
    );
  const limits = {
    rows: facts.map(({row}) => row),
    countLimits: poissonLimits(cause.failures, level),
    lostLimits: weighted(({lostHours}) => lostHours),
    moneyLimits: weighted(({money}) => money ?? 0),
  };
  if (!(exposure > 0)) return {...cause, ...limits, rate: null, limits: null};
  const [lower, upper] = rateLimits({count: cause.failures, exposure}, level);
  return {...cause, ...limits, rate: (cause.failures / exposure) * 1000, limits: [lower * 1000, upper * 1000]};
}

function limitsOf(cause: Cause, rank: Rank): readonly [number, number] | null {
  switch (rank) {
    case "count":
      return cause.countLimits;
    case "rate":
      return cause.limits;
    case "lost hours":
      return cause.lostLimits;
    case "money":
      return cause.moneyLimits;
  }
}

const valueOf = (cause: Cause, rank: Rank): number => {
  switch (rank) {
    case "count":
      return cause.failures;
    case "rate":
      return cause.rate ?? 0;
    case "lost hours":
      return cause.lostHours;
    case "money":
      return cause.money;
  }
};

const byRank = (rank: Rank) => (a: Cause, b: Cause) =>
  valueOf(b, rank) - valueOf(a, rank) || b.failures - a.failures || (a.key < b.key ? -1 : 1);

const total = (causes: readonly Cause[], of: (cause: Cause) => number) =>
  causes.reduce((sum, cause) => sum + of(cause), 0);

function headlineOf({name, causes, exposure}: Group, {rank}: Params, {settings}: CellInputs, several: boolean): string {
  const worst = causes[0]!;
  const all = total(causes, (cause) => cause.failures);
  const shop = total(
    causes.filter((cause) => cause.serviceInduced),
    (cause) => cause.failures,
  );
  const {unit} = clockOf(settings);
  const lead = several ? `${name}: ${worst.name}` : capital(worst.name);
  const whole = total(causes, (cause) => valueOf(cause, rank));
  const share = rank === "lost hours" || rank === "money" ? ` (${sayShare(valueOf(worst, rank), whole)} of all)` : "";
  const worth =
    rank === "money"
      ? `costs most, ${sayMoney(worst.money, settings)}${share}`
      : rank === "lost hours"
        ? `lost most rig time, ${sayNumber(worst.lostHours)} h${share}`
        : "leads";
  const rate =
    worst.rate === null || !worst.limits
      ? ""
      : `, ${sayNumber(worst.rate)} per 1,000 ${unit} (${sayLevel(settings)} ${sayLimits(worst.limits)})`;
  return (
    `${lead} ${worth}: ${sayNumber(worst.failures)} of ${sayCount(all, "failure")}${rate}, in ${sayNumber(Math.round(exposure))} ${unit}; ` +
    `${shop === 0 ? "none was caused by the shop" : `the shop caused ${sayNumber(shop)} of the ${sayNumber(all)} (${sayShare(shop, all)})`}.`
  );
}

function figureOf(group: Group, {rank, most}: Params, inputs: CellInputs): Figure {
  const {settings} = inputs;
  const {unit} = clockOf(settings);
  const shown = group.causes.slice(0, most);
  const whole = total(group.causes, (cause) => valueOf(cause, rank));
  let running = 0;
  const labels: Readonly<Record<Rank, readonly [string, string]>> = {
    count: ["failures", ""],
    rate: [`failures per 1,000 ${unit}`, ""],
    "lost hours": ["rig hours lost", "h"],
    money: ["cost of failures", settings.currency],
  };
  const chart: BarsChart = {
    kind: "bars",
    label: labels[rank][0],
    unit: labels[rank][1],
    bars: distinct(shown).map((cause) => {
      running += valueOf(cause, rank);
      return {
        name: cause.name,
        value: valueOf(cause, rank),
        lower: limitsOf(cause, rank)?.[0] ?? null,
        upper: limitsOf(cause, rank)?.[1] ?? null,
        serviceInduced: cause.serviceInduced,
        behind: failuresBehind(inputs, inputs.failures, cause.rows, {mark: cause.name}),
        runningShare: whole > 0 ? running / whole : null,
      };
    }),
  };
  const all = total(group.causes, (cause) => cause.failures);
  const left = group.causes.length - shown.length;
  const worst = group.causes[0]!;
  return {
    name: group.name === "" ? "pareto" : `pareto-${group.name}`,
    title: `${group.name === "" ? capital(worst.name) : `${group.name}: ${worst.name}`} ${rank === "money" ? "costs most" : rank === "lost hours" ? "loses most rig time" : "leads"}`,
    caption:
      `${sayCount(all, "failure")} in ${sayNumber(Math.round(group.exposure))} ${clockOf(settings).name} of the tools in view. ` +
      `In brackets: running share of the whole. Whiskers: ${sayLevel(settings)} of what such failures come to by chance in as much time.` +
      (left > 0 ? ` ${sayCount(left, "smaller bar")} not drawn; the table has them all.` : ""),
    alt: `Ranked bars. ${shown
      .slice(0, 5)
      .map((cause) => `${cause.name}: ${sayNumber(valueOf(cause, rank))} ${labels[rank][1]}`.trim())
      .join("; ")}.`,
    chart,
  };
}

/** Bars are placed by name, so two of one name would fall on each other. */
function distinct(causes: readonly Cause[]): Cause[] {
  const seen = new Map<string, number>();
  return causes.map((cause) => {
    const before = seen.get(cause.name) ?? 0;
    seen.set(cause.name, before + 1);
    return before === 0 ? cause : {...cause, name: `${cause.name} [${cause.key}]`};
  });
}

function tableOf({name, causes, exposure}: Group, {rank}: Params, {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const per = `per 1,000 ${unit}`;
  return {
    name: name === "" ? "causes" : `causes-${name}`,
    title: name === "" ? "Every cause" : `Every cause, ${name}`,
    columns: [
      {name: "cause", label: "cause", values: causes.map((c) => c.name)},
      {name: "code", label: "code", values: causes.map((c) => c.key)},
      {
        name: "caused_at_service",
        label: "caused at service",
        values: causes.map((c) => (c.serviceInduced ? "yes" : "no")),
      },
      {name: "failures", label: "failures", format: "count", values: causes.map((c) => c.failures)},
      {name: "failures_lower", label: "lower limit", format: "number", values: causes.map((c) => c.countLimits[0])},
      {name: "failures_upper", label: "upper limit", format: "number", values: causes.map((c) => c.countLimits[1])},
      {name: "ended_run", label: "ended the run", format: "count", values: causes.map((c) => c.endedRun)},
      {name: "rate", label: "rate", unit: per, format: "rate", values: causes.map((c) => c.rate)},
      {
        name: "rate_lower",
        label: "lower limit",
        unit: per,
        format: "rate",
        values: causes.map((c) => c.limits?.[0] ?? null),
      },
      {
        name: "rate_upper",
        label: "upper limit",
        unit: per,
        format: "rate",
        values: causes.map((c) => c.limits?.[1] ?? null),
      },
      {name: "lost_hours", label: "rig time lost", unit: "h", format: "hours", values: causes.map((c) => c.lostHours)},
      {
        name: "lost_lower",
        label: "lower limit",
        unit: "h",
        format: "hours",
        values: causes.map((c) => c.lostLimits[0]),
      },
      {
        name: "lost_upper",
        label: "upper limit",
        unit: "h",
        format: "hours",
        values: causes.map((c) => c.lostLimits[1]),
      },
      {
        name: "money",
        label: "cost of failures",
        unit: settings.currency,
        format: "money",
        values: causes.map((c) => c.money),
      },
      {
        name: "money_lower",
        label: "lower limit",
        unit: settings.currency,
        format: "money",
        values: causes.map((c) => c.moneyLimits[0]),
      },
      {
        name: "money_upper",
        label: "upper limit",
        unit: settings.currency,
        format: "money",
        values: causes.map((c) => c.moneyLimits[1]),
      },
    ],
    note:
      `Ranked by ${RANKS[rank]}. Rates: failures over the ${sayNumber(Math.round(exposure))} ${unit} of the tools in view, exact Poisson ${sayLevel(settings)}; limits of hours lost and of cost by the gamma method for failures of unequal weight (Fay and Feuer 1997). ` +
      "Cost: a failure that ended a run at its failure cost, any other at the planned change, as in the settings.",
  };
}

function cautionsOf(
  {unpriced, unblamed, unknownRuns}: ParetoResult,
  groups: readonly Group[],
  {rank}: Params,
  {settings}: CellInputs,
): string[] {
  const cautions: string[] = [];
  const all = total(
    groups.flatMap(({causes}) => causes),
    (cause) => cause.failures,
  );
  if (all < 5)
    cautions.push(
      `${sayCount(all, "failure")} cannot rank causes: another year could as well put them in another order.`,
    );
  if (unblamed > 0)
    cautions.push(
      `In ${sayCount(unblamed, "failed run")} no part was blamed; ${unblamed === 1 ? "it is" : "they are"} shown as such.`,
    );
  if (unpriced > 0 && rank === "money")
    cautions.push(
      `${sayCount(unpriced, "failure")} stand without a cost: no part was blamed, or the settings name no cost for it.`,
    );
  if (groups.some(({exposure}) => !(exposure > 0))) cautions.push("Where no exposure is logged there is no rate.");
  if (unknownRuns > 0)
    cautions.push(
      `${sayCount(unknownRuns, "run")} in view name no ${clockOf(settings).name}; their failures count, their exposure does not, so rates read high.`,
    );
  return cautions;
}
