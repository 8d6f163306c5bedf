/** Cell kind `side-by-side`: any two groups, cause by cause: what differs, and whether by more than chance. */
import {wordAt, type Words} from "../../shared/columnar.ts";
import {exposureOf} from "../lives/index.ts";
import {FAILURE_CLASSES, type FailureTable} from "../lives/failureTable.ts";
import {compareRates, falseDiscovery, rateLimits} from "../statistics/index.ts";
import {askChange, askOne, FALSE_SHARE, LEAST_TO_RANK} from "./compareWords.ts";
import {failuresBehind} from "./behind.ts";
import type {CellEffects, CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {causeOf, OF} from "./failureCauses.ts";
import {failuresInView, runsInView} from "./inView.ts";
import {asked, choiceParam, componentsParam, dayParam, numberParam, params, textParam} from "./params.ts";
import {GROUP_WORDS, LATER, middleDay, RUN_GROUPS, runGroups} from "./runGroups.ts";
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

const BY = {...RUN_GROUPS, lot: "lots of parts"} as const;
const COUNTED = {"ended runs": "failures that ended a run", all: "every failure, found at teardowns too"} as const;

const {schema, fields} = params({
  by: choiceParam("what is compared", BY, "fleet"),
  first: asked(textParam("the one that is asked about; the one with the highest rate when left out")),
  second: asked(textParam("the one it is compared with; of the others the one with most failures when left out")),
  on: asked(dayParam("with by: period, the day that parts before from after; the middle of the log when left out")),
  of: choiceParam("what failures are put together by", OF, "mode"),
  count: choiceParam("which failures are counted", COUNTED, "ended runs"),
  component: componentsParam(),
  most: numberParam("how many causes the figure shows at most", {min: 1, max: 40, fallback: 12}),
});

interface Params {
  readonly by: keyof typeof BY;
  readonly first: string | null;
  readonly second: string | null;
  readonly on: string | null;
  readonly of: keyof typeof OF;
  readonly count: keyof typeof COUNTED;
  readonly component: readonly string[] | null;
  readonly most: number;
}

interface Side {
  readonly name: string;
  readonly failures: number;
  readonly exposure: number;
}

interface CauseRow {
  readonly name: string;
  readonly counts: readonly [number, number];
  readonly rates: readonly [number, number];
  readonly limits: readonly [readonly [number, number], readonly [number, number]];
  readonly ratio: number | null;
  readonly ratioLimits: readonly [number, number | null];
  readonly p: number;
  readonly adjusted: number;
  /** rows of the failure table of either side */
  readonly rows?: readonly [readonly number[], readonly number[]];
}

interface PairResult {
  readonly names: readonly string[];
  readonly sides: readonly [Side, Side] | null;
  /** all causes together first; then the largest difference first */
  readonly whole: CauseRow | null;
  readonly causes: readonly CauseRow[];
  readonly differs: readonly {
    readonly what: string;
    readonly unit: string;
    readonly values: readonly (number | null)[];
  }[];
  readonly unknown: readonly string[];
  readonly outside: number;
}

const words = (by: Params["by"]): readonly [string, string] => (by === "lot" ? ["lot", "lots"] : GROUP_WORDS[by]);

export const sideBySide: CellKind<Params, PairResult> = {
  kind: "side-by-side",
  summary: "Any two fleets, shops, lots, muds, periods or ways of working, cause by cause: what differs beyond chance.",
  schema,
  fields,
  example: "by: fleet\nof: mode\n",

  compute(inputs, given, effects) {
    const {by, first, second, of} = given;
    const grouped = by === "lot" ? byLot(inputs) : byRun(inputs, by, given.on, effects);
    const rows = countedRows(grouped.failures, grouped.rows, given);
    const counts = new Map<string, number>();
    let outside = 0;
    for (const row of rows) {
      const name = grouped.groupOf(row);
      if (name === null || !((grouped.exposure.get(name) ?? 0) > 0)) outside++;
      else counts.set(name, (counts.get(name) ?? 0) + 1);
    }
    const all = [...grouped.exposure]
      .filter(([, exposure]) => exposure > 0)
      .map(([name, exposure]): Side => ({name, exposure, failures: counts.get(name) ?? 0}))
      .sort((x, y) => y.failures / y.exposure - x.failures / x.exposure || (x.name < y.name ? -1 : 1));
    const names = all.map(({name}) => name);
    const unknown = [first, second].flatMap((name) => (name !== null && !names.includes(name) ? [name] : []));
    // among many small groups the highest rate is one of few hours: the one most above its share is asked about
    const rate = all.reduce((n, s) => n + s.failures, 0) / all.reduce((n, s) => n + s.exposure, 0);
    const excess = ({failures, exposure}: Side) =>
      (failures - rate * exposure) / Math.sqrt(Math.max(rate * exposure, 1e-9));
    const start = names.length > 6 ? [...all].sort((x, y) => excess(y) - excess(x)) : all;
    const later = by === "period" ? all.find(({name}) => name.startsWith(LATER)) : undefined;
    const a = later ?? all.find(({name}) => name === first) ?? start.find(({name}) => name !== second);
    const b =
      all.find(({name}) => name === second && name !== a?.name) ??
      all.filter(({name}) => name !== a?.name).sort((x, y) => y.failures - x.failures)[0];
    const base = {names, unknown, outside};
    if (!a || !b) return {...base, sides: null, whole: null, causes: [], differs: []};
    const byCause = new Map<string, [number[], number[]]>();
    for (const row of rows) {
      const side = [a.name, b.name].indexOf(grouped.groupOf(row) ?? "");
      if (side < 0) continue;
      const {name} = causeOf({failures: grouped.failures}, row, of, grouped.failures.serviceInduced[row] === 1);
      const pair = byCause.get(name) ?? [[], []];
      pair[side]!.push(row);
      byCause.set(name, pair);
    }
    const {level} = inputs.settings;
    const raw = [...byCause].map(([name, pair]) => ({
      ...rowOf(name, [pair[0].length, pair[1].length], [a, b], level),
      rows: pair,
    }));
    const adjusted = falseDiscovery(raw.map(({p}) => p));
    return {
      ...base,
      sides: [a, b],
      whole: rowOf("all causes together", [a.failures, b.failures], [a, b], level),
      causes: raw
        .map((row, i) => ({...row, adjusted: adjusted[i]!}))
        .sort((x, y) => Math.abs(y.rates[0] - y.rates[1]) - Math.abs(x.rates[0] - x.rates[1])),
      differs: by === "lot" ? [] : differences(inputs, grouped.ofRun!, [a.name, b.name]),
    };
  },

  present(result, params, inputs) {
    const [one, many] = words(params.by);
    const {sides, whole, names} = result;
    if (names.length === 0) return onlySentence(sayNothing(`${many} with exposure`, inputs));
    if (!sides || !whole)
      return onlySentence(
        `Only ${names[0]!} is in view; there is no other ${one} to set beside it. Widen the filters, or compare by something else.`,
      );
    const offered = names.slice(0, 400);
    return {
      headline: headlineOf(result, sides, whole, params, inputs),
      figures: result.causes.length ? [causesFigure(result.causes, sides, params, inputs)] : [],
      tables: [
        causesTable([whole, ...result.causes], sides, params, inputs),
        ...(result.differs.length ? [differsTable(result.differs, sides)] : []),
      ],
      cautions: cautionsOf(result, sides, params),
      asks:
        params.by === "period"
          ? [askChange(params.on, middleDay(inputs))]
          : [
              askOne(
                "first",
                `${one} asked about`,
                sides[0].name,
                offered,
                params.first === null ? "chosen by its failures" : "",
              ),
              askOne("second", "compared with", sides[1].name, offered, params.second === null ? "most failures" : ""),
            ],
    };
  },
};

interface Grouped {
  readonly exposure: ReadonlyMap<string, number>;
  readonly failures: FailureTable;
  readonly rows: readonly number[];
  groupOf(failure: number): string | null;
  readonly ofRun: Words | null;
}

function byRun(inputs: CellInputs, by: keyof typeof RUN_GROUPS, on: string | null, effects: CellEffects): Grouped {
  const ofRun = runGroups(inputs, by, effects, on);
  const exposures = exposureOf(inputs.runs, inputs.settings.exposure);
  const exposure = new Map<string, number>();
  for (const run of runsInView(inputs)) {
    const name = wordAt(ofRun, run);
    if (name !== null && exposures[run]! >= 0) exposure.set(name, (exposure.get(name) ?? 0) + exposures[run]!);
  }
  const {failures} = inputs;
  return {
    exposure,
    failures,
    rows: [...failuresInView(inputs)],
    groupOf: (row) => (failures.run[row]! < 0 ? null : wordAt(ofRun, failures.run[row]!)),
    ofRun,
  };
}

/** Lots have the exposure of their parts and the failures of their lives. */
function byLot({lives}: CellInputs): Grouped {
  const {offsets, hours} = lives.exposure;
  const exposure = new Map<string, number>();
  for (let life = 0; life < lives.rows; life++) {
    const name = wordAt(lives.lot, life);
    if (name === null) continue;
    let sum = 0;
    for (let s = offsets[life]!; s < offsets[life + 1]!; s++) if (hours[s]! > 0) sum += hours[s]!;
    exposure.set(name, (exposure.get(name) ?? 0) + sum);
  }
  const failures = lives.failures!;
  return {
    exposure,
    failures,
    rows: failures === undefined ? [] : [...Array(failures.rows).keys()],
    groupOf: (row) => (failures.life[row]! < 0 ? null : wordAt(lives.lot, failures.life[row]!)),
    ofRun: null,
  };
}

function countedRows(failures: FailureTable, rows: readonly number[], {count, component}: Params): number[] {
  const runs = new Set<number>();
  return rows.filter((row) => {
    const what = FAILURE_CLASSES[failures.failureClass[row]!];
    const part = wordAt(failures.component, row);
    if (component !== null && (part === null || !component.includes(part))) return false;
    if (count === "all") return true;
    if (what !== "F1" && what !== "F2") return false;
    // a run for which several parts are blamed counts once, for the first of them
    const run = failures.run[row]!;
    if (run < 0 || component !== null) return true;
    if (runs.has(run)) return false;
    runs.add(run);
    return true;
  });
}

function rowOf(
  name: string,
  counts: readonly [number, number],
  [a, b]: readonly [Side, Side],
  level: number,
): CauseRow {
  const first = {count: counts[0], exposure: a.exposure};
  const second = {count: counts[1], exposure: b.exposure};
  const {ratio, limits, pTwoSided} = compareRates(first, second, {level});
  return {
    name,
    counts,
    rates: [(counts[0] / a.exposure) * 1000, (counts[1] / b.exposure) * 1000],
    limits: [
      rateLimits(first, level).map((end) => end * 1000) as [number, number],
      rateLimits(second, level).map((end) => end * 1000) as [number, number],
    ],
    ratio,
    ratioLimits: limits,
    p: pTwoSided,
    adjusted: pTwoSided,
  };
}

/** What else is unlike between the two: the conditions of their runs. */
function differences(inputs: CellInputs, ofRun: Words, names: readonly [string, string]): PairResult["differs"] {
  const {columns} = inputs.runs;
  const exposures = exposureOf(inputs.runs, inputs.settings.exposure);
  const rows = names.map((name) =>
    [...runsInView(inputs)].filter((run) => wordAt(ofRun, run) === name && exposures[run]! > 0),
  );
  const mean = (values: Float64Array, list: readonly number[]): number | null => {
    let sum = 0;
    let whole = 0;
    for (const run of list) {
      if (!Number.isFinite(values[run]!)) continue;
      sum += values[run]! * exposures[run]!;
      whole += exposures[run]!;
    }
    return whole > 0 ? sum / whole : null;
  };
  const share = (test: (run: number) => boolean, list: readonly number[]): number | null => {
    const whole = list.reduce((sum, run) => sum + exposures[run]!, 0);
    return whole > 0 ? (100 * list.reduce((sum, run) => (test(run) ? sum + exposures[run]! : sum), 0)) / whole : null;
  };
  const told = (what: string, unit: string, of: (list: readonly number[]) => number | null) => ({
    what,
    unit,
    values: rows.map(of),
  });
  const regime = (word: string) => (run: number) => wordAt(inputs.conditions.regime, run) === word;
  return [
    told("runs", "", (list) => list.length),
    told("tools", "", (list) => new Set(list.map((run) => columns.tool.codes[run])).size),
    told("mean length of a run", clockOf(inputs.settings).unit, (list) =>
      list.length ? list.reduce((sum, run) => sum + exposures[run]!, 0) / list.length : null,
    ),
    told("in high flow", "% of hours", (list) => share(regime("high"), list)),
    told("in low flow", "% of hours", (list) => share(regime("low"), list)),
    told("velocity around the tool", "m/s", (list) => mean(inputs.conditions.velocity_mps, list)),
    told("highest temperature of a run", "°C", (list) => mean(columns.temperature_max_C, list)),
    told("sand", "%", (list) => mean(columns.sand_pct, list)),
    told("with lost-circulation material", "% of hours", (list) => share((run) => columns.lcm_kgm3[run]! > 0, list)),
  ];
}

const isApart = ({adjusted}: CauseRow): boolean => adjusted <= FALSE_SHARE;

const counted = ({count, component}: Params): string =>
  `${count === "all" ? "failures" : "failures that ended a run"}${component === null ? "" : ` of ${sayList(component.map(partsOf))}`}`;

function headlineOf(
  {causes}: PairResult,
  [a, b]: readonly [Side, Side],
  whole: CauseRow,
  params: Params,
  {settings}: CellInputs,
): string {
  const {unit} = clockOf(settings);
  const base = `${capital(counted(params))} per 1,000 ${unit}: ${a.name} ${sayNumber(whole.rates[0])} (${sayNumber(a.failures)} in ${sayNumber(Math.round(a.exposure))} ${unit}), ${b.name} ${sayNumber(whole.rates[1])} (${sayNumber(b.failures)} in ${sayNumber(Math.round(b.exposure))} ${unit})`;
  const ratio =
    whole.ratio === null
      ? `; ${b.name} had none, so there is no ratio`
      : `, ${sayNumber(whole.ratio)} times as often (${sayLevel(settings)} ${sayLimits(whole.ratioLimits)}; p ${sayP(whole.p)})`;
  const apart = causes.filter(isApart);
  if (apart.length === 0)
    return causes.length === 0
      ? `${base}. No failure of either is in view, so there is nothing to compare: choose two others, or widen the filters.`
      : `${base}${ratio}. No single cause differs by more than chance once ${sayCount(causes.length, "comparison")} ${causes.length === 1 ? "is" : "are"} allowed for.`;
  const say = (rows: readonly CauseRow[]) =>
    sayList(
      rows.slice(0, 4).map((row) => `${row.name} (${sayNumber(row.rates[0])} against ${sayNumber(row.rates[1])})`),
    ) + (rows.length > 4 ? ` and ${sayNumber(rows.length - 4)} more` : "");
  const more = apart.filter(({rates}) => rates[0] > rates[1]);
  const less = apart.filter(({rates}) => rates[0] < rates[1]);
  const told = [
    ...(more.length ? [`more often in ${a.name}: ${say(more)}`] : []),
    ...(less.length ? [`less often: ${say(less)}`] : []),
  ];
  return `${base}${ratio}. Beyond chance, with at most ${sayPercent(FALSE_SHARE)} of such calls false, ${told.join("; ")}.`;
}

function causesFigure(
  causes: readonly CauseRow[],
  [a, b]: readonly [Side, Side],
  params: Params,
  inputs: CellInputs,
): Figure {
  const {settings} = inputs;
  const {unit, name: clock} = clockOf(settings);
  const shown = causes.slice(0, params.most);
  // lots have the failures of their lives, cut to the filters; all else has those of the logs
  const failures = (params.by === "lot" ? inputs.lives.failures : undefined) ?? inputs.failures;
  const apart = causes.filter(isApart);
  const side = (row: CauseRow, s: 0 | 1) => ({
    value: row.rates[s],
    lower: row.limits[s][0],
    upper: row.limits[s][1],
    note: sayNumber(row.counts[s]),
    behind: failuresBehind(inputs, failures, row.rows?.[s] ?? [], {mark: `${row.name}, ${s === 0 ? a.name : b.name}`}),
  });
  return {
    name: "side-by-side",
    title:
      apart.length === 0
        ? `${capital(a.name)} and ${b.name} differ in no single cause beyond chance`
        : `${capital(a.name)} and ${b.name} differ beyond chance in ${sayCount(apart.length, "cause")}`,
    caption: `${capital(counted(params))}, per 1,000 ${clock}, the largest differences first; whiskers exact Poisson ${sayLevel(settings)}; right: failures. ${causes.length > shown.length ? `${sayCount(causes.length - shown.length, "smaller difference")} in the table. ` : ""}`,
    alt: shown
      .slice(0, 6)
      .map(
        (row) =>
          `${row.name}: ${sayNumber(row.rates[0])} against ${sayNumber(row.rates[1])}${isApart(row) ? ", beyond chance" : ""}`,
      )
      .join("; "),
    chart: {
      kind: "versus",
      label: `failures per 1,000 ${unit}`,
      unit: "",
      log: false,
      reference: null,
      series: [a.name, b.name],
      rows: shown.map((row) => ({name: row.name, values: [side(row, 0), side(row, 1)], marked: isApart(row)})),
      markedMeans: "differs beyond chance",
    },
  };
}

function causesTable(
  rows: readonly CauseRow[],
  [a, b]: readonly [Side, Side],
  params: Params,
  {settings}: CellInputs,
): CellTable {
  const {unit} = clockOf(settings);
  const per = `per 1,000 ${unit}`;
  return {
    name: "side-by-side",
    title: `${capital(a.name)} beside ${b.name}`,
    columns: [
      {name: "cause", label: OF[params.of], values: rows.map(({name}) => name)},
      {
        name: "first_failures",
        label: `failures, ${a.name}`,
        format: "count",
        values: rows.map(({counts}) => counts[0]),
      },
      {
        name: "second_failures",
        label: `failures, ${b.name}`,
        format: "count",
        values: rows.map(({counts}) => counts[1]),
      },
      {name: "first_rate", label: a.name, unit: per, format: "rate", values: rows.map(({rates}) => rates[0])},
      {name: "second_rate", label: b.name, unit: per, format: "rate", values: rows.map(({rates}) => rates[1])},
      {name: "ratio", label: "times as often", format: "number", values: rows.map(({ratio}) => ratio)},
      {
        name: "ratio_lower",
        label: "lower limit",
        format: "number",
        values: rows.map(({ratioLimits}) => ratioLimits[0]),
      },
      {
        name: "ratio_upper",
        label: "upper limit",
        format: "number",
        values: rows.map(({ratioLimits}) => ratioLimits[1]),
      },
      {name: "p", label: "p", values: rows.map(({p}) => sayP(p))},
      {name: "adjusted", label: "p, adjusted", values: rows.map((row, i) => (i === 0 ? "" : sayP(row.adjusted)))},
      {name: "apart", label: "beyond chance", values: rows.map((row) => (isApart(row) ? "yes" : "no"))},
    ],
    note: `Exact conditional test of two Poisson rates; ${sayLevel(settings)} after Clopper and Pearson; p of the causes adjusted after Benjamini and Hochberg, beyond chance at ${sayNumber(FALSE_SHARE)} or below. Exposure: ${sayNumber(Math.round(a.exposure))} and ${sayNumber(Math.round(b.exposure))} ${unit}${params.by === "lot" ? " of the parts of the lot" : ""}.`,
  };
}

function differsTable(differs: PairResult["differs"], [a, b]: readonly [Side, Side]): CellTable {
  return {
    name: "differs",
    title: "What else differs",
    columns: [
      {name: "what", label: "what", values: differs.map(({what}) => what)},
      {name: "unit", label: "unit", values: differs.map(({unit}) => unit)},
      {name: "first", label: a.name, format: "number", values: differs.map(({values}) => values[0] ?? null)},
      {name: "second", label: b.name, format: "number", values: differs.map(({values}) => values[1] ?? null)},
    ],
    note: "Means are weighed by exposure. A difference in conditions may be the reason for one in failures: the gap between two groups is taken apart on the page of the fair comparison.",
  };
}

function cautionsOf({unknown, outside}: PairResult, sides: readonly [Side, Side], {by}: Params): string[] {
  const [one] = words(by);
  const cautions: string[] = [];
  if (unknown.length > 0) cautions.push(`No ${one} in view is called ${sayList(unknown)}; another one was taken.`);
  const few = sides.filter(({failures}) => failures < LEAST_TO_RANK);
  if (few.length > 0)
    cautions.push(
      `${few.map(({name, failures}) => `${name} has ${sayCount(failures, "failure")}`).join("; ")}: too few to say which of the two is worse.`,
    );
  if (by === "technician")
    cautions.push(
      "A technician stands for a way of working, never for blame: look at what was done and how, together.",
    );
  cautions.push("The two ran in their own muds, flows and temperatures; these rates do not allow for that.");
  if (outside > 0)
    cautions.push(
      `${sayCount(outside, "failure")} of no named ${one} or of one without exposure ${outside === 1 ? "is" : "are"} left out.`,
    );
  return cautions;
}
