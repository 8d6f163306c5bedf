/** Cell kind `early`: failures in the first hours after a rebuild against later ones, by shop, wait, technician or fleet. */
import {wordAt} from "../../shared/columnar.ts";
import {exposureOf} from "../lives/index.ts";
import {FAILURE_CLASSES} from "../lives/failureTable.ts";
import {compareRates, falseDiscovery, rateLimits} from "../statistics/index.ts";
import {EARLY_H, FALSE_SHARE, LEAST_TO_RANK} from "./compareWords.ts";
import {failuresBehind} from "./behind.ts";
import type {CellEffects, CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {failuresInView, runsInView} from "./inView.ts";
import {asked, choiceParam, numberParam, params} from "./params.ts";
import {GROUP_WORDS, runGroups} from "./runGroups.ts";
import {
  capital,
  clockOf,
  onlySentence,
  sayCount,
  sayLevel,
  sayLimits,
  sayList,
  sayNumber,
  sayP,
  sayPercent,
  sayNothing,
} from "./say.ts";
import {servicedBefore} from "./servicedBefore.ts";

const BY = {
  shop: "the shop that rebuilt the tool",
  wait: "days from out of hole to that teardown",
  technician: "the technician who rebuilt the tool",
  fleet: "fleet",
} as const;
const COUNTED = {
  "ended runs": "failures that ended a run",
  "caused at service": "failures the shop caused that ended a run",
  "not caused at service": "failures the shop did not cause that ended a run",
} as const;

const {schema, fields} = params({
  by: choiceParam("what is compared", BY, "shop"),
  count: choiceParam("which failures are counted", COUNTED, "ended runs"),
  early_h: asked(
    numberParam("hours after a rebuild that count as early; common practice", {min: 1, max: 1000, fallback: EARLY_H}),
  ),
});

interface Params {
  readonly by: keyof typeof BY;
  readonly count: keyof typeof COUNTED;
  readonly early_h: number;
}

interface Counted {
  readonly count: number;
  readonly exposure: number;
  /** rows of the failure table */
  readonly rows: readonly number[];
}

interface EarlyRow {
  readonly name: string;
  readonly early: Counted;
  readonly later: Counted;
  /** early rate over that of all the others' early hours */
  readonly ratio: number | null;
  readonly ratioLimits: readonly [number, number | null];
  readonly p: number;
  readonly adjusted: number;
}

interface EarlyResult {
  readonly rows: readonly EarlyRow[];
  readonly rebuilds: number;
  /** runs and failed runs after no logged rebuild, or without a known place since it */
  readonly unplaced: number;
  readonly unplacedFailures: number;
  readonly runs: number;
}

/** A technician is compared with the others of the same shop; the name ends in it. */
const shopOf = (name: string): string => name.slice(name.indexOf(", ") + 1);

/** Days, our choice: mud dries in a tool that waits. */
const WAITS = ["up to 2 days", "3 to 7 days", "over 7 days"] as const;

export const early: CellKind<Params, EarlyResult> = {
  kind: "early",
  summary: "Failures in the first hours after a rebuild against later ones, by shop or by wait before the teardown.",
  schema,
  fields,
  example: "by: shop\n",

  compute(inputs, {by, count, early_h}, effects) {
    const {runs, failures, settings} = inputs;
    const exposures = exposureOf(runs, settings.exposure);
    const {before} = servicedBefore(inputs, effects);
    const groupOf = groups(inputs, by, effects);
    const nothing = () => ({count: 0, exposure: 0, rows: [] as number[]});
    const held = new Map<string, {early: ReturnType<typeof nothing>; later: ReturnType<typeof nothing>}>();
    let unplaced = 0;
    const inView = runsInView(inputs);
    for (const run of inView) {
      const name = groupOf(run);
      if (name === null || !(before[run]! >= 0) || !(exposures[run]! >= 0)) {
        unplaced++;
        continue;
      }
      const row = held.get(name) ?? {early: nothing(), later: nothing()};
      held.set(name, row);
      const first = Math.min(Math.max(early_h - before[run]!, 0), exposures[run]!);
      row.early.exposure += first;
      row.later.exposure += exposures[run]! - first;
    }
    let unplacedFailures = 0;
    const seen = new Set<number>();
    for (const row of failuresInView(inputs)) {
      const what = FAILURE_CLASSES[failures.failureClass[row]!];
      if (what !== "F1" && what !== "F2") continue;
      if (count !== "ended runs" && (failures.serviceInduced[row] === 1) !== (count === "caused at service")) continue;
      const run = failures.run[row]!;
      if (run >= 0 && seen.has(run)) continue;
      seen.add(run);
      const since = failures.sinceRebuild[row]!;
      const group = run < 0 ? undefined : held.get(groupOf(run) ?? "");
      if (!group || Number.isNaN(since)) unplacedFailures++;
      else {
        const into = since <= early_h ? group.early : group.later;
        into.count++;
        into.rows.push(row);
      }
    }
    const level = settings.level;
    const list = [...held].filter(([, {early: e}]) => e.exposure > 0);
    const rows = list.map(([name, row]) => {
      const others = list
        .filter(([other]) => other !== name && (by !== "technician" || shopOf(other) === shopOf(name)))
        .map(([, other]) => other.early);
      const rest = {
        count: others.reduce((sum, o) => sum + o.count, 0),
        exposure: others.reduce((sum, o) => sum + o.exposure, 0),
      };
      if (!(rest.exposure > 0)) return {name, ...row, ratio: null, ratioLimits: [0, null] as const, p: 1};
      const {ratio, limits, pTwoSided} = compareRates(row.early, rest, {level});
      return {name, ...row, ratio, ratioLimits: limits, p: pTwoSided};
    });
    const adjusted = falseDiscovery(rows.map(({p}) => p));
    return {
      rows: rows.map((row, i) => ({...row, adjusted: adjusted[i]!})).sort(by === "wait" ? byWait : byRate),
      rebuilds: inputs.rebuilds.rows,
      unplaced,
      unplacedFailures,
      runs: inView.length,
    };
  },

  present(result, params, inputs) {
    const {rows} = result;
    const {unit} = clockOf(inputs.settings);
    const asks = [
      {
        name: "early_h",
        label: "early after a rebuild",
        kind: "number" as const,
        value: String(params.early_h),
        unit,
        min: 1,
        max: 1000,
      },
    ];
    if (result.runs === 0) return {...onlySentence(sayNothing("runs", inputs)), asks};
    if (rows.length === 0)
      return {
        ...onlySentence(
          result.rebuilds === 0
            ? `No rebuild log was read, so it is not known how long before a failure a tool was last rebuilt. ${capital(sayCount(result.unplacedFailures, "failure"))} in ${sayCount(result.runs, "run")} stand without that; add the rebuild log on the page “Logs and findings”.`
            : `The logs do not say ${params.by === "wait" ? "how long a tool waited before its teardown" : `the ${params.by} of the rebuild before`} for any run in view, so early failures cannot be put to it.`,
        ),
        asks,
      };
    return {
      headline: headlineOf(result, params, inputs),
      figures: [figureOf(result, params, inputs)],
      tables: [tableOf(result, params, inputs)],
      cautions: cautionsOf(result, params, inputs),
      asks,
    };
  },
};

function groups(inputs: CellInputs, by: Params["by"], effects: CellEffects): (run: number) => string | null {
  if (by !== "wait") {
    const words = runGroups(inputs, by, effects);
    return (run) => wordAt(words, run);
  }
  const {row} = servicedBefore(inputs, effects);
  const {wait_days} = inputs.rebuilds.columns;
  return (run) => {
    const days = row[run]! < 0 ? NaN : wait_days[row[run]!]!;
    return Number.isFinite(days) ? WAITS[days <= 2 ? 0 : days <= 7 ? 1 : 2]! : null;
  };
}

const rate = ({count, exposure}: {readonly count: number; readonly exposure: number}): number =>
  exposure > 0 ? (count / exposure) * 1000 : 0;
const byRate = (a: EarlyRow, b: EarlyRow) => rate(b.early) - rate(a.early) || (a.name < b.name ? -1 : 1);
const byWait = (a: EarlyRow, b: EarlyRow) =>
  WAITS.findIndex((wait) => wait === a.name) - WAITS.findIndex((wait) => wait === b.name);
const isApart = ({adjusted}: EarlyRow): boolean => adjusted <= FALSE_SHARE;

const theOthers = (by: Params["by"]): string => (by === "technician" ? "the others of that shop" : "the others");
const plural = (by: Params["by"]): string => (by === "wait" ? "waits" : GROUP_WORDS[by][1]);

function headlineOf({rows}: EarlyResult, params: Params, {settings}: CellInputs): string {
  const {unit} = clockOf(settings);
  const first = `${sayNumber(params.early_h)} ${unit}`;
  const sum = (of: "early" | "later") => ({
    count: rows.reduce((total, row) => total + row[of].count, 0),
    exposure: rows.reduce((total, row) => total + row[of].exposure, 0),
  });
  const [e, l] = [sum("early"), sum("later")];
  const base = `${capital(COUNTED[params.count])} come at ${sayNumber(rate(e))} per 1,000 ${unit} in the first ${first} after a rebuild (${sayNumber(e.count)} in ${sayNumber(Math.round(e.exposure))} ${unit}) and at ${sayNumber(rate(l))} later (${sayNumber(l.count)} in ${sayNumber(Math.round(l.exposure))} ${unit}).`;
  if (rows.length === 1) return `${base} There is nothing to compare ${rows[0]!.name} with.`;
  const apart = rows.filter(isApart);
  if (apart.length === 0)
    return `${base} Early on none of the ${plural(params.by)} differs from ${theOthers(params.by)} by more than chance.`;
  const say = (row: EarlyRow) =>
    `${row.name} (${sayNumber(rate(row.early))}${row.ratio === null ? "" : `, ${sayNumber(row.ratio)} times ${theOthers(params.by)}, ${sayLevel(settings)} ${sayLimits(row.ratioLimits)}`})`;
  return `${base} Beyond chance early on, with at most ${sayPercent(FALSE_SHARE)} of such calls false: ${sayList(apart.map(say))}.`;
}

function figureOf({rows}: EarlyResult, params: Params, inputs: CellInputs): Figure {
  const {settings} = inputs;
  const {unit, name: clock} = clockOf(settings);
  const shown = rows.slice(0, 14);
  const apart = rows.filter((row) => isApart(row) && (row.ratio === null || row.ratio > 1));
  const value = (part: Counted, mark: string) => {
    const [lower, upper] = rateLimits(part, settings.level);
    return part.exposure > 0
      ? {
          value: rate(part),
          lower: lower * 1000,
          upper: upper * 1000,
          note: sayCount(part.count, "failure"),
          behind: failuresBehind(inputs, inputs.failures, part.rows, {mark}),
        }
      : null;
  };
  return {
    name: "early",
    title:
      rows.length === 1
        ? `${rows[0]!.name}: early and later failures`
        : apart.length === 0
          ? `No ${params.by} stands out in the first ${sayNumber(params.early_h)} ${unit} after a rebuild`
          : `${sayList(apart.slice(0, 3).map(({name}) => name))} ${apart.length === 1 ? "fails" : "fail"} early more often than ${theOthers(params.by)}`,
    caption: `${capital(COUNTED[params.count])}, per 1,000 ${clock} of tools in that time after a rebuild. Whiskers: exact Poisson ${sayLevel(settings)}.`,
    alt: shown
      .map((row) => `${row.name}: ${sayNumber(rate(row.early))} early, ${sayNumber(rate(row.later))} later`)
      .join("; "),
    chart: {
      kind: "versus",
      label: `failures per 1,000 ${unit}`,
      unit: "",
      log: false,
      reference: null,
      series: [`first ${sayNumber(params.early_h)} ${unit} after a rebuild`, "later"],
      rows: shown.map((row) => ({
        name: row.name,
        values: [value(row.early, `${row.name}, early`), value(row.later, `${row.name}, later`)],
        marked: isApart(row),
      })),
      markedMeans: `early rate differs from ${theOthers(params.by)} beyond chance`,
    },
  };
}

function tableOf({rows}: EarlyResult, {by, early_h}: Params, {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const per = `per 1,000 ${unit}`;
  const limits = rows.map(({early: e}) => rateLimits(e, settings.level));
  return {
    name: "early",
    title: "Early and later",
    columns: [
      {name: "group", label: by === "wait" ? "wait before the teardown" : by, values: rows.map(({name}) => name)},
      {
        name: "early_failures",
        label: `failures in the first ${sayNumber(early_h)} ${unit}`,
        format: "count",
        values: rows.map((row) => row.early.count),
      },
      {
        name: "early_exposure",
        label: "exposure in it",
        unit,
        format: "hours",
        values: rows.map((row) => Math.round(row.early.exposure)),
      },
      {name: "early_rate", label: "early rate", unit: per, format: "rate", values: rows.map((row) => rate(row.early))},
      {
        name: "early_lower",
        label: "lower limit",
        unit: per,
        format: "rate",
        values: limits.map(([lower]) => lower * 1000),
      },
      {
        name: "early_upper",
        label: "upper limit",
        unit: per,
        format: "rate",
        values: limits.map(([, upper]) => upper * 1000),
      },
      {name: "later_failures", label: "failures later", format: "count", values: rows.map((row) => row.later.count)},
      {
        name: "later_exposure",
        label: "exposure later",
        unit,
        format: "hours",
        values: rows.map((row) => Math.round(row.later.exposure)),
      },
      {
        name: "later_rate",
        label: "later rate",
        unit: per,
        format: "rate",
        values: rows.map((row) => (row.later.exposure > 0 ? rate(row.later) : null)),
      },
      {name: "ratio", label: "times the others' early rate", format: "number", values: rows.map(({ratio}) => ratio)},
      {
        name: "ratio_lower",
        label: "lower limit",
        format: "number",
        values: rows.map(({ratio, ratioLimits}) => (ratio === null ? null : ratioLimits[0])),
      },
      {
        name: "ratio_upper",
        label: "upper limit",
        format: "number",
        values: rows.map(({ratioLimits}) => ratioLimits[1]),
      },
      {name: "adjusted", label: "p, adjusted", values: rows.map((row) => sayP(row.adjusted))},
    ],
    note: `A run belongs to the last rebuild of its tool before it; its hours are split at ${sayNumber(early_h)} ${unit} after that rebuild. p: exact conditional test of the early rate against that of ${by === "technician" ? "the others of the same shop" : "all the others"}, adjusted after Benjamini and Hochberg. ${sayLevel(settings)}.`,
  };
}

function cautionsOf({rows, unplaced, unplacedFailures}: EarlyResult, {by}: Params, {settings}: CellInputs): string[] {
  const cautions: string[] = [];
  const few = rows.filter((row) => row.early.count < LEAST_TO_RANK);
  if (few.length > 0)
    cautions.push(
      `${few.length > 4 ? `${sayNumber(few.length)} of the ${plural(by)} have` : `${sayList(few.map((row) => `${row.name} (${sayNumber(row.early.count)})`))} ${few.length === 1 ? "has" : "have"}`} fewer than ${LEAST_TO_RANK} early failures: too few to rank among the others.`,
    );
  if (by === "wait")
    cautions.push(
      "Waits differ between fleets, and fleets differ otherwise: look at one fleet at a time before blaming the wait. Bands of days are our choice.",
    );
  if (by === "technician")
    cautions.push(
      "A technician stands for a way of working, never for blame: look at what was done and how, together.",
    );
  if (by === "shop" || by === "fleet")
    cautions.push("Conditions are not allowed for here; early damage at service hardly depends on them, wear does.");
  if (unplaced > 0)
    cautions.push(
      `${capital(sayCount(unplaced, "run"))} after no logged rebuild, or without ${clockOf(settings).name} or its ${by === "wait" ? "wait" : by}, ${unplaced === 1 ? "is" : "are"} left out${unplacedFailures > 0 ? `, with ${sayCount(unplacedFailures, "failure")}` : ""}.`,
    );
  return cautions;
}
