/** Cell kind `hinges`: what each recommended interval hinges on, and what its doubt costs. */
import {rowHinges, runQuantiles, sheetRows, type HingeEnd, type HingeName, type RowHinges} from "../decisions/index.ts";
import type {CellInputs, CellKind, CellTable, Figure, TableColumn} from "./contract.ts";
import {BENCH_DEFERRAL, intervalSheet, modelledLives, rowName, rowStake, wantedRow} from "./intervals.ts";
import {componentsParam, mudsParam, numberParam, params, regimesParam} from "./params.ts";
import {capital, clockOf, onlySentence, sayCount, sayLevel, sayMoney, sayNothing, sayNumber, sayWhere} from "./say.ts";

const {schema, fields} = params({
  component: componentsParam(),
  mud: mudsParam(),
  regime: regimesParam(),
  most: numberParam("how many rows of the sheet are looked at, those with most to gain first", {
    min: 1,
    max: 40,
    fallback: 6,
  }),
});

interface Params {
  readonly component: readonly string[] | null;
  readonly mud: readonly string[] | null;
  readonly regime: readonly string[] | null;
  readonly most: number;
}

interface Answer {
  readonly rows: readonly RowHinges[];
  /** quartiles of the log's runs */
  readonly runs: readonly [number, number];
}

export const hinges: CellKind<Params, Answer> = {
  kind: "hinges",
  summary: "What would change the answer: each interval again with other costs, shape, life and run length.",
  schema,
  fields,
  example: "component: seals\nmost: 4\n",

  compute(inputs, params, effects) {
    const wanted = wantedRow(params, inputs.where);
    const {rows} = intervalSheet(inputs, {components: wanted.components, fleet: null}, effects);
    const looked = rows
      .filter(
        (row) => wanted.has(row) && row.advice !== "not enough data" && row.curve !== null && row.boundBy !== null,
      )
      .sort((a, b) => rowStake(b) - rowStake(a))
      .slice(0, params.most);
    const [shorter = 1, longer = 1] = runQuantiles(inputs.runs, inputs.settings.exposure, [0.25, 0.75]);
    const {lives, models} = modelledLives(inputs, effects);
    const sheet = sheetRows({...inputs, lives, models});
    const found = looked.map((row, done) => {
      effects.signal.throwIfAborted();
      effects.progress(done, looked.length);
      const made = sheet
        .rowsOf(row.component)
        .find(({condition}) => condition.mud === row.mud && condition.regime === row.regime)!;
      return rowHinges(made, row, [shorter, longer]);
    });
    effects.progress(looked.length, looked.length);
    return {rows: found.sort((a, b) => doubtStake(b) - doubtStake(a)), runs: [shorter, longer]};
  },

  present({rows, runs}, _params, inputs) {
    if (rows.length === 0)
      return onlySentence(
        inputs.all.rows > 0 && sayWhere(inputs.where) === ""
          ? "No interval can hinge on anything yet: none rests on costs and on failures enough for a model. As more failures come into the log, ask again."
          : sayNothing("rows with an interval that rests on costs or lives", inputs),
      );
    return {
      headline: headlineOf(rows[0]!, inputs),
      figures: [rangeFigure(rows[0]!, runs, inputs)],
      tables: [rangesTable(rows, runs, inputs), doubtTable(rows, inputs)],
      cautions: [BENCH_DEFERRAL, ...cautionsOf(rows, inputs)],
    };
  },
};

/** Money that the doubt costs over the exposure in view. */
const doubtStake = ({row, doubtCosts}: RowHinges): number => ((doubtCosts ?? 0) * row.exposure_h) / 1000;

/** How far apart the intervals at the two ends are, as a ratio; running to failure at one end is beyond any. */
function swing({low, high}: {readonly low: HingeEnd; readonly high: HingeEnd}): number {
  if (low.interval === null && high.interval === null) return 1;
  if (low.interval === null || high.interval === null) return Infinity;
  return Math.max(low.interval, high.interval) / Math.min(low.interval, high.interval);
}

const sayEnd = ({advice, interval}: HingeEnd, unit: string): string =>
  interval === null ? advice : `${sayNumber(interval)} ${unit}`;

