/** Cell kind `over-time`: failure rates period by period, one small panel a group, and whether they changed. */
import {wordAt} from "../../shared/columnar.ts";
import {exposureOf} from "../lives/index.ts";
import {FAILURE_CLASSES} from "../lives/failureTable.ts";
import {chiSquareSurvival, falseDiscovery, rateLimits} from "../statistics/index.ts";
import {askDay, day, FALSE_SHARE, LEAST_TO_RANK} from "./compareWords.ts";
import {failuresBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {causeOf, OF} from "./failureCauses.ts";
import {failuresInView, runsInView} from "./inView.ts";
import {asked, choiceParam, componentsParam, dayParam, numberParam, params} from "./params.ts";
import {
  capital,
  clockOf,
  onlySentence,
  partsOf,
  sayCount,
  sayLevel,
  sayList,
  sayNothing,
  sayNumber,
  sayP,
} from "./say.ts";

const PANELS = {fleet: "one panel a fleet", none: "all together", ...OF} as const;
const COUNTED = {
  "ended runs": "failures that ended a run",
  all: "every failure, found at teardowns too",
  "caused at service": "failures the shop caused",
} as const;

const {schema, fields} = params({
  by: choiceParam("what has a panel of its own", PANELS, "fleet"),
  count: choiceParam("which failures are counted", COUNTED, "ended runs"),
  component: componentsParam(),
  months: numberParam("months a point speaks for", {min: 1, max: 24, fallback: 3}),
  every: numberParam("months from point to point; fewer than the months of a point makes a rolling rate", {
    min: 1,
    max: 24,
    fallback: null,
  }),
  on: asked(dayParam("a day of change, drawn as a line; none when left out")),
  most: numberParam("how many panels at most, those with most failures first", {min: 1, max: 24, fallback: 9}),
});

interface Params {
  readonly by: keyof typeof PANELS;
  readonly count: keyof typeof COUNTED;
  readonly component: readonly string[] | null;
  readonly months: number;
  readonly every: number | null;
  readonly on: string | null;
  readonly most: number;
}

interface Point {
  readonly from: number;
  readonly to: number;
  readonly count: number;
  readonly exposure: number;
  /** rows of the failure table */
  readonly rows: readonly number[];
}

interface Panel {
  readonly name: string;
  readonly failures: number;
  readonly exposure: number;
  readonly points: readonly Point[];
  /** chance of periods as unlike as these under one steady rate, over periods that do not overlap; null with fewer than 2 */
  readonly p: number | null;
  readonly adjusted: number | null;
}

interface OverTimeResult {
  readonly panels: readonly Panel[];
  readonly left: number;
  readonly undated: number;
}

export const overTime: CellKind<Params, OverTimeResult> = {
  kind: "over-time",
  summary: "Failure rates period by period with limits, one small panel a fleet or cause, and whether they changed.",
  schema,
  fields,
  example: "by: fleet\nmonths: 3\n",

  compute(inputs, given) {
    const {by, months, every, most} = given;
    const {runs, failures, settings} = inputs;
    const exposures = exposureOf(runs, settings.exposure);
    const hours: {at: number; hours: number; fleet: string}[] = [];
    let undated = 0;
    for (const run of runsInView(inputs)) {
      const at = runs.columns.end[run]!;
      if (!Number.isFinite(at)) undated++;
      else if (exposures[run]! > 0)
        hours.push({at, hours: exposures[run]!, fleet: wordAt(runs.columns.fleet, run) ?? "no fleet named"});
    }
    const times = new Map<string, Dated[]>();
    const seen = new Set<string>();
    for (const row of failuresInView(inputs)) {
      if (!isCounted(inputs, row, given)) continue;
      const name =
        by === "none"
          ? "all together"
          : by === "fleet"
            ? (wordAt(failures.fleet, row) ?? "no fleet named")
            : causeOf(inputs, row, by, failures.serviceInduced[row] === 1).name;
      const run = failures.run[row]!;
      if (given.count === "ended runs" && run >= 0 && (by === "fleet" || by === "none")) {
        if (seen.has(`${name} ${run}`)) continue;
        seen.add(`${name} ${run}`);
      }
      const at = failures.date[row]!;
      if (!Number.isFinite(at)) {
        undated++;
        continue;
      }
      const dated = times.get(name);
      if (dated) dated.push({at, row});
      else times.set(name, [{at, row}]);
    }
    if (by === "fleet") for (const {fleet} of hours) if (!times.has(fleet)) times.set(fleet, []);
    if (by === "none" && hours.length > 0 && times.size === 0) times.set("all together", []);
    const spans = spansOf(hours, months, every ?? months);
    const panels = [...times]
      .map(([name, list]) =>
        panelOf(
          name,
          list,
          by === "fleet" ? hours.filter(({fleet}) => fleet === name) : hours,
          spans,
          months,
          every ?? months,
        ),
      )
      .filter(({exposure}) => exposure > 0)
      .sort((a, b) => b.failures - a.failures || (a.name < b.name ? -1 : 1));
    const shown = panels.slice(0, most);
    const tested = shown.filter(({p}) => p !== null);
    const adjusted = falseDiscovery(tested.map(({p}) => p!));
    return {
      panels: shown.map((panel) => {
        const place = tested.indexOf(panel);
        return place < 0 ? panel : {...panel, adjusted: adjusted[place]!};
      }),
      left: panels.length - shown.length,
      undated,
    };
  },

  present(result, params, inputs) {
    const {panels, undated} = result;
    const asks = [askDay("mark a day of change", params.on, {taken: "", note: "a day such as 2025-03-01"})];
    if (panels.length === 0)
      return {
        ...onlySentence(
          undated > 0
            ? `${capital(sayCount(undated, "row"))} in view ${undated === 1 ? "carries" : "carry"} no date, so nothing can be followed over time.`
            : sayNothing("dated runs with exposure", inputs),
        ),
        asks,
      };
    return {
      headline: headlineOf(result, params, inputs),
      figures: [figureOf(result, params, inputs)],
      tables: [tableOf(result, params, inputs)],
      cautions: cautionsOf(result, params),
      asks,
    };
  },
};

function isCounted({failures}: CellInputs, row: number, {count, component}: Params): boolean {
  const part = wordAt(failures.component, row);
  if (component !== null && (part === null || !component.includes(part))) return false;
  const what = FAILURE_CLASSES[failures.failureClass[row]!];
  if (count === "ended runs") return what === "F1" || what === "F2";
  return count === "all" || failures.serviceInduced[row] === 1;
}

/** Periods of so many months from the first of the month in which the runs begin; an overhanging last one is kept. */
function spansOf(hours: readonly {at: number}[], months: number, every: number): {from: number; to: number}[] {
  if (hours.length === 0) return [];
  const first = hours.reduce((least, {at}) => Math.min(least, at), Infinity);
  const last = hours.reduce((most, {at}) => Math.max(most, at), -Infinity);
  const start = new Date(first);
  const month = (n: number): number => Date.UTC(start.getUTCFullYear(), start.getUTCMonth() + n, 1);
  const spans: {from: number; to: number}[] = [];
  for (let n = 0; month(n) <= last; n += every) {
    spans.push({from: month(n), to: month(n + months)});
    if (month(n + months) > last) break;
  }
  return spans;
}

/** A failure and its row in the failure table. */
interface Dated {
  readonly at: number;
  readonly row: number;
}

function panelOf(
  name: string,
  failures: readonly Dated[],
  hours: readonly {at: number; hours: number}[],
  spans: readonly {from: number; to: number}[],
  months: number,
  every: number,
): Panel {
  const points = spans.map(({from, to}) => {
    const rows = failures.filter(({at}) => at >= from && at < to).map(({row}) => row);
    return {
      from,
      to,
      count: rows.length,
      exposure: hours.reduce((sum, h) => (h.at >= from && h.at < to ? sum + h.hours : sum), 0),
      rows,
    };
  });
  const apart = points.filter((_, i) => (i * every) % Math.max(months, every) === 0 && points[i]!.exposure > 0);
  const exposure = hours.reduce((sum, h) => sum + h.hours, 0);
  const count = apart.reduce((sum, point) => sum + point.count, 0);
  const whole = apart.reduce((sum, point) => sum + point.exposure, 0);
  // Poisson dispersion: periods under one steady rate have counts in proportion to their hours
  const statistic = apart.reduce((sum, point) => {
    const expected = (count * point.exposure) / whole;
    return expected > 0 ? sum + (point.count - expected) ** 2 / expected : sum;
  }, 0);
  return {
    name,
    failures: failures.length,
    exposure,
    points: points.filter((point) => point.exposure > 0),
    p: apart.length > 1 && count >= LEAST_TO_RANK ? chiSquareSurvival(statistic, apart.length - 1) : null,
    adjusted: null,
  };
}

const rateOf = ({count, exposure}: Point): number => (count / exposure) * 1000;
const changed = ({adjusted}: Panel): boolean => adjusted !== null && adjusted <= FALSE_SHARE;

const counted = ({count, component}: Params): string =>
  `${COUNTED[count]}${component === null ? "" : ` of ${sayList(component.map(partsOf))}`}`;

function headlineOf({panels}: OverTimeResult, params: Params, {settings}: CellInputs): string {
  const {unit} = clockOf(settings);
  const told = panels.filter(changed);
  const failures = panels.reduce((sum, panel) => sum + panel.failures, 0);
  const base = `${capital(counted(params))} over time, from ${sayCount(failures, "failure")}`;
  if (panels.every(({p}) => p === null)) return `${base}: too few to tell whether any rate changed.`;
  if (told.length === 0)
    return `${base}: no rate is shown to have changed; periods differ no more than chance makes them.`;
  const say = (panel: Panel) => {
    const first = panel.points[0]!;
    const last = panel.points.at(-1)!;
    return `${panel.name} (${sayNumber(rateOf(first))} per 1,000 ${unit} in the first period, ${sayNumber(rateOf(last))} in the last; p ${sayP(panel.adjusted!)})`;
  };
  return `${base}: periods differ beyond chance in ${sayList(told.slice(0, 4).map(say))}${told.length > 4 ? ` and ${sayNumber(told.length - 4)} more` : ""}.`;
}

function figureOf({panels, left}: OverTimeResult, params: Params, inputs: CellInputs): Figure {
  const {settings} = inputs;
  const {unit, name: clock} = clockOf(settings);
  const told = panels.filter(changed);
  return {
    name: "over-time",
    title:
      told.length === 0
        ? "No rate is shown to have changed"
        : `${sayList(told.slice(0, 3).map(({name}) => name))} changed beyond chance`,
    caption: `${capital(counted(params))}, per 1,000 ${clock}; each point speaks for ${sayCount(params.months, "month")}. Whiskers: exact Poisson ${sayLevel(settings)}. Dashed: over all periods${params.on === null ? "" : `; upright: ${params.on}`}.${left > 0 ? ` ${sayCount(left, "panel")} with fewer failures not drawn.` : ""}`,
    alt: panels
      .map((panel) => `${panel.name}: ${panel.points.map((point) => sayNumber(rateOf(point))).join(", ")}`)
      .join("; "),
    chart: {
      kind: "panels",
      label: `per 1,000 ${unit}`,
      unit: "",
      change: params.on === null ? null : Date.parse(params.on),
      panels: panels.map((panel) => ({
        name: panel.name,
        overall: (panel.failures / panel.exposure) * 1000,
        points: panel.points.map((point) => {
          const [lower, upper] = rateLimits(point, settings.level);
          return {
            from: point.from,
            to: point.to,
            value: rateOf(point),
            lower: lower * 1000,
            upper: upper * 1000,
            count: point.count,
            behind: failuresBehind(inputs, inputs.failures, point.rows, {
              mark: `${panel.name}, ${day(point.from)} to ${day(point.to)}`,
            }),
          };
        }),
      })),
    },
  };
}

function tableOf({panels}: OverTimeResult, {by}: Params, {settings}: CellInputs): CellTable {
  const {unit, name} = clockOf(settings);
  const per = `per 1,000 ${unit}`;
  const flat = panels.flatMap((panel) =>
    panel.points.map((point) => ({panel, point, limits: rateLimits(point, settings.level)})),
  );
  return {
    name: "over-time",
    title: "Period by period",
    columns: [
      {name: "panel", label: by === "fleet" ? "fleet" : "what", values: flat.map(({panel}) => panel.name)},
      {name: "from", label: "from", values: flat.map(({point}) => day(point.from))},
      {name: "to", label: "up to", values: flat.map(({point}) => day(point.to))},
      {name: "failures", label: "failures", format: "count", values: flat.map(({point}) => point.count)},
      {name: "exposure", label: name, unit, format: "hours", values: flat.map(({point}) => Math.round(point.exposure))},
      {name: "rate", label: "rate", unit: per, format: "rate", values: flat.map(({point}) => rateOf(point))},
      {
        name: "lower",
        label: "lower limit",
        unit: per,
        format: "rate",
        values: flat.map(({limits}) => limits[0] * 1000),
      },
      {
        name: "upper",
        label: "upper limit",
        unit: per,
        format: "rate",
        values: flat.map(({limits}) => limits[1] * 1000),
      },
      {
        name: "p",
        label: "p of the panel, adjusted",
        values: flat.map(({panel}) => (panel.adjusted === null ? "too few" : sayP(panel.adjusted))),
      },
    ],
    note: `A run belongs to the day it ended, a failure to its own day. p: Poisson dispersion of the periods against one steady rate (chi-square), adjusted after Benjamini and Hochberg; changed at ${sayNumber(FALSE_SHARE)} or below.`,
  };
}

function cautionsOf({panels, undated}: OverTimeResult, {every, months}: Params): string[] {
  const cautions: string[] = [];
  const few = panels.filter(({p}) => p === null);
  if (few.length > 0)
    cautions.push(
      `${few.length > 3 ? sayCount(few.length, "panel") : sayList(few.map(({name}) => name))}: too few failures or periods to test for a change.`,
    );
  if (every !== null && every < months)
    cautions.push(
      "Points of a rolling rate share failures, so a run of high points may be one bad month seen again and again; the test uses periods that do not overlap.",
    );
  cautions.push(
    "A rate that moves with the seasons' muds and wells changes without anyone doing better or worse: compare before and after at an equal mix.",
  );
  if (undated > 0)
    cautions.push(`${capital(sayCount(undated, "row"))} without a date ${undated === 1 ? "is" : "are"} left out.`);
  return cautions;
}
