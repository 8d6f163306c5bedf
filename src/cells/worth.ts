/** Cell kind `worth`: what each cause costs per 1,000 h in each fleet, and what mending the dearest ones would be worth. */
import {wordAt} from "../../shared/columnar.ts";
import {FAILURE_CLASSES} from "../lives/failureTable.ts";
import {weightedCountLimits} from "../statistics/index.ts";
import {day, LEAST_TO_RANK} from "./compareWords.ts";
import {failuresBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {causeOf, OF} from "./failureCauses.ts";
import {exposureSum, failuresInView, runsInView} from "./inView.ts";
import {failureMoney, partsBlamed, unsetCosts} from "./money.ts";
import {asked, choiceParam, componentsParam, numberParam, params} from "./params.ts";
import {
  capital,
  clockOf,
  onlySentence,
  sayCount,
  sayLevel,
  sayList,
  sayMoney,
  sayNothing,
  sayNumber,
  sayPercent,
  sayShare,
} from "./say.ts";

const BY = {fleet: "a cause in each fleet by itself", none: "a cause in all fleets together"} as const;

const {schema, fields} = params({
  of: choiceParam("what failures are put together by", OF, "mode"),
  by: choiceParam("what a fix reaches", BY, "fleet"),
  component: componentsParam(),
  prevents: asked(
    numberParam("share of such failures that a fix prevents, in percent", {min: 1, max: 100, fallback: 50}),
  ),
  most: numberParam("how many causes the figure shows at most", {min: 1, max: 40, fallback: 10}),
});

interface Params {
  readonly of: keyof typeof OF;
  readonly by: keyof typeof BY;
  readonly component: readonly string[] | null;
  readonly prevents: number;
  readonly most: number;
}

const NO_FLEET = "no fleet named";
const TOP = 3;
const YEAR = 365.25 * 86_400_000;

interface Fix {
  readonly name: string;
  readonly fleet: string;
  readonly serviceInduced: boolean;
  readonly failures: number;
  /** rows of the failure table */
  readonly rows: readonly number[];
  readonly exposure: number;
  /** money a year in the window, and its limits */
  readonly aYear: number;
  readonly limits: readonly [number, number];
  /** money per 1,000 of the fleet's clock */
  readonly rate: number | null;
  readonly rateLimits: readonly [number, number] | null;
}

interface WorthResult {
  readonly fixes: readonly Fix[];
  readonly top: {readonly aYear: number; readonly limits: readonly [number, number]} | null;
  readonly whole: number;
  readonly years: number;
  readonly from: number;
  readonly to: number;
  readonly unpriced: number;
}

export const worth: CellKind<Params, WorthResult> = {
  kind: "worth",
  summary: "What each cause costs per 1,000 h and a year, and what mending the three dearest would be worth.",
  schema,
  fields,
  example: "of: mode\nprevents: 50\n",

  compute(inputs, {of, by, component}) {
    const {failures, settings, runs} = inputs;
    const inView = runsInView(inputs);
    const exposures = new Map<string, number>();
    const byFleet = new Map<string, number[]>();
    let from = Infinity;
    let to = -Infinity;
    for (const run of inView) {
      const end = runs.columns.end[run]!;
      if (Number.isFinite(end)) {
        from = Math.min(from, end);
        to = Math.max(to, end);
      }
      const fleet = by === "fleet" ? (wordAt(runs.columns.fleet, run) ?? NO_FLEET) : "";
      const list = byFleet.get(fleet);
      if (list) list.push(run);
      else byFleet.set(fleet, [run]);
    }
    for (const [fleet, list] of byFleet) exposures.set(fleet, exposureSum(inputs, Int32Array.from(list)).exposure);
    const blamed = partsBlamed(failures);
    const groups = new Map<
      string,
      {name: string; fleet: string; serviceInduced: boolean; money: number[]; rows: number[]}
    >();
    let unpriced = 0;
    for (const row of failuresInView(inputs)) {
      const part = wordAt(failures.component, row);
      if (component !== null && (part === null || !component.includes(part))) continue;
      const home = wordAt(failures.fleet, row);
      const money = failureMoney(settings, {
        component: part,
        fleet: home,
        what: FAILURE_CLASSES[failures.failureClass[row]!]!,
        parts: blamed(row),
      });
      if (money === null) {
        unpriced++;
        continue;
      }
      const serviceInduced = failures.serviceInduced[row] === 1;
      const {key, name} = causeOf(inputs, row, of, serviceInduced);
      const fleet = by === "fleet" ? (home ?? NO_FLEET) : "";
      const place = JSON.stringify([fleet, key, serviceInduced]);
      const group = groups.get(place) ?? {name, fleet, serviceInduced, money: [], rows: []};
      groups.set(place, group);
      group.money.push(money);
      group.rows.push(row);
    }
    const years = to > from ? Math.max((to - from) / YEAR, 1 / 12) : 1;
    const limitsOf = (money: readonly number[]) =>
      weightedCountLimits(
        money.map((weight) => ({count: 1, weight})),
        settings.level,
      );
    const fixes = [...groups.values()]
      .map(({money, ...group}): Fix & {readonly money: readonly number[]} => {
        const sum = money.reduce((a, b) => a + b, 0);
        const limits = limitsOf(money);
        const exposure = exposures.get(group.fleet) ?? 0;
        return {
          ...group,
          money,
          failures: money.length,
          exposure,
          aYear: sum / years,
          limits: [limits[0] / years, limits[1] / years],
          rate: exposure > 0 ? (sum / exposure) * 1000 : null,
          rateLimits: exposure > 0 ? [(limits[0] / exposure) * 1000, (limits[1] / exposure) * 1000] : null,
        };
      })
      .sort((a, b) => b.aYear - a.aYear || (a.name < b.name ? -1 : 1));
    const dearest = fixes.slice(0, TOP).flatMap(({money}) => money);
    const topLimits = limitsOf(dearest);
    return {
      fixes: fixes.map(({money: _, ...fix}) => fix),
      top: dearest.length
        ? {
            aYear: dearest.reduce((a, b) => a + b, 0) / years,
            limits: [topLimits[0] / years, topLimits[1] / years],
          }
        : null,
      whole: fixes.reduce((sum, {aYear}) => sum + aYear, 0),
      years,
      from,
      to,
      unpriced,
    };
  },

  present(result, params, inputs) {
    const {fixes, top} = result;
    if (fixes.length === 0 || !top)
      return onlySentence(
        result.unpriced > 0
          ? `${capital(sayCount(result.unpriced, "failure"))} in view, and none with a cost: no part was blamed for it. Add the rebuild log, which says what failed, on the page “Logs and findings”.`
          : sayNothing("failures", inputs),
      );
    if (!Number.isFinite(result.from)) return onlySentence(sayNothing("dated runs to count a year by", inputs));
    return {
      headline: headlineOf(result, top, params, inputs),
      figures: [worthFigure(result, params, inputs)],
      tables: [worthTable(result, params, inputs)],
      cautions: [...cautionsOf(result), ...unsetCosts(inputs.settings)],
      asks: [
        {
          name: "prevents",
          label: "a fix prevents",
          kind: "number",
          value: String(params.prevents),
          unit: "% of such failures",
          min: 1,
          max: 100,
        },
      ],
    };
  },
};

const nameOf = ({name, fleet}: Fix): string => (fleet === "" ? name : `${fleet}, ${name}`);

function headlineOf(
  {fixes, whole, from, to}: WorthResult,
  top: NonNullable<WorthResult["top"]>,
  {prevents}: Params,
  {settings}: CellInputs,
): string {
  const part = prevents / 100;
  const dearest = fixes.slice(0, TOP);
  const failures = dearest.reduce((sum, fix) => sum + fix.failures, 0);
  return (
    `Preventing ${sayPercent(part)} of the ${dearest.length === 1 ? "dearest cause" : `${sayNumber(dearest.length)} dearest causes`} would be worth ${sayMoney(part * top.aYear, settings)} a year (${sayLevel(settings)} ${sayMoney(part * top.limits[0], settings)} to ${sayMoney(part * top.limits[1], settings)}): ` +
    `${dearest.map((fix) => `${nameOf(fix)} (${sayMoney(part * fix.aYear, settings)})`).join("; ")}. ` +
    `Those causes make ${sayShare(top.aYear, whole)} of the ${sayMoney(whole, settings)} that failures cost a year, from ${sayCount(failures, "failure")}, ${day(from)} to ${day(to)}.`
  );
}

function worthFigure({fixes}: WorthResult, {prevents, most}: Params, inputs: CellInputs): Figure {
  const {settings} = inputs;
  const part = prevents / 100;
  const shown = fixes.slice(0, most);
  const whole = fixes.reduce((sum, {aYear}) => sum + aYear, 0);
  let running = 0;
  return {
    name: "worth",
    title: `${nameOf(fixes[0]!)} is the fix worth most`,
    caption: `What preventing ${sayPercent(part)} of such failures would save a year at the settings' costs; what the fix costs is not taken off. Whiskers: ${sayLevel(settings)} by the gamma method. In brackets: running share of all cost. ${fixes.length > shown.length ? `${sayCount(fixes.length - shown.length, "smaller cause")} in the table.` : ""}`,
    alt: shown
      .slice(0, 5)
      .map((fix) => `${nameOf(fix)}: ${sayMoney(part * fix.aYear, settings)} a year`)
      .join("; "),
    chart: {
      kind: "bars",
      label: "worth of the fix a year",
      unit: settings.currency,
      bars: shown.map((fix) => {
        running += fix.aYear;
        return {
          name: nameOf(fix),
          behind: failuresBehind(inputs, inputs.failures, fix.rows, {mark: nameOf(fix)}),
          value: part * fix.aYear,
          lower: part * fix.limits[0],
          upper: part * fix.limits[1],
          serviceInduced: fix.serviceInduced,
          runningShare: running / whole,
        };
      }),
    },
  };
}

function worthTable({fixes, years}: WorthResult, {prevents, by}: Params, {settings}: CellInputs): CellTable {
  const {unit, name} = clockOf(settings);
  const money = settings.currency;
  const per = `${money} per 1,000 ${unit}`;
  const part = prevents / 100;
  const column = (id: string, label: string, of: (fix: Fix) => number | null, per_: string) => ({
    name: id,
    label,
    unit: per_,
    format: "money" as const,
    values: fixes.map(of),
  });
  return {
    name: "worth",
    title: "Cost and worth, cause by cause",
    columns: [
      ...(by === "fleet" ? [{name: "fleet", label: "fleet", values: fixes.map(({fleet}) => fleet)}] : []),
      {name: "cause", label: "cause", values: fixes.map((fix) => fix.name)},
      {
        name: "service",
        label: "caused at service",
        values: fixes.map(({serviceInduced}) => (serviceInduced ? "yes" : "no")),
      },
      {name: "failures", label: "failures", format: "count", values: fixes.map(({failures}) => failures)},
      column("rate", "cost", (fix) => fix.rate, per),
      column("rate_lower", "lower limit", (fix) => fix.rateLimits?.[0] ?? null, per),
      column("rate_upper", "upper limit", (fix) => fix.rateLimits?.[1] ?? null, per),
      column("a_year", "cost a year", (fix) => fix.aYear, money),
      column("worth", `${sayPercent(part)} of it`, (fix) => part * fix.aYear, money),
      column("worth_lower", "lower limit", (fix) => part * fix.limits[0], money),
      column("worth_upper", "upper limit", (fix) => part * fix.limits[1], money),
    ],
    note: `Costs: the settings' failure cost of the component in the fleet for a failure that ended a run (shared by parts blamed for it), the planned change and what settings say besides for one found at a teardown. Clock: ${name}; a year is the window of ${sayNumber(years)} years scaled. ${sayLevel(settings)}: gamma method for failures of unequal cost (Fay and Feuer 1997).`,
  };
}

function cautionsOf({fixes, unpriced}: WorthResult): string[] {
  const cautions = [
    "The dearest of many causes were picked after looking, so they were partly unlucky: expect the next year of the same to cost somewhat less, even without a fix.",
    "What a fix costs, and whether it prevents that share, is yours to judge; the limits are of chance in the failures only.",
  ];
  const few = fixes.slice(0, TOP).filter(({failures}) => failures < LEAST_TO_RANK);
  if (few.length > 0)
    cautions.unshift(
      `${sayList(few.map((fix) => `${nameOf(fix)} rests on ${sayCount(fix.failures, "failure")}`))}: too few to rank by.`,
    );
  if (unpriced > 0)
    cautions.push(
      `${sayCount(unpriced, "failure")} ${unpriced === 1 ? "stands" : "stand"} without a cost: no part was blamed, or the settings name no cost for it.`,
    );
  return cautions;
}