const WHAT: Readonly<Record<HingeName, string>> = {
  "failure cost": "what a failure costs, halved and doubled",
  shape: "the shape, at either end of what the lives allow",
  life: "how long parts live, at either end of what the lives allow",
  "run length": "the length of the next run",
};

function headlineOf({row, hinges: found, doubtCosts, toHalve}: RowHinges, inputs: CellInputs): string {
  const {settings} = inputs;
  const {unit} = clockOf(settings);
  const most = [...found].sort((a, b) => swing(b) - swing(a))[0];
  const answer = `The ${rowName(row)}: ${row.interval_h === null ? row.advice : `renew at ${sayNumber(row.interval_h)} ${unit}`}`;
  const hinge =
    most === undefined || swing(most) === 1
      ? "nothing tried here changes that"
      : `this hinges most on ${WHAT[most.name]}: ${sayEnd(most.low, unit)} to ${sayEnd(most.high, unit)}`;
  const doubt =
    doubtCosts === null || toHalve === null
      ? ""
      : ` What the lives leave open costs ${doubtCosts < 1 ? `less than ${sayMoney(1, settings)}` : sayMoney(doubtCosts, settings)} per 1,000 ${unit} on average; ` +
        `${sayCount(toHalve, "more wear failure")} would halve the doubt (${sayCount(row.failuresPooled, "failure")} so far, in all conditions).`;
  return `${answer}; ${hinge}.${doubt}`;
}

function rangeFigure({row, hinges: found}: RowHinges, runs: readonly [number, number], inputs: CellInputs): Figure {
  const {settings} = inputs;
  const {unit} = clockOf(settings);
  const ranges = [...found].sort((a, b) => swing(b) - swing(a));
  const ordered = (low: number | null, high: number | null): {lower: number | null; upper: number | null} =>
    low !== null && high !== null && low > high
      ? {lower: high, upper: low}
      : {lower: low ?? high, upper: low === null ? null : high};
  return {
    name: `hinges-${row.component}-${row.mud}-${row.regime}`.toLowerCase(),
    title:
      row.interval_h === null
        ? `${capital(rowName(row))}: where running to failure would give way to an interval`
        : `${capital(rowName(row))}: ${sayNumber(row.interval_h)} ${unit}, and how far each doubt moves it`,
    caption:
      `Dot: the interval as recommended; bar: from one end of a change to the other, one thing changed at a time. A bar to the right edge: run to failure at that end. ` +
      `Shape and life: the fifth of the plausible models at either end. Run length: ${sayNumber(runs[0])} and ${sayNumber(runs[1])} ${unit}, the quartiles of the log's runs. ` +
      `${capital(sayCount(row.failures, "failure"))} among ${sayCount(row.lives, "life", "lives")} of the condition, ${sayNumber(row.failuresPooled)} among ${sayNumber(row.livesPooled)} in all.`,
    alt: ranges.map((one) => `${one.name}: ${sayEnd(one.low, unit)} to ${sayEnd(one.high, unit)}`).join("; "),
    chart: {
      kind: "dots",
      label: "renew at",
      unit,
      reference: row.interval_h,
      log: false,
      rows: [
        ...ranges.map((one) => ({
          name: NAMES[one.name],
          group: "",
          value: row.interval_h,
          ...ordered(one.low.interval, one.high.interval),
          note: swing(one) === 1 ? "no change" : `${sayEnd(one.low, unit)} to ${sayEnd(one.high, unit)}`,
        })),
        {
          name: "the lives, all in all",
          group: "",
          value: row.costInterval_h,
          lower: row.limits_h[0],
          upper: row.limits_h[1],
          note: `${sayLevel(settings)} by cost`,
        },
      ],
    },
  };
}

const NAMES: Readonly<Record<HingeName, string>> = {
  "failure cost": "failure cost ½ to 2 times",
  shape: "shape",
  life: "length of life",
  "run length": "next run",
};

