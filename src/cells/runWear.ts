/** Cell kind `run-wear`: what the bench measured on the parts of a run, against the shop's limits and against their kin. */
import {wordAt} from "../../shared/columnar.ts";
import type {WearFit} from "../statistics/index.ts";
import type {CellInputs, CellKind, CellTable, Figure} from "./contract.ts";
import {params} from "./params.ts";
import {dayOf} from "./review/dayOf.ts";
import {partsInRun} from "./review/partsInRun.ts";
import {REVIEW_PARAMS, reviewSubject, type NoSubject, type ReviewPicks, type Subject} from "./review/subject.ts";
import {toolLog} from "./review/toolLog.ts";
import {
  capital,
  clockOf,
  onlySentence,
  partOf,
  partsOf,
  sayCount,
  sayList,
  sayNumber,
  sayPercent,
  sayShare,
} from "./say.ts";
import {groupOf, readingPoint, readingsOf, saySize, sizeOf, sizeUnit, type Group, type Reading} from "./wear.ts";

const {schema, fields} = params(REVIEW_PARAMS);

/** A part of the run with what was ever measured on it. */
interface MeasuredPart {
  readonly component: string;
  readonly measure: string;
  readonly life: number;
  readonly limit: number | null;
  readonly points: readonly Reading[];
  /** readings of all parts of its kind held against the same limit, itself among them; null without a limit */
  readonly group: Group | null;
  /** its own pace among the paces of its kin: share of them that wear slower; null where no path could be fitted */
  readonly faster: number | null;
  /** share of the way from new to the limit at the last reading; null without a path */
  readonly used: number | null;
}

type Result =
  | NoSubject
  | {
      readonly found: true;
      readonly subject: Subject;
      readonly parts: readonly MeasuredPart[];
      readonly later: number;
    };

const MOST_DRAWN = 120;
const MOST_FIGURES = 4;

export const runWear: CellKind<ReviewPicks, Result> = {
  kind: "run-wear",
  summary:
    "What the bench measured on the parts of a run, against the shop's limits and against parts of the same kind.",
  schema,
  fields,
  example: "",

  compute(inputs, picks, effects) {
    const subject = reviewSubject(inputs, picks);
    if (!subject.found) return subject;
    const log = toolLog(inputs, subject.run);
    const inRun = partsInRun(inputs.all, subject.tool, subject.run);
    const lives = new Set(inRun.map(({life}) => life));
    const components = [...new Set(inRun.map(({component}) => component))];
    // what was measured later is no part of what was known after this run
    const until = log.torn?.to ?? inputs.runs.columns.end[subject.run]!;
    let later = 0;
    const parts = components.flatMap((component) => {
      const make = () => readingsOf({...inputs, lives: inputs.all}, component).readings;
      const readings = effects.memo ? effects.memo(JSON.stringify(["review readings", component]), make) : make();
      const own = readings.filter(({life}) => lives.has(life));
      const then = own.filter(({date}) => date <= until);
      later += own.length - then.length;
      return measuredParts(component, then, readings, inputs.settings.level);
    });
    return {found: true, subject, parts: parts.sort((a, b) => (b.used ?? -1) - (a.used ?? -1)), later};
  },

  present(result, _picks, inputs) {
    if (!("parts" in result)) return onlySentence(result.sentence);
    const {subject, parts} = result;
    if (parts.length === 0)
      return onlySentence(
        `Nothing had been measured on the parts of ${subject.tool ?? "the tool"} by the teardown after run ${subject.runName}, so their wear is not known in figures. Log what is measured at a teardown, with the size and its limit.`,
      );
    const drawn = parts.filter(({group}) => group !== null).slice(0, MOST_FIGURES);
    return {
      headline: headlineOf(result, inputs),
      figures: drawn.map((part, i) => figureOf(part, i, subject, inputs)),
      tables: [table(parts, inputs)],
      cautions: [
        "The limit is the one the rows name; the maker's limit decides. Paths are straight lines: wear that speeds up is met earlier than they say.",
        ...(result.later > 0
          ? [
              `${capital(sayCount(result.later, "reading"))} taken after later runs ${result.later === 1 ? "is" : "are"} left out: this is what was known after this one.`,
            ]
          : []),
        ...(parts.length > drawn.length
          ? [
              `${capital(sayCount(parts.length - drawn.length, "measured part"))} ${parts.length - drawn.length === 1 ? "is" : "are"} in the table alone: ${parts.some(({limit}) => limit === null) ? "without a limit there is no path to hold it against" : "the figures show the four nearest their limits"}.`,
            ]
          : []),
      ],
    };
  },
};

