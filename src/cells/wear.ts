/** Cell kind `wear`: a measured dimension against age, part by part, and when it meets the shop's limit. */
import {wordAt} from "../../shared/columnar.ts";
import type {Settings} from "../../shared/settings.ts";
import {fitWear, wornFraction, type NoWearFit, type WearFit} from "../statistics/index.ts";
import type {LifeTable} from "../lives/index.ts";
import {rebuildsBehind} from "./behind.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {componentParam, params, textParam} from "./params.ts";
import {
  capital,
  clockOf,
  onlySentence,
  partOf,
  partsOf,
  sayCount,
  sayLevel,
  sayLimits,
  sayNothing,
  sayNumber,
  sayPercent,
} from "./say.ts";

const {schema, fields} = params({
  component: componentParam(),
  measure: textParam("which dimension, as the log names it; the one measured most when left out"),
});

interface Params {
  readonly component: string;
  readonly measure: string | null;
}

export interface Reading {
  readonly life: number;
  readonly age: number;
  readonly size: number;
  /** day of the reading, ms since 1970 UTC */
  readonly date: number;
  /** row of the rebuild table */
  readonly row: number;
}

/** Readings held against one limit: tools of one size, as a rule. */
export interface Group {
  readonly limit: number;
  readonly readings: readonly Reading[];
  readonly parts: number;
  readonly fit: WearFit | NoWearFit;
  /** age by which half and a tenth of the parts have met the limit; null where the model does not reach it */
  readonly half: number | null;
  readonly tenth: number | null;
}

export interface WearResult {
  readonly measure: string | null;
  readonly others: readonly string[];
  readonly groups: readonly Group[];
  readonly withoutLimit: number;
  readonly withoutLife: number;
}

/** Sizes of tools told apart; the rest is counted. */
const MOST_GROUPS = 4;
const MOST_DRAWN = 150;

export const wear: CellKind<Params, WearResult> = {
  kind: "wear",
  summary: "A measured dimension against age, part by part, and the age at which it meets the shop's limit.",
  schema,
  fields,
  example: "component: liners\n",

  compute(inputs, {component, measure}) {
    const found = readingsOf(inputs, component);
    const counts = new Map<string, number>();
    for (const {measure: name} of found.readings) counts.set(name, (counts.get(name) ?? 0) + 1);
    const names = [...counts].sort((a, b) => b[1] - a[1]).map(([name]) => name);
    const wanted = measure === null ? names[0] : names.find((name) => name.toLowerCase() === measure.toLowerCase());
    const own = found.readings.filter((reading) => reading.measure === wanted);
    const byLimit = new Map<number, Reading[]>();
    for (const reading of own) {
      if (reading.limit === null) continue;
      const list = byLimit.get(reading.limit);
      if (list) list.push(reading);
      else byLimit.set(reading.limit, [reading]);
    }
    const groups = [...byLimit]
      .sort((a, b) => b[1].length - a[1].length)
      .map(([limit, readings]) => groupOf(limit, readings, inputs.settings.level));
    return {
      measure: wanted ?? null,
      others: names.filter((name) => name !== wanted),
      groups: groups.slice(0, MOST_GROUPS),
      withoutLimit: own.filter(({limit}) => limit === null).length,
      withoutLife: found.withoutLife,
    };
  },

  present(result, {component, measure}, inputs) {
    const parts = partsOf(component);
    if (result.measure === null) {
      return onlySentence(
        measure !== null && result.others.length > 0
          ? `No reading of ${parts} is called “${measure}”; the log has ${result.others.join(", ")}.`
          : sayNothing(`measured dimensions of ${parts}`, inputs),
      );
    }
    if (result.groups.length === 0)
      return onlySentence(
        `The ${result.measure} of ${parts} is measured, but no row names the shop's limit, so no age can be read from it.`,
      );
    return {
      headline: headlineOf(result, component, inputs),
      figures: result.groups.map((group) => figureOf(group, result.measure!, component, inputs)),
      tables: [table(result, inputs)],
      cautions: [
        "The limit is the one the rows name; the maker's limit decides. A straight line is an assumption: wear that speeds up is met earlier than it says.",
        "Parts that were never measured, or only once, tell little or nothing here; the life model counts them all.",
        ...result.groups.flatMap(({limit, fit}) =>
          fit.fitted
            ? fit.cautions.map((caution) => `Limit ${saySize(limit, inputs.settings)}: ${caution}`)
            : [`Limit ${saySize(limit, inputs.settings)}: ${fit.sentence}`],
        ),
        ...(result.withoutLimit > 0
          ? [
              `${sayCount(result.withoutLimit, "reading")} without a limit ${result.withoutLimit === 1 ? "is" : "are"} left out.`,
            ]
          : []),
        ...(result.withoutLife > 0
          ? [
              `${sayCount(result.withoutLife, "reading")} of parts whose age is not known ${result.withoutLife === 1 ? "is" : "are"} left out.`,
            ]
          : []),
        ...(result.others.length > 0 ? [`Also measured: ${result.others.join(", ")}.`] : []),
      ],
    };
  },
};

