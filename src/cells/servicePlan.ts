/** Cell kind `service-plan`: how often to open the whole assembly, and which services are major ones. */
import {
  fleetPlan,
  type Difference,
  type FleetPlan,
  type FleetPlanMade,
  type Level,
  type Move,
  type PlanCost,
} from "../decisions/index.ts";
import type {AskedField, CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {intervalSheet, modelledLives} from "./intervals.ts";
import {unsetCosts} from "./money.ts";
import {asked, numberParam, params, textParam} from "./params.ts";
import {
  capital,
  clockOf,
  onlySentence,
  partOf,
  partsOf,
  sayCount,
  sayLevel,
  sayLimits,
  sayList,
  sayMoney,
  sayMoreFailures,
  sayNothing,
  sayNumber,
  sayPercent,
} from "./say.ts";

const {schema, fields} = params({
  fleet: asked(textParam("which fleet; the one with most exposure in view when left out")),
  tools: asked(
    numberParam("tools simulated for each plausible set of lives: more take longer and blur less", {
      min: 2,
      max: 100,
      fallback: 4,
    }),
  ),
});

interface Params {
  readonly fleet: string | null;
  readonly tools: number;
}

interface Planned {
  readonly plan: FleetPlan;
  readonly fleets: readonly string[];
}

export const SERVICE_DEFERRAL =
  "A plan from past lives, no permission to stretch a service: the maker's procedures, the law and rules where you stand, and people competent for the task decide, and win over any number here.";

const PER = 1000;

export const servicePlanCell: CellKind<Params, Planned> = {
  kind: "service-plan",
  summary: "How often to open the whole assembly: minor and major services by simulation, beside today's plan.",
  schema,
  fields,
  example: "tools: 4\n",

  compute(inputs, params, effects) {
    const {lives, models} = modelledLives(inputs, effects);
    const fleets = fleetsOf(lives);
    const fleet = params.fleet ?? fleets[0] ?? "";
    const {pooled} = intervalSheet(inputs, {components: null, fleet}, effects);
    const plan = fleetPlan(
      {
        ...inputs,
        lives,
        models,
        fleet,
        sheet: new Map(
          pooled.map((row) => [row.component, row.advice === "not enough data" ? "today" : row.interval_h]),
        ),
        effort: params.tools,
      },
      effects,
    );
    return {plan, fleets};
  },

  present({plan, fleets}, params, inputs) {
    const asks = asksFor(plan, fleets, params);
    if (!plan.made) {
      const why =
        plan.reason === "no runs"
          ? sayNothing(`runs of ${plan.fleet === "" ? "any fleet" : plan.fleet} with hours`, inputs)
          : plan.reason === "no rebuilds"
            ? `The log shows no two rebuilds of one tool of ${plan.fleet}, so how often it is opened today is not known.`
            : `Nothing of ${plan.fleet} can be planned: settings give no costs for its parts.`;
      return {...onlySentence(why, [SERVICE_DEFERRAL]), asks};
    }
    if (plan.failures < FEWEST_FAILURES) {
      const lives = `the lives of ${sayCount(plan.lives, "part")} hold ${plan.failures === 0 ? "no failure" : sayCount(plan.failures, "failure")}`;
      const why = `No service plan can be advised for ${sayFleet(plan.fleet)} yet: ${lives}, and with fewer than ${FEWEST_FAILURES} a longer interval always seems cheaper. ${sayMoreFailures(inputs)}`;
      return {...onlySentence(why, [SERVICE_DEFERRAL]), asks};
    }
    return {
      headline: headlineOf(plan, inputs),
      figures: [planFigure(plan, inputs)],
      tables: [plansTable(plan, inputs), partsTable(plan, inputs), triedTable(plan, inputs)],
      cautions: [SERVICE_DEFERRAL, ...unsetCosts(inputs.settings), ...cautionsOf(plan, inputs)],
      asks,
    };
  },
};

/** Without failures nothing speaks against leaving a tool alone, whatever the truth: as many as an interval must have. */
const FEWEST_FAILURES = 3;

/** Fleets with exposure, most first. */
function fleetsOf(lives: CellInputs["all"]): string[] {
  const spent = new Map<string, number>();
  const {offsets, hours} = lives.exposure;
  for (let row = 0; row < lives.rows; row++) {
    const fleet = lives.fleet.words[lives.fleet.codes[row]!] ?? "";
    let sum = 0;
    for (let s = offsets[row]!; s < offsets[row + 1]!; s++) sum += hours[s]!;
    spent.set(fleet, (spent.get(fleet) ?? 0) + sum);
  }
  return [...spent].sort(([a, x], [b, y]) => y - x || (a < b ? -1 : 1)).map(([fleet]) => fleet);
}

const sayFleet = (fleet: string): string => (fleet === "" ? "the tools without a fleet" : fleet);

function sayPlan({plan: {every, major}}: FleetPlanMade, unit: string): string {
  const opening = `open after ${sayNumber(every)} ${unit}`;
  if (major === Infinity) return `${opening}, without major services`;
  if (major === 1) return `${opening}, every service a major one`;
  return `${opening}, every ${ordinal(major)} service a major one (${sayNumber(every * major)} ${unit})`;
}

const ordinal = (n: number): string => (n === 2 ? "2nd" : n === 3 ? "3rd" : `${n}th`);

const money = (value: number, {settings}: CellInputs): string => sayMoney(PER * value, settings);

/** `1,200 USD per 1,000 h less than today's plan (90 % limits of the saving 900 to 1,500)` */
function sayDifference({mean, limits: [low, high]}: Difference, than: string, inputs: CellInputs): string {
  const {unit} = clockOf(inputs.settings);
  return (
    `${money(Math.abs(mean), inputs)} per 1,000 ${unit} ${mean >= 0 ? "less" : "more"} than ${than} ` +
    `(${sayLevel(inputs.settings)} of the saving ${sayLimits([rounded(scaled(low)), rounded(scaled(high))])})`
  );
}

const sayChance = (chance: number): string =>
  chance > 0.995 ? "over 99 %" : chance < 0.005 ? "under 1 %" : sayPercent(Number(chance.toFixed(2)));

const rounded = (value: number | null): number | null => (value === null ? null : Number(value.toPrecision(3)));

function headlineOf(made: FleetPlanMade, inputs: CellInputs): string {
  const {plan, fleet} = made;
  const {unit} = clockOf(inputs.settings);
  return (
    `${capital(sayFleet(fleet))}: ${sayPlan(made, unit)}. That costs ${money(plan.best.money, inputs)} per 1,000 ${unit}, ` +
    `${sayDifference(plan.againstToday, "today's plan", inputs)}, with ${sayChance(plan.againstToday.chance)} chance that it is cheaper ` +
    `(lives of ${sayCount(made.lives, "part")}, ${sayCount(made.failures, "failure")} among them; ${sayNumber(plan.tools)} simulated tools).`
  );
}

function planFigure(made: FleetPlanMade, inputs: CellInputs): Figure {
  const {plan} = made;
  const {settings} = inputs;
  const {unit} = clockOf(settings);
  const majors = [...new Set(plan.tried.map(({major}) => major))];
  const at = majors.indexOf(plan.major);
  // the chosen rhythm first, then those beside it
  const shown = [plan.major, majors[at - 1], majors[at + 1], Infinity].filter(
    (major, i, all): major is number => major !== undefined && all.indexOf(major) === i,
  );
  const nameOf = (major: number): string =>
    major === Infinity ? "no major service" : major === 1 ? "every service major" : `every ${ordinal(major)} major`;
  const cheapest = plan.tried.reduce((least, one) => (one.money < least.money ? one : least));
  const near = plan.tried.filter((one) => one.money < 1.05 * cheapest.money && one.major === plan.major);
  const [from, to] = [near[0]?.every ?? plan.every, near.at(-1)?.every ?? plan.every];
  return {
    name: "service-plans",
    title:
      from === to
        ? `${capital(sayFleet(made.fleet))}: services every ${sayNumber(plan.every)} ${unit} cost least`
        : `${capital(sayFleet(made.fleet))}: between ${sayNumber(from)} and ${sayNumber(to)} ${unit} the cost hardly changes`,
    caption:
      `Expected cost of the whole assembly by hours between services, ${sayCount(plan.tried.length, "plan")} tried on the same simulated tools; ` +
      `points are joined, their last digits are luck. Dashed: today's plan. Costs and service settings are those of the settings.`,
    alt: plan.tried
      .filter(({major}) => major === plan.major)
      .map(({every, money: cost}) => `${sayNumber(every)} ${unit}: ${sayMoney(PER * cost, settings)}`)
      .join("; "),
    chart: {
      kind: "cost",
      unit,
      currency: settings.currency,
      across: "between services",
      level: "today's plan",
      series: shown.map((major) => ({
        name: nameOf(major),
        curve: plan.tried
          .filter((one) => one.major === major)
          .map(({every, money: cost}) => ({age: every, estimate: PER * cost, lower: null, upper: null})),
      })),
      marks: [{name: "proposed", interval: plan.every, cost: PER * plan.best.money}],
      runToFailure: PER * plan.today.money,
    },
  };
}

const scaled = (value: number | null | undefined): number | null =>
  value === null || value === undefined ? null : PER * value;

function plansTable(made: FleetPlanMade, inputs: CellInputs): CellTable {
  const {plan, gap} = made;
  const {unit} = clockOf(inputs.settings);
  const rows: {name: string; cost: PlanCost; saves: Difference | null}[] = [
    {name: `proposed: ${sayPlan(made, unit)}`, cost: plan.best, saves: plan.againstToday},
    {name: `today: opened every ${sayNumber(gap)} ${unit} or so, parts by today's ages`, cost: plan.today, saves: null},
  ];
  if (plan.sheet !== null)
    rows.push({
      name: "interval sheet: opened as today, parts by the recommended ages of all muds and flows together",
      cost: plan.sheet,
      saves: plan.sheetAgainstToday,
    });
  const per = `per 1,000 ${unit}`;
  const cost = `${inputs.settings.currency} ${per}`;
  const column = (name: string, label: string, of: (cost: PlanCost) => number) => ({
    name,
    label,
    unit: per,
    format: "rate" as const,
    values: rows.map((row) => PER * of(row.cost)),
  });
  return {
    name: "plans",
    title: "The plans side by side",
    columns: [
      {name: "plan", label: "plan", values: rows.map(({name}) => name)},
      {name: "cost", label: "cost", unit: cost, format: "money", values: rows.map((row) => PER * row.cost.money)},
      {
        name: "cost_lower",
        label: "lower limit",
        unit: cost,
        format: "money",
        values: rows.map((row) => scaled(row.cost.limits[0])),
      },
      {
        name: "cost_upper",
        label: "upper limit",
        unit: cost,
        format: "money",
        values: rows.map((row) => scaled(row.cost.limits[1])),
      },
      {
        name: "saves",
        label: "saves against today",
        unit: cost,
        format: "money",
        values: rows.map((row) => scaled(row.saves?.mean)),
      },
      {
        name: "saves_lower",
        label: "lower limit",
        unit: cost,
        format: "money",
        values: rows.map((row) => scaled(row.saves?.limits[0])),
      },
      {
        name: "saves_upper",
        label: "upper limit",
        unit: cost,
        format: "money",
        values: rows.map((row) => scaled(row.saves?.limits[1])),
      },
      {
        name: "chance",
        label: "chance it beats today",
        format: "share",
        values: rows.map((row) => row.saves?.chance ?? null),
      },
      column("openings", "openings", ({openings}) => openings),
      column("majors", "major services", ({majors}) => majors),
      column("failures", "failures that end a run", ({failures}) => failures),
      column("renewed", "parts renewed good", ({renewed}) => renewed),
    ],
    note: `All plans meet the same runs, the same luck of parts and the same faults of rebuilds; ${sayLevel(inputs.settings)} hold what the lives leave uncertain and what the number of simulated tools leaves. A failure that ends a run opens the tool and counts as a service.`,
  };
}

function partsTable({plan, parts}: FleetPlanMade, inputs: CellInputs): CellTable {
  const {unit} = clockOf(inputs.settings);
  const cost = `${inputs.settings.currency} per 1,000 ${unit}`;
  const to = (component: string, level: Level): Move | undefined =>
    plan.moves.find((move) => move.component === component && move.to === level);
  const saving = (level: Level) => ({
    unit: cost,
    format: "money" as const,
    values: parts.map(({component}) => {
      const move = to(component, level);
      return move === undefined ? null : PER * move.saves.mean;
    }),
  });
  const best = parts.map(({component}) =>
    plan.moves
      .filter((move) => move.component === component)
      .sort((a, b) => b.saves.mean - a.saves.mean)
      .at(0),
  );
  return {
    name: "parts",
    title: "What moving a part to another service would save",
    columns: [
      {name: "component", label: "component", values: parts.map(({component}) => partOf(component))},
      {name: "now", label: "renewed now at", values: parts.map(({level}) => SAY_LEVEL[level])},
      {name: "every", label: "at every service", ...saving("every service")},
      {name: "major", label: "at a major service", ...saving("major service")},
      {name: "failure", label: "after failure only", ...saving("after failure")},
      {
        name: "best",
        label: "best move saves",
        unit: cost,
        format: "money",
        values: best.map((move) => scaled(move?.saves.mean)),
      },
      {
        name: "best_lower",
        label: "lower limit",
        unit: cost,
        format: "money",
        values: best.map((move) => scaled(move?.saves.limits[0])),
      },
      {
        name: "best_upper",
        label: "upper limit",
        unit: cost,
        format: "money",
        values: best.map((move) => scaled(move?.saves.limits[1])),
      },
      {name: "failures", label: "failures", format: "count", values: parts.map(({failures}) => failures)},
      {name: "lives", label: "lives", format: "count", values: parts.map(({lives}) => lives)},
    ],
    note: "Saved per component moved alone, at the proposed intervals; below zero it costs more. A move whose lower limit is above zero is worth a line under service: minor in the settings. O-rings are renewed at every opening by common practice.",
  };
}

const SAY_LEVEL: Readonly<Record<Level, string>> = {
  "every service": "every service",
  "major service": "a major service",
  "after failure": "failure only",
};

function triedTable({plan}: FleetPlanMade, inputs: CellInputs): CellTable {
  const {unit} = clockOf(inputs.settings);
  const tried = [...plan.tried].sort((a, b) => a.money - b.money);
  return {
    name: "tried",
    title: "Every plan tried, cheapest first",
    columns: [
      {name: "every", label: "between services", unit, format: "hours", values: tried.map(({every}) => every)},
      {
        name: "major",
        label: "major service",
        values: tried.map(({major}) =>
          major === Infinity ? "none" : major === 1 ? "every" : `every ${ordinal(major)}`,
        ),
      },
      {
        name: "cost",
        label: "cost",
        unit: `${inputs.settings.currency} per 1,000 ${unit}`,
        format: "money",
        values: tried.map(({money: cost}) => PER * cost),
      },
      {
        name: "above",
        label: "above the cheapest",
        format: "share",
        values: tried.map(({money: cost}) => cost / tried[0]!.money - 1),
      },
    ],
    note: "On the tools of the search. The cheapest of many looks better there than it is; the first table tells it on tools it was not chosen on.",
  };
}

function cautionsOf(made: FleetPlanMade, inputs: CellInputs): string[] {
  const {plan, faults, gap} = made;
  const {unit} = clockOf(inputs.settings);
  const cautions = [
    `Opening an assembly without parts is priced at ${sayMoney(made.openingCost, inputs.settings)}, a major service at ${sayMoney(made.majorCost, inputs.settings)} more; overwrite both under service in the settings before you act on money.`,
  ];
  const [low, high] = plan.againstToday.limits;
  if (low !== null && high !== null && low < 0 && high > 0)
    cautions.push(
      "Whether the proposed plan is cheaper than today's is not shown: the limits of the saving hold both signs.",
    );
  if (plan.againstSheet !== null && (plan.againstSheet.limits[1] ?? Infinity) < 0)
    cautions.push(
      `Following the interval sheet part by part, at today's openings, is cheaper than any plan of fixed services: by ${money(-plan.againstSheet.mean, inputs)} per 1,000 ${unit}.`,
    );
  else if (plan.againstSheet !== null)
    cautions.push(
      `Against the interval sheet followed part by part at today's openings, the proposed plan costs ${sayDifference(plan.againstSheet, "that", inputs)}.`,
    );
  if (plan.atEnd !== null)
    cautions.push(
      plan.atEnd === "longest"
        ? `The longest interval tried, ${sayNumber(plan.every)} ${unit} against ${sayNumber(gap)} ${unit} between openings today, is the cheapest. Longer ones were not tried: a tool left three times as long as today is outside what this log can speak for.`
        : `The shortest interval tried, ${sayNumber(plan.every)} ${unit}, is the cheapest: the tool would be opened after nearly every run.`,
    );
  cautions.push(
    faults > 0
      ? `Every opening can build in a fault: ${sayCount(faults, "run-ending failure")} of this fleet came from a rebuild, and the plan pays for them.`
      : "The log shows no run-ending failure that a rebuild caused in this fleet; what opening a tool may add rests on all fleets.",
  );
  if (made.unmodelled.length > 0)
    cautions.push(
      `No wear life could be fitted for ${sayList(made.unmodelled.map(partsOf))}: only chance ends ${made.unmodelled.length === 1 ? "it" : "them"} here.`,
    );
  if (made.unpriced.length > 0)
    cautions.push(`Left out, since settings give no costs: ${sayList(made.unpriced.map(partsOf))}.`);
  if (plan.every > made.longestGap)
    cautions.push(
      `No tool of the log ran ${sayNumber(plan.every)} ${unit} unopened (the longest: ${sayNumber(made.longestGap)} ${unit}): the plan extrapolates by ${sayNumber(plan.every - made.longestGap)} ${unit}.`,
    );
  return cautions;
}

function asksFor(plan: FleetPlan, fleets: readonly string[], {tools}: Params): AskedField[] {
  return [
    {
      name: "fleet",
      label: "fleet",
      kind: "one",
      choices: fleets.filter((fleet) => fleet !== "").map((fleet) => ({value: fleet, label: fleet})),
      value: plan.fleet,
    },
    {
      name: "tools",
      label: "simulated tools a draw",
      kind: "number",
      value: String(tools),
      min: 2,
      max: 100,
      note: "more take longer and blur less",
    },
  ];
}
