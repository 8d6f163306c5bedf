/** Cell kind `tally`: the parts in service on the equivalent-hours clock, each beside its interval on that clock. */
import {partsInService, type IntervalRow, type PartsInService} from "../decisions/index.ts";
import {livesBehind} from "./behind.ts";
import type {LifeTable} from "../lives/lifeTable.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {BENCH_DEFERRAL, intervalSheet, modelledLives} from "./intervals.ts";
import {componentsParam, numberParam, params, textParam} from "./params.ts";
import {
  capital,
  clockOf,
  onlySentence,
  partOf,
  sayCondition,
  sayCount,
  sayLevel,
  sayLimits,
  sayNothing,
  sayNumber,
  sayPercent,
  sayRegimes,
} from "./say.ts";

const {schema, fields} = params({
  component: componentsParam(),
  tool: textParam("one tool; all in view when left out"),
  most: numberParam("how many parts the figure draws at most", {min: 1, max: 60, fallback: 20}),
});

interface Params {
  readonly component: readonly string[] | null;
  readonly tool: string | null;
  readonly most: number;
}

/** A part in a tool; its tally is in hours of the reference condition, as its interval is. */
interface TallyRow {
  readonly part: number;
  /** null where the sheet has no interval for the component in the reference condition */
  readonly interval: number | null;
  readonly advice: IntervalRow["advice"] | null;
  /** tally over interval */
  readonly used: number | null;
  /** hours of the last run's mud and flow until the tally reaches the interval; below 0 past it */
  readonly left: number | null;
}

interface Answer {
  readonly lives: LifeTable;
  readonly parts: PartsInService;
  readonly rows: readonly TallyRow[];
}

export const tally: CellKind<Params, Answer> = {
  kind: "tally",
  summary:
    "Parts in service as a running tally: hours weighted by mud and flow, beside the interval they count against.",
  schema,
  fields,
  example: "component: seals\n",

  compute(inputs, params, effects) {
    const {lives, models} = modelledLives(inputs, effects);
    const asked = params.component ?? inputs.where.component;
    const parts = partsInService(lives, {
      models,
      level: inputs.settings.level,
      ...(asked === undefined || asked.length === 0 ? {} : {components: asked}),
    });
    const fleets = [...new Set(parts.fleet)];
    const sheets = new Map(
      fleets.map((fleet, done) => {
        effects.signal.throwIfAborted();
        effects.progress(done, fleets.length);
        const components = asked === undefined || asked.length === 0 ? null : asked;
        const {rows} = intervalSheet(inputs, {components, fleet}, {...effects, progress: () => undefined});
        return [fleet, new Map(rows.map((row) => [`${row.component} ${row.mud} ${row.regime}`, row]))] as const;
      }),
    );
    effects.progress(fleets.length, fleets.length);
    const rows: TallyRow[] = [];
    for (let part = 0; part < parts.rows; part++) {
      if (params.tool !== null && parts.tool[part] !== params.tool) continue;
      const reference = parts.conditions[parts.reference[part]!];
      const row =
        reference === undefined
          ? undefined
          : sheets.get(parts.fleet[part]!)?.get(`${parts.component[part]} ${reference.mud} ${reference.regime}`);
      const interval = row?.interval_h ?? null;
      const known = interval !== null && Number.isFinite(parts.effective[part]!);
      rows.push({
        part,
        interval,
        advice: row?.advice ?? null,
        used: known ? parts.effective[part]! / interval : null,
        left: known && parts.pace[part]! > 0 ? (interval - parts.effective[part]!) / parts.pace[part]! : null,
      });
    }
    return {lives, parts, rows: rows.sort((a, b) => (b.used ?? -1) - (a.used ?? -1) || a.part - b.part)};
  },

  present(answer, params, inputs) {
    const {parts, rows} = answer;
    if (rows.length === 0)
      return onlySentence(
        sayNothing(`parts in ${params.tool === null ? "a tool" : params.tool} at the end of the log`, inputs),
      );
    return {
      headline: headlineOf(answer, inputs),
      figures: rows.some(({used}) => used !== null) ? [usedFigure(answer, params.most, inputs)] : [],
      tables: [tallyTable(answer, inputs)],
      cautions: [BENCH_DEFERRAL, ...cautionsOf(parts, rows, inputs)],
    };
  },
};