export const sizeUnit = ({units}: Pick<Settings, "units">): string => (units === "oilfield" ? "in" : "mm");
/** 1 in = 25.4 mm */
export const sizeOf = (mm: number, {units}: Pick<Settings, "units">): number => (units === "oilfield" ? mm / 25.4 : mm);
export const saySize = (mm: number, settings: Pick<Settings, "units">): string =>
  `${String(Number(sizeOf(mm, settings).toPrecision(4)))} ${sizeUnit(settings)}`;

/**
 * Readings of parts with their age: a row of the rebuild log measures the part that was in the slot until then, at the
 * exposure of its runs up to that day.
 */
export function readingsOf(
  {rebuilds, runs, lives}: Pick<CellInputs, "rebuilds" | "runs" | "lives">,
  component: string,
) {
  const {tool, date, component: what, position, measure, measured_mm, limit_mm} = rebuilds.columns;
  const slots = new Map<string, number[]>();
  for (let life = 0; life < lives.rows; life++) {
    if (wordAt(lives.component, life) !== component) continue;
    const key = slotOf(wordAt(lives.tool, life), wordAt(lives.position, life));
    const list = slots.get(key);
    if (list) list.push(life);
    else slots.set(key, [life]);
  }
  const readings: (Reading & {readonly measure: string; readonly limit: number | null})[] = [];
  let withoutLife = 0;
  for (let row = 0; row < rebuilds.rows; row++) {
    if (wordAt(what, row) !== component || !Number.isFinite(measured_mm[row])) continue;
    const when = date[row]!;
    const known = slots.get(slotOf(wordAt(tool, row), wordAt(position, row)));
    const life = known?.find((candidate) => lives.began[candidate]! < when && when <= lives.ended[candidate]!);
    const age = life === undefined ? NaN : ageAt(lives, runs.columns.end, life, when);
    // a slot outside the filters is no reading of unknown age
    if (known === undefined) continue;
    if (life === undefined || !(age >= 0)) {
      withoutLife++;
      continue;
    }
    readings.push({
      row,
      life,
      age,
      size: measured_mm[row]!,
      date: when,
      measure: wordAt(measure, row) ?? "dimension",
      limit: Number.isFinite(limit_mm[row]) ? limit_mm[row]! : null,
    });
  }
  return {readings, withoutLife};
}

const slotOf = (tool: string | null, position: string | null): string => JSON.stringify([tool, position]);

function ageAt(
  {entry, exposure: {offsets, hours, run}}: LifeTable,
  runEnds: Float64Array,
  life: number,
  when: number,
): number {
  let age = entry[life]!;
  for (let s = offsets[life]!; s < offsets[life + 1]!; s++) if (runEnds[run[s]!]! <= when) age += hours[s]!;
  return age;
}