type Readings = ReturnType<typeof readingsOf>["readings"];

function measuredParts(component: string, own: Readings, readings: Readings, level: number): MeasuredPart[] {
  const keys = new Map<string, Readings>();
  for (const reading of own) {
    const key = JSON.stringify([reading.life, reading.measure, reading.limit]);
    keys.set(key, [...(keys.get(key) ?? []), reading]);
  }
  return [...keys.values()].map((points): MeasuredPart => {
    const {life, measure, limit} = points[0]!;
    const kin =
      limit === null ? [] : readings.filter((reading) => reading.limit === limit && reading.measure === measure);
    const group = limit === null ? null : groupOf(limit, kin, level);
    const sorted = [...points].sort((a, b) => a.age - b.age);
    return {
      component,
      measure,
      life,
      limit,
      points: sorted,
      group,
      faster: group?.fit.fitted === true ? fasterThan(group.fit, kin, life) : null,
      used: group?.fit.fitted === true && limit !== null ? usedUp(group.fit, sorted.at(-1)!.size, limit) : null,
    };
  });
}

/** Share of the kin whose own slope is flatter toward the limit. */
function fasterThan(fit: WearFit, kin: Readings, life: number): number | null {
  const order = [...new Set(kin.map((reading) => reading.life))];
  const toward = Math.sign(fit.limit - fit.start) || 1;
  const own = fit.parts[order.indexOf(life)];
  if (own === undefined || fit.parts.length < 2) return null;
  const slower = fit.parts.filter((part) => part !== own && toward * part.slope < toward * own.slope).length;
  return slower / (fit.parts.length - 1);
}

function usedUp({start}: WearFit, size: number, limit: number): number | null {
  const whole = limit - start;
  return whole === 0 ? null : (size - start) / whole;
}

const past = ({points, limit, group}: MeasuredPart): boolean => {
  const last = points.at(-1)!.size;
  if (limit === null || group?.fit.fitted !== true) return false;
  return group.fit.start < limit ? last >= limit : last <= limit;
};

function headlineOf({subject, parts}: Extract<Result, {parts: readonly MeasuredPart[]}>, inputs: CellInputs): string {
  const {unit} = clockOf(inputs.settings);
  const [worst] = parts;
  const over = parts.filter(past);
  const told =
    over.length > 0
      ? `${sayList(over.map((part) => `the ${partOf(part.component)} (${part.measure} ${saySize(part.points.at(-1)!.size, inputs.settings)}, limit ${saySize(part.limit!, inputs.settings)})`))} ${over.length === 1 ? "was" : "were"} past the limit at the last reading`
      : worst!.used === null
        ? `no path to a limit can be fitted for any of them`
        : `none was past its limit at its last reading; the ${partOf(worst!.component)} came nearest, with ${sayShare(Math.max(0, worst!.used), 1)} of the way from new to the limit used at ${sayNumber(worst!.points.at(-1)!.age)} ${unit}`;
  const pace = parts.find(({faster}) => faster !== null);
  return (
    `By the teardown after run ${subject.runName}, ${sayCount(new Set(parts.map(({life}) => life)).size, "of its parts had", "of its parts had")} been measured: ${told}.` +
    (pace === undefined || pace.faster === null
      ? ""
      : ` The ${partOf(pace.component)} wore ${pace.faster >= 0.5 ? `faster than ${sayShare(pace.faster, 1)}` : `more slowly than ${sayShare(1 - pace.faster, 1)}`} of the ${sayCount((pace.group?.parts ?? 1) - 1, "other part")} held against the same limit.`)
  );
}