function rangesTable(rows: readonly RowHinges[], runs: readonly [number, number], inputs: CellInputs): CellTable {
  const {settings} = inputs;
  const {unit} = clockOf(settings);
  const money = `${settings.currency} per 1,000 ${unit}`;
  const lines = rows.flatMap(({row, hinges: found}) =>
    found.flatMap(({name, low, high}) => [low, high].map((end) => ({row, name, end}))),
  );
  const sayAt = (name: HingeName, at: number): string =>
    name === "shape"
      ? sayNumber(at)
      : name === "life"
        ? `scale ${sayNumber(at)} ${unit}`
        : name === "run length"
          ? `${sayNumber(at)} ${unit}`
          : `${sayNumber(at)} times`;
  const numbers = (
    name: string,
    label: string,
    of: (line: (typeof lines)[number]) => number | null,
    more: Partial<TableColumn>,
  ) => ({
    name,
    label,
    values: lines.map(of),
    ...more,
  });
  return {
    name: "hinges",
    title: "One thing changed at a time",
    columns: [
      {name: "row", label: "row", values: lines.map(({row}) => rowName(row))},
      {name: "what", label: "changed", values: lines.map(({name}) => name)},
      {name: "at", label: "to", values: lines.map(({name, end}) => sayAt(name, end.at))},
      numbers("now", "renew at", ({row}) => row.interval_h, {unit, format: "hours"}),
      numbers("then", "would be", ({end}) => end.interval, {unit, format: "hours"}),
      {name: "advice", label: "advice then", values: lines.map(({end}) => end.advice)},
      numbers("saves_now", "saves against today", ({row}) => row.savingPer1000h.againstCurrent, {
        unit: money,
        format: "money",
      }),
      numbers("saves_then", "would save", ({end}) => end.saving, {unit: money, format: "money"}),
      numbers("lives", "lives", ({row}) => row.lives, {format: "count"}),
      numbers("failures", "failures", ({row}) => row.failures, {format: "count"}),
    ],
    note: `The rows with most to gain, those whose doubt costs most first. Run length: ${sayNumber(runs[0])} and ${sayNumber(runs[1])} ${unit} are the quartiles of the log's runs. Savings are against today's policy under the same change.`,
  };
}

function doubtTable(rows: readonly RowHinges[], {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  return {
    name: "doubt",
    title: "What more failures would settle",
    columns: [
      {name: "row", label: "row", values: rows.map(({row}) => rowName(row))},
      {name: "interval", label: "renew at", unit, format: "hours", values: rows.map(({row}) => row.interval_h)},
      {name: "lower", label: "lower limit", unit, format: "hours", values: rows.map(({row}) => row.limits_h[0])},
      {name: "upper", label: "upper limit", unit, format: "hours", values: rows.map(({row}) => row.limits_h[1])},
      {
        name: "doubt",
        label: "the doubt costs",
        unit: `${settings.currency} per 1,000 ${unit}`,
        format: "money",
        values: rows.map(({doubtCosts}) => doubtCosts),
      },
      {
        name: "wear",
        label: "wear failures, all conditions",
        format: "count",
        values: rows.map(({failures}) => failures),
      },
      {name: "more", label: "more to halve the doubt", format: "count", values: rows.map(({toHalve}) => toHalve)},
      {
        name: "exposure",
        label: "in about so much exposure",
        unit,
        format: "hours",
        values: rows.map(({toHalve_h}) => (toHalve_h === null ? null : Number(toHalve_h.toPrecision(2)))),
      },
    ],
    note: `The doubt costs what the recommended age costs above the age one would choose if the life were known exactly, on average over the plausible models. Limits of the best age by cost (${sayLevel(settings)}) narrow with the square root of the failures, so half of them takes four times as many, what is expected of wear counted in.`,
  };
}

function cautionsOf(rows: readonly RowHinges[], inputs: CellInputs): string[] {
  const {unit} = clockOf(inputs.settings);
  const giveUp = rows.filter(
    ({row, hinges: found}) =>
      row.interval_h !== null && found.some(({low, high}) => low.interval === null || high.interval === null),
  );
  const cautions = ["One thing is changed at a time; two at once can do more than both apart."];
  if (giveUp.length > 0)
    cautions.push(
      `${capital(sayCount(giveUp.length, "row"))} would lose ${giveUp.length === 1 ? "its" : "their"} interval under a change tried here: ${giveUp.map(({row}) => `${rowName(row)} (${sayNumber(row.interval_h!)} ${unit})`).join("; ")}.`,
    );
  return cautions;
}