const nameOf = ({tool, component, position}: PartsInService, part: number, several: boolean): string =>
  `${tool[part]}, ${partOf(component[part]!)}${several && position[part] !== null ? ` ${position[part]}` : ""}`;

/** Whether a component sits in a tool more than once, so that its position must be told. */
const severalPositions = ({tool, component}: PartsInService): boolean =>
  new Set(tool.map((name, i) => `${name} ${component[i]}`)).size < tool.length;

function headlineOf({parts, rows}: Answer, inputs: CellInputs): string {
  const {unit} = clockOf(inputs.settings);
  const counted = rows.filter(({used}) => used !== null);
  if (counted.length === 0)
    return `${capital(sayCount(rows.length, "part"))} in service, none with an interval to count against.`;
  const over = counted.filter(({used}) => used! >= 1);
  const first = counted[0]!;
  const i = first.part;
  const reference = parts.conditions[parts.reference[i]!]!;
  return (
    `Of ${sayCount(counted.length, "part")} in service with an interval, ${over.length === 0 ? "none has" : over.length === 1 ? "1 has" : `${sayNumber(over.length)} have`} used it up. ` +
    `Most used: the ${partOf(parts.component[i]!)} of ${parts.tool[i]}, ${sayNumber(parts.age[i]!)} ${unit} old, ` +
    `which age it as ${sayNumber(parts.effective[i]!)} ${unit} of ${sayCondition(reference.mud, reference.regime)} would ` +
    `(${sayLevel(inputs.settings)} ${sayLimits([parts.lower[i]!, parts.upper[i]!], unit)}), against ${sayNumber(first.interval!)} ${unit}.`
  );
}

function usedFigure({lives, parts, rows}: Answer, most: number, inputs: CellInputs): Figure {
  const {settings} = inputs;
  const {unit} = clockOf(settings);
  const counted = rows.filter(({used}) => used !== null);
  const shown = counted.slice(0, most);
  const several = severalPositions(parts);
  const over = counted.filter(({used}) => used! >= 1).length;
  return {
    name: "tally",
    title:
      over === 0
        ? "No part has used up its interval"
        : `${capital(sayCount(over, "part"))} ${over === 1 ? "has" : "have"} used up the interval`,
    caption:
      `Tally over interval, both in hours of the condition in which the fleet's parts of that kind run most; bar: ${sayLevel(settings)} of the tally, from the doubt in the paces of mud and flow. ` +
      `Flow: ${sayRegimes(inputs)}.` +
      (counted.length > shown.length
        ? ` The ${sayNumber(shown.length)} most used of ${sayNumber(counted.length)}; the table has them all.`
        : ""),
    alt: shown
      .slice(0, 8)
      .map(({part, used}) => `${nameOf(parts, part, several)}: ${sayPercent(used!)} used`)
      .join("; "),
    chart: {
      kind: "dots",
      label: "interval used up",
      unit: "1 is all of it",
      reference: 1,
      log: false,
      rows: shown.map(({part, interval, used}) => ({
        name: nameOf(parts, part, several),
        group: parts.fleet[part]!,
        value: used,
        lower: parts.lower[part]! / interval!,
        upper: parts.upper[part]! / interval!,
        note: `${sayNumber(Math.round(parts.effective[part]!))} of ${sayNumber(interval!)} ${unit}`,
        behind: livesBehind(inputs, lives, [parts.life[part]!], {mark: nameOf(parts, part, several)}),
      })),
    },
  };
}