function figureOf(part: MeasuredPart, at: number, {runName, tool}: Subject, inputs: CellInputs): Figure {
  const {settings} = inputs;
  const group = part.group!;
  const {fit, readings} = group;
  const {unit, name: clock} = clockOf(settings);
  const size = (mm: number) => sizeOf(mm, settings);
  const others = [...new Set(readings.map(({life}) => life))].filter((life) => life !== part.life);
  const drawn = others.slice(0, MOST_DRAWN);
  const reach = Math.max(
    part.points.at(-1)!.age,
    readings.reduce((most, {age}) => Math.max(most, age), 0),
  );
  const spread = fit.fitted ? 1.645 * fit.slopeSpread : 0;
  const name = `the ${partOf(part.component)} of ${tool ?? "the tool"}`;
  const last = part.points.at(-1)!;
  return {
    name: `run-wear-${at + 1}`,
    title: past(part)
      ? `${capital(name)} was past its limit of ${saySize(part.limit!, settings)}`
      : part.used === null
        ? `${capital(name)}: ${saySize(last.size, settings)}, limit ${saySize(part.limit!, settings)}`
        : `${capital(name)} had used ${sayShare(Math.max(0, part.used), 1)} of its way to the limit`,
    caption: `${capital(part.measure)} by ${clock}: the part in run ${runName} before ${sayCount(others.length, "other part")} (${partsOf(part.component)}) held against the same limit${drawn.length < others.length ? `, the first ${sayNumber(drawn.length)} drawn` : ""}. Line: mean path; band: where the paths of ${sayPercent(0.9)} of parts run.`,
    alt: `${capital(part.measure)} of ${name}: ${part.points.map(({age, size: mm}) => `${saySize(mm, settings)} at ${sayNumber(age)} ${unit}`).join(", ")}; limit ${saySize(part.limit!, settings)}.`,
    chart: {
      kind: "wear",
      unit,
      sizeUnit: sizeUnit(settings),
      measure: part.measure,
      limit: size(part.limit!),
      parts: [
        ...drawn.map((life, i) => ({
          name: `other part ${i + 1}`,
          points: readings
            .filter((reading) => reading.life === life)
            .map((reading) => readingPoint(reading, inputs))
            .sort((a, b) => a.age - b.age),
        })),
        {name, own: true, points: part.points.map((reading) => readingPoint(reading, inputs))},
      ],
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

function table(parts: readonly MeasuredPart[], {settings, all}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const rows = parts.flatMap((part) => part.points.map((point) => ({part, point})));
  return {
    name: "measured",
    title: "Measured on the parts of the run",
    columns: [
      {name: "component", label: "part", values: rows.map(({part}) => capital(partOf(part.component)))},
      {name: "serial", label: "serial", values: rows.map(({part}) => wordAt(all.partSerial, part.life))},
      {name: "measure", label: "dimension", values: rows.map(({part}) => part.measure)},
      {name: "date", label: "day", format: "date", values: rows.map(({point}) => dayOf(point.date))},
      {name: "age", label: "age", unit, format: "hours", values: rows.map(({point}) => point.age)},
      {
        name: "size",
        label: "measured",
        unit: sizeUnit(settings),
        format: "number",
        values: rows.map(({point}) => sizeOf(point.size, settings)),
      },
      {
        name: "limit",
        label: "limit",
        unit: sizeUnit(settings),
        format: "number",
        values: rows.map(({part}) => (part.limit === null ? null : sizeOf(part.limit, settings))),
      },
      {name: "faster", label: "wears faster than", format: "share", values: rows.map(({part}) => part.faster)},
    ],
    note: "Readings of the parts that were in the run, up to the teardown after it. The last column compares the part's own pace with that of every part held against the same limit.",
  };
}