export function groupOf(limit: number, readings: readonly Reading[], level: number): Group {
  const lives = [...new Set(readings.map(({life}) => life))];
  const index = new Map(lives.map((life, i) => [life, i]));
  const fit = fitWear(
    {
      part: readings.map(({life}) => index.get(life)!),
      parts: lives.length,
      age: readings.map(({age}) => age),
      measure: readings.map(({size}) => size),
    },
    {limit, level},
  );
  return {limit, readings, parts: lives.length, fit, half: ageWorn(fit, 0.5), tenth: ageWorn(fit, 0.1)};
}

/** Age by which a fraction of parts has met the limit, by halving; null when the spread of slopes never brings it there. */
function ageWorn(fit: WearFit | NoWearFit, fraction: number): number | null {
  if (!fit.fitted) return null;
  let high = 1;
  while (wornFraction(fit, high) < fraction) {
    high *= 2;
    if (high > 1e7) return null;
  }
  let low = 0;
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (wornFraction(fit, middle) < fraction) low = middle;
    else high = middle;
  }
  return high;
}

function headlineOf({groups, measure}: WearResult, component: string, {settings}: CellInputs): string {
  const {unit} = clockOf(settings);
  const told = groups.map((group) => {
    const counts = `${sayCount(group.readings.length, "reading")} of ${sayCount(group.parts, "part")}`;
    if (!group.fit.fitted) return `limit ${saySize(group.limit, settings)}: no path (${counts})`;
    const pace = `${sayNumber(sizeOf(group.fit.slope, settings) * 1000)} ${sizeUnit(settings)} per 1,000 ${unit} (${sayLevel(settings)} ${sayLimits(slopeLimits(group.fit, settings))})`;
    const met =
      group.tenth === null
        ? "which does not lead to the limit"
        : `so one part in ten meets it by ${sayNumber(group.tenth)} ${unit}${group.half === null ? "" : `, half by ${sayNumber(group.half)} ${unit}`}`;
    return `limit ${saySize(group.limit, settings)}: ${pace}, ${met} (${counts})`;
  });
  return `Mean wear of the ${partsOf(component)}, ${measure}: ${told.join("; ")}.`;
}

function slopeLimits({slopeLimits: [lower, upper]}: WearFit, settings: Settings): readonly [number, number] {
  const of = (slope: number) => sizeOf(slope, settings) * 1000;
  return [of(lower), of(upper)];
}

function figureOf(
  {limit, readings, parts, fit, half, tenth}: Group,
  measure: string,
  component: string,
  inputs: CellInputs,
): Figure {
  const {settings} = inputs;
  const {unit, name: clock} = clockOf(settings);
  const size = (mm: number) => sizeOf(mm, settings);
  const lives = [...new Set(readings.map(({life}) => life))];
  const drawn = lives.slice(0, MOST_DRAWN);
  const oldest = readings.reduce((most, {age}) => Math.max(most, age), 0);
  // beyond the age at which most parts are worn out a mean path is of no part any more
  const reach = Math.min(oldest, 1.1 * (half ?? oldest));
  const spread = fit.fitted ? 1.645 * fit.slopeSpread : 0;
  return {
    name: `wear-${String(limit).replace(".", "-")}`,
    title: !fit.fitted
      ? `Limit ${saySize(limit, settings)}: no wear path can be drawn`
      : tenth === null
        ? `Limit ${saySize(limit, settings)}: the wear seen does not lead to it`
        : `Limit ${saySize(limit, settings)}: one part in ten meets it by ${sayNumber(tenth)} ${unit}`,
    caption: `${capital(measure)} of ${partsOf(component)} held against a limit of ${saySize(limit, settings)}: ${sayCount(readings.length, "reading")} of ${sayCount(parts, "part")} by ${clock}. Line: mean path; band: where the paths of ${sayPercent(0.9)} of parts run.${drawn.length < lives.length ? ` The first ${sayNumber(drawn.length)} parts drawn.` : ""}`,
    alt: fit.fitted
      ? `Mean path from ${saySize(fit.start, settings)}, ${sayNumber(size(fit.slope) * 1000)} ${sizeUnit(settings)} per 1,000 ${unit}.`
      : fit.sentence,
    chart: {
      kind: "wear",
      unit,
      sizeUnit: sizeUnit(settings),
      measure,
      limit: size(limit),
      parts: drawn.map((life, i) => ({
        name: `part ${i + 1}`,
        points: readings
          .filter((r) => r.life === life)
          .map((reading) => readingPoint(reading, inputs))
          .sort((a, b) => a.age - b.age),
      })),
      path: fit.fitted
        ? [0, 0.25, 0.5, 0.75, 1].map((share) => {
            const age = reach * share;
            const ends = [size(fit.start + (fit.slope - spread) * age), size(fit.start + (fit.slope + spread) * age)];
            return {
              age,
              estimate: size(fit.start + fit.slope * age),
              lower: Math.min(...ends),
              upper: Math.max(...ends),
            };
          })
        : [],
    },
  };
}