function tallyTable({parts, rows}: Answer, {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const K = parts.conditions.length;
  const of = (column: Float64Array) => rows.map(({part}) => (Number.isFinite(column[part]!) ? column[part]! : null));
  const mix = (part: number): string =>
    parts.conditions
      .map((condition, k) => ({condition, hours: parts.hours[part * K + k]!}))
      .filter(({hours}) => hours >= 0.5)
      .sort((a, b) => b.hours - a.hours)
      .map(
        ({condition, hours}) =>
          `${sayNumber(Math.round(hours))} ${unit} ${sayCondition(condition.mud, condition.regime)}`,
      )
      .join("; ");
  return {
    name: "tally",
    title: "Parts in service, most used first",
    columns: [
      {name: "tool", label: "tool", values: rows.map(({part}) => parts.tool[part]!)},
      {name: "fleet", label: "fleet", values: rows.map(({part}) => parts.fleet[part]! || null)},
      {name: "component", label: "component", values: rows.map(({part}) => partOf(parts.component[part]!))},
      {name: "position", label: "position", values: rows.map(({part}) => parts.position[part] ?? null)},
      {name: "age", label: "hours on it", unit, format: "hours", values: of(parts.age)},
      {name: "tally", label: "tally", unit, format: "hours", values: of(parts.effective)},
      {name: "tally_lower", label: "lower limit", unit, format: "hours", values: of(parts.lower)},
      {name: "tally_upper", label: "upper limit", unit, format: "hours", values: of(parts.upper)},
      {
        name: "reference",
        label: "in hours of",
        values: rows.map(({part}) => {
          const reference = parts.conditions[parts.reference[part]!];
          return reference === undefined ? null : sayCondition(reference.mud, reference.regime);
        }),
      },
      {name: "interval", label: "renew at", unit, format: "hours", values: rows.map(({interval}) => interval)},
      {name: "used", label: "used up", format: "share", values: rows.map(({used}) => used)},
      {
        name: "left",
        label: "left as last run",
        unit,
        format: "hours",
        values: rows.map(({left}) => (left === null ? null : Math.round(left))),
      },
      {name: "advice", label: "advice", values: rows.map(({advice}) => advice)},
      {name: "spent", label: "where it ran", values: rows.map(({part}) => mix(part) || null)},
    ],
    note: `Tally: hours in each mud and flow times how fast it ages the part, told in hours of the condition named beside it; keep it like a meter and add each run at its pace. Left as last run: hours in the mud and flow of the part's last run until the tally reaches the interval; below zero past it. The interval is the fleet's own, by its costs and rebuilds.`,
  };
}

function cautionsOf(parts: PartsInService, rows: readonly TallyRow[], inputs: CellInputs): string[] {
  const {unit} = clockOf(inputs.settings);
  const cautions: string[] = [];
  const assumed = rows.filter(({part}) => parts.assumed[part]! > 0).length;
  if (assumed > 0)
    cautions.push(
      `${capital(sayCount(assumed, "part"))} came with hours that nobody logged where they were spent: they are taken to be like the part's own.`,
    );
  const alike = [
    ...new Set(rows.filter(({part}) => parts.modelled[part] === 0).map(({part}) => parts.component[part]!)),
  ];
  if (alike.length > 0)
    cautions.push(`No wear life could be fitted for ${alike.map(partOf).join(", ")}: every hour counts alike there.`);
  const blind = rows.filter(({part}) => Number.isNaN(parts.effective[part]!)).length;
  if (blind > 0)
    cautions.push(
      `${capital(sayCount(blind, "part"))} ran in a mud and flow that no life in view has seen: no tally can be told.`,
    );
  if (parts.ageLost.length > 0)
    cautions.push(
      `${capital(sayCount(parts.ageLost.length, "more part"))} ${parts.ageLost.length === 1 ? "is" : "are"} in a tool, but the log no longer tells how old: a run without ${unit === "h" ? "hours" : unit}, or another serial without a record.`,
    );
  return cautions;
}
