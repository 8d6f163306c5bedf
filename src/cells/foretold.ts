/** Cell kind `foretold`: whether parts given a chance to come through their next run did, on the reader's own logs. */
import {foretold, foretoldBands, foretoldInAll, type Followed, type ForetoldBand} from "../decisions/index.ts";
import {livesBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {livesOfEveryComponent} from "./inView.ts";
import {componentsParam, params} from "./params.ts";
import {capital, onlySentence, partsOf, sayCount, sayLevel, sayList, sayNothing, sayNumber, sayPercent} from "./say.ts";

const {schema, fields} = params({component: componentsParam()});

interface Params {
  readonly component: readonly string[] | null;
}

export interface ForetoldResult {
  readonly bands: readonly ForetoldBand[];
  readonly all: ForetoldBand;
  readonly byComponent: readonly {readonly component: string; readonly band: ForetoldBand}[];
  readonly days: readonly number[];
}

/** Fewer failures than this, foretold and seen, say little. */
const FEW = 5;

export const foretoldCell: CellKind<Params, ForetoldResult> = {
  kind: "foretold",
  summary: "Foretold and seen: whether parts given 90 % came through nine times in ten, by going back in the log.",
  schema,
  fields,
  example: "component: seals\n",

  compute(inputs, {component}, effects) {
    const {component: filtered, mud: _mud, regime: _regime, ...rest} = inputs.where;
    const make = (): Followed =>
      foretold({...inputs, lives: livesOfEveryComponent(inputs)}, undefined, effects.progress);
    const found = effects.memo ? effects.memo(JSON.stringify(["foretold", rest]), make) : make();
    const wanted = (code: string) =>
      (component === null || component.includes(code)) && (!filtered?.length || filtered.includes(code));
    const rows = found.component.map((_, i) => i).filter((i) => wanted(found.component[i]!));
    const {level} = inputs.settings;
    const part = (keep: readonly number[]) => ({
      component: keep.map((i) => found.component[i]!),
      life: keep.map((i) => found.life[i]!),
      survival: keep.map((i) => found.survival[i]!),
      expected: keep.map((i) => found.expected[i]!),
      seen: keep.map((i) => found.seen[i]!),
    });
    const own = part(rows);
    return {
      bands: foretoldBands(own, level),
      all: foretoldInAll(own, level),
      byComponent: [...new Set(own.component)].map((code) => ({
        component: code,
        band: foretoldInAll(part(rows.filter((i) => found.component[i] === code)), level),
      })),
      days: found.days,
    };
  },

  present(result, {component}, inputs) {
    const {all, bands, days} = result;
    const what = component === null ? "parts" : component.map(partsOf).join(" and ");
    if (all.parts === 0 || all.ratio === null)
      return onlySentence(
        inputs.lives.rows === 0
          ? sayNothing(`lives of ${what}`, inputs)
          : `Nothing can be checked yet: the log is too short, or too few ${what} were in service on the days it is looked back from. Ask again when it has grown, or with wider filters.`,
      );
    return {
      headline: headlineOf(all, bands, what, inputs),
      figures: [figureOf(bands, what, inputs)],
      tables: [bandsTable([...bands, all], inputs), componentsTable(result, inputs)],
      cautions: [
        `Models were fitted to the log as it stood on ${sayList(days.map(day))}, and ${sayCount(all.parts, "part")} in service on those days followed to the next teardown of their tool, or to the next of those days.`,
        ...(Math.max(all.failures, all.expected) < FEW
          ? [
              `With ${sayCount(all.failures, "failure")} seen and ${sayNumber(Number(all.expected.toFixed(1)))} foretold, this check says little.`,
            ]
          : []),
        "Failures are counted against those foretold for the exposure that really came: a part taken out early by another part's failure counts for what it ran, and a failure found at a teardown counts at that teardown. Faults that the shop built in are left out.",
      ],
    };
  },
};

const day = (time: number): string => new Date(time).toISOString().slice(0, 10);
const points = (value: number): string => sayNumber(Number((100 * value).toFixed(1)));

function headlineOf(all: ForetoldBand, bands: readonly ForetoldBand[], what: string, {settings}: CellInputs): string {
  const [low, high] = all.ratioLimits!;
  const verdict =
    low > 1
      ? "came through less often than foretold"
      : high < 1
        ? "came through more often than foretold"
        : "came through as foretold, as far as can be told";
  const near = bands.filter(({from, to, ratio}) => ratio !== null && from < 0.95 && to > 0.85);
  const told = near.map(
    ({foretold, seen, seenLimits, failures}) =>
      `given ${points(foretold)} % on average, ${points(seen!)} % did (${points(seenLimits![0])} to ${points(seenLimits![1])} %, ${sayCount(failures, "failure")})`,
  );
  return (
    `${capital(what)} ${verdict}: ${sayCount(all.failures, "failure")} seen where ${sayNumber(Number(all.expected.toFixed(1)))} were foretold, ` +
    `${sayNumber(Number(all.ratio!.toFixed(2)))} times as many (${sayLevel(settings)} ${sayNumber(Number(low.toFixed(2)))} to ${sayNumber(Number(high.toFixed(2)))}).` +
    (told.length > 0 ? ` Of those ${sayList(told, "and of those")}.` : "")
  );
}

function figureOf(bands: readonly ForetoldBand[], what: string, inputs: CellInputs): Figure {
  const {settings} = inputs;
  const all = livesOfEveryComponent(inputs);
  const drawn = bands.filter(({seen}) => seen !== null);
  const off = drawn.filter(({foretold, seenLimits}) => foretold < seenLimits![0] || foretold > seenLimits![1]);
  return {
    name: "foretold",
    title:
      off.length === 0
        ? `What was foretold of ${what} lies within the limits in every band`
        : `What was foretold of ${what} is off in ${sayNumber(off.length)} of ${sayCount(drawn.length, "band")}`,
    caption:
      `Chance foretold to come through the next run, and the chance that would have foretold the failures seen; bars: ${sayLevel(settings)}, exact for the count of failures. ` +
      `n: parts in the band. ${drawn.reduce((sum, {parts}) => sum + parts, 0).toLocaleString("en")} parts, ${drawn.reduce((sum, {failures}) => sum + failures, 0)} failures. On the dashed line what was foretold came.`,
    alt: drawn
      .map(
        ({foretold, seen, parts}) => `foretold ${points(foretold)} %, seen ${points(seen!)} % of ${sayNumber(parts)}`,
      )
      .join("; "),
    chart: {
      kind: "foretold",
      label: {foretold: "foretold", seen: "seen"},
      points: drawn.map(({from, to, foretold, seen, seenLimits, parts, lives}) => ({
        behind: livesBehind(inputs, all, lives, {
          mark: `foretold ${points(from)} to ${points(to)} %`,
          one: "part followed",
          many: "parts followed",
        }),
        foretold,
        seen: seen!,
        lower: seenLimits![0],
        upper: seenLimits![1],
        count: parts,
      })),
    },
  };
}

const columnsOf = (rows: readonly ForetoldBand[]): CellTable["columns"] => [
  {name: "parts", label: "parts", format: "count", values: rows.map(({parts}) => parts)},
  {name: "foretold", label: "foretold, on average", format: "share", values: rows.map(({foretold}) => foretold)},
  {name: "seen", label: "seen", format: "share", values: rows.map(({seen}) => seen)},
  {
    name: "seen_lower",
    label: "lower limit",
    format: "share",
    values: rows.map(({seenLimits}) => seenLimits?.[0] ?? null),
  },
  {
    name: "seen_upper",
    label: "upper limit",
    format: "share",
    values: rows.map(({seenLimits}) => seenLimits?.[1] ?? null),
  },
  {
    name: "expected",
    label: "failures foretold",
    format: "number",
    values: rows.map(({expected}) => Number(expected.toFixed(1))),
  },
  {name: "failures", label: "failures seen", format: "count", values: rows.map(({failures}) => failures)},
  {name: "ratio", label: "seen to foretold", format: "number", values: rows.map(({ratio}) => ratio)},
  {
    name: "ratio_lower",
    label: "lower limit",
    format: "number",
    values: rows.map(({ratioLimits}) => ratioLimits?.[0] ?? null),
  },
  {
    name: "ratio_upper",
    label: "upper limit",
    format: "number",
    values: rows.map(({ratioLimits}) => ratioLimits?.[1] ?? null),
  },
];

function bandsTable(rows: readonly ForetoldBand[], {settings}: CellInputs): CellTable {
  return {
    name: "bands",
    title: "Foretold and seen, by band",
    columns: [
      {
        name: "band",
        label: "chance foretold",
        values: rows.map(({from, to}) =>
          from === 0 && to === 1
            ? "all"
            : from === 0
              ? `below ${sayPercent(to)}`
              : `${sayPercent(from)} to ${sayPercent(to)}`,
        ),
      },
      ...columnsOf(rows),
    ],
    note: `${sayLevel(settings)}, exact for the count of failures (Poisson). “Seen” is the chance that would have foretold the failures seen.`,
  };
}

function componentsTable({byComponent}: ForetoldResult, {settings}: CellInputs): CellTable {
  const rows = [...byComponent].sort((a, b) => b.band.expected - a.band.expected);
  return {
    name: "components",
    title: "Foretold and seen, by component",
    columns: [
      {name: "component", label: "component", values: rows.map(({component}) => partsOf(component))},
      ...columnsOf(rows.map(({band}) => band)),
    ],
    note: `${sayLevel(settings)}, exact for the count of failures (Poisson).`,
  };
}