/** A reading as it is drawn, with the row of the rebuild log that it comes from. */
export function readingPoint({age, size, row}: Reading, inputs: CellInputs) {
  const {tool, component} = inputs.rebuilds.columns;
  const {settings} = inputs;
  const part = `${partOf(wordAt(component, row) ?? "part")} of tool ${wordAt(tool, row) ?? "unknown"}`;
  const mark = `${part}, ${saySize(size, settings)} at ${sayNumber(age)} ${clockOf(settings).unit}`;
  return {
    age,
    size: sizeOf(size, settings),
    behind: rebuildsBehind(inputs, [row], {mark, one: "reading", many: "readings"}),
  };
}

function table({groups}: WearResult, {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const per = `${sizeUnit(settings)} per 1,000 ${unit}`;
  const of = (read: (fit: WearFit) => number) => groups.map(({fit}) => (fit.fitted ? read(fit) : null));
  return {
    name: "wear",
    title: "Wear paths",
    columns: [
      {
        name: "limit",
        label: "limit",
        unit: sizeUnit(settings),
        format: "number",
        values: groups.map(({limit}) => sizeOf(limit, settings)),
      },
      {name: "readings", label: "readings", format: "count", values: groups.map(({readings}) => readings.length)},
      {name: "parts", label: "parts", format: "count", values: groups.map(({parts}) => parts)},
      {
        name: "start",
        label: "as new",
        unit: sizeUnit(settings),
        format: "number",
        values: of((fit) => sizeOf(fit.start, settings)),
      },
      {
        name: "slope",
        label: "mean wear",
        unit: per,
        format: "number",
        values: of((fit) => sizeOf(fit.slope, settings) * 1000),
      },
      {
        name: "slope_lower",
        label: "lower limit",
        unit: per,
        format: "number",
        values: of((fit) => Math.min(...slopeLimits(fit, settings))),
      },
      {
        name: "slope_upper",
        label: "upper limit",
        unit: per,
        format: "number",
        values: of((fit) => Math.max(...slopeLimits(fit, settings))),
      },
      {
        name: "spread",
        label: "spread between parts",
        unit: per,
        format: "number",
        values: of((fit) => sizeOf(fit.slopeSpread, settings) * 1000),
      },
      {
        name: "error",
        label: "scatter of a reading",
        unit: sizeUnit(settings),
        format: "number",
        values: of((fit) => sizeOf(fit.errorSpread, settings)),
      },
      {name: "tenth", label: "one in ten at the limit", unit, format: "hours", values: groups.map(({tenth}) => tenth)},
      {name: "half", label: "half at the limit", unit, format: "hours", values: groups.map(({half}) => half)},
    ],
    note: `Each part has its own slope around the mean (restricted maximum likelihood); ${sayLevel(settings)} of the mean slope by normal approximation.`,
  };
}
