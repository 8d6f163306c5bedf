/** Cell kind `sister-failures`: has the same failed before, in the same lot, from the same shop, in the same mud and flow? */
import {wordAt, type Words} from "../../shared/columnar.ts";
import {mudLabel, modeLabel, regimeLabel} from "../../shared/vocabulary/index.ts";
import {FAILURE_CLASSES, type LifeTable} from "../lives/index.ts";
import {compareRates, falseDiscovery, rateLimits, type RateComparison} from "../statistics/index.ts";
import type {CellInputs, CellKind, CellTable} from "./contract.ts";
import {modelledLives} from "./intervals.ts";
import {failuresInView} from "./inView.ts";
import {lossesOf} from "./review/losses.ts";
import {params} from "./params.ts";
import {dayOf} from "./review/dayOf.ts";
import {storyOf, type FailedPart} from "./review/story.ts";
import {REVIEW_PARAMS, reviewSubject, type NoSubject, type ReviewPicks, type Subject} from "./review/subject.ts";
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
  sayNumber,
  sayP,
} from "./say.ts";

const {schema, fields} = params(REVIEW_PARAMS);

/**
 * Other failures by the same component and mode, among lives that share something with the failed part. The failure
 * reviewed is left out: it is why this lot or tool is looked at, and would make any of them look bad.
 */
export interface Kin {
  readonly name: string;
  readonly failures: number;
  readonly exposure: number;
  readonly tools: number;
  /** against all other lives of the component; null without exposure on either side */
  readonly against: RateComparison | null;
  /** two-sided p, adjusted for the number of comparisons; null without one */
  readonly p: number | null;
}

interface Sisters {
  readonly failed: FailedPart;
  readonly mode: string | null;
  readonly all: {readonly failures: number; readonly exposure: number; readonly endedRun: number};
  readonly kin: readonly Kin[];
  readonly last: readonly {
    readonly date: number;
    readonly tool: string | null;
    readonly run: string | null;
    readonly lot: string | null;
    readonly shop: string | null;
    readonly since: number;
    readonly age: number;
  }[];
}

type Result =
  | NoSubject
  | {
      readonly found: true;
      readonly subject: Subject;
      readonly sisters: readonly Sisters[];
      readonly outcome: string | null;
    };

const MOST_LISTED = 12;

export const sisterFailures: CellKind<ReviewPicks, Result> = {
  kind: "sister-failures",
  summary:
    "Failures like the one reviewed: same part and mode, by lot, shop, tool, fleet, mud and flow, with exposure and limits.",
  schema,
  fields,
  example: "",

  compute(inputs, picks, effects) {
    const subject = reviewSubject(inputs, picks);
    if (!subject.found) return subject;
    const {lives, models} = modelledLives(inputs, effects);
    const story = storyOf(inputs, subject, models);
    const failures = story.ended.length > 0 ? story.ended : story.found;
    return {
      found: true,
      subject,
      sisters: failures.map((failed) => sistersOf(inputs, lives, failed)),
      outcome: story.outcome,
    };
  },

  present(result, _picks, inputs) {
    if (!("sisters" in result)) return onlySentence(result.sentence);
    const {subject, sisters} = result;
    if (sisters.length === 0) {
      if (result.outcome === "lost in hole") return lossesOf(inputs, subject);
      return onlySentence(
        result.outcome === "failed downhole"
          ? `No part is named for run ${subject.runName}, so its sisters cannot be looked for.`
          : `Nothing failed in run ${subject.runName}, so there are no sister failures.`,
      );
    }
    return {
      headline: sisters.map((one) => headlineOf(one, inputs)).join(" "),
      figures: [],
      tables: sisters.flatMap((one, i) => [
        kinTable(one, i, inputs),
        ...(one.last.length > 0 ? [listTable(one, i, inputs)] : []),
      ]),
      cautions: [
        "Lot, shop, tool, fleet, mud and flow go together: a lot is bought for a fleet that runs in one mud. A rate that differs points somewhere to look and proves no cause.",
        "The failure reviewed is left out of every comparison: it is the reason why this lot and this tool are looked at at all. p-values are adjusted for the number of comparisons (false discovery).",
      ],
    };
  },
};

function sistersOf(inputs: CellInputs, lives: LifeTable, failed: FailedPart): Sisters {
  const {failures, all: everyLife, runs, rebuilds, where, settings} = inputs;
  const {component, mode, failure} = failed;
  const same = Array.from(
    failuresInView({
      failures,
      where: {
        ...(where.fleet ? {fleet: where.fleet} : {}),
        ...(where.from ? {from: where.from} : {}),
        ...(where.to ? {to: where.to} : {}),
      },
    }),
  ).filter((row) => wordAt(failures.component, row) === component && wordAt(failures.mode, row) === mode);
  const lifeOf = (row: number) => failures.life[row]!;
  const ofLife = (column: Words) => (row: number) => (lifeOf(row) < 0 ? null : wordAt(column, lifeOf(row)));
  const kinds: readonly {
    name: (word: string) => string;
    ofFailure: (row: number) => string | null;
    ofStretch: "mud" | "regime" | Words;
  }[] = [
    {name: (word) => `lot ${word}`, ofFailure: ofLife(everyLife.lot), ofStretch: lives.lot},
    {name: (word) => `fitted at ${word}`, ofFailure: ofLife(everyLife.shop), ofStretch: lives.shop},
    {name: (word) => `tool ${word}`, ofFailure: (row) => wordAt(failures.tool, row), ofStretch: lives.tool},
    {name: (word) => `fleet ${word}`, ofFailure: (row) => wordAt(failures.fleet, row), ofStretch: lives.fleet},
    {name: mudLabel, ofFailure: (row) => wordAt(failures.mud, row), ofStretch: "mud"},
    {name: regimeLabel, ofFailure: (row) => wordAt(failures.regime, row), ofStretch: "regime"},
  ];
  const whole = exposureWhere(lives, component, () => true);
  const others = same.filter((row) => row !== failure);
  const compared = kinds.flatMap(({name, ofFailure, ofStretch}): Kin[] => {
    const word = ofFailure(failure);
    if (word === null || word === "UNK" || word === "unknown") return [];
    const rows = others.filter((row) => ofFailure(row) === word);
    const exposure = exposureWhere(lives, component, (life, stretch) =>
      ofStretch === "mud"
        ? lives.exposure.muds[lives.exposure.mud[stretch]!] === word
        : ofStretch === "regime"
          ? lives.exposure.regimes[lives.exposure.regime[stretch]!] === word
          : wordAt(ofStretch, life) === word,
    );
    const rest = {count: others.length - rows.length, exposure: whole - exposure};
    return [
      {
        name: name(word),
        failures: rows.length,
        exposure,
        tools: new Set(rows.map((row) => wordAt(failures.tool, row))).size,
        against:
          exposure > 0 && rest.exposure > 1e-6 && others.length > 0
            ? compareRates({count: rows.length, exposure}, rest, {level: settings.level})
            : null,
        p: null,
      },
    ];
  });
  const adjusted = falseDiscovery(compared.flatMap(({against}) => (against === null ? [] : [against.pTwoSided])));
  let next = 0;
  const kin = compared.map((one) => (one.against === null ? one : {...one, p: adjusted[next++] ?? null}));
  const endedRun = same.filter((row) => ["F1", "F2"].includes(FAILURE_CLASSES[failures.failureClass[row]!]!)).length;
  const last = same
    .filter((row) => row !== failure)
    .sort((a, b) => failures.date[b]! - failures.date[a]!)
    .slice(0, MOST_LISTED)
    .map((row) => ({
      date: failures.date[row]!,
      tool: wordAt(failures.tool, row),
      run: failures.run[row]! < 0 ? null : wordAt(runs.columns.run, failures.run[row]!),
      lot: ofLife(everyLife.lot)(row),
      shop:
        ofLife(everyLife.shop)(row) ??
        (failures.rebuild[row]! < 0 ? null : wordAt(rebuilds.columns.shop, failures.rebuild[row]!)),
      since: failures.sinceRebuild[row]!,
      age: lifeOf(row) < 0 ? NaN : everyLife.ageAtEnd[lifeOf(row)]!,
    }));
  return {failed, mode, all: {failures: same.length, exposure: whole, endedRun}, kin, last};
}

function exposureWhere(
  lives: CellInputs["lives"],
  component: string,
  test: (life: number, stretch: number) => boolean,
): number {
  const {offsets, hours} = lives.exposure;
  let sum = 0;
  for (let life = 0; life < lives.rows; life++) {
    if (wordAt(lives.component, life) !== component) continue;
    for (let s = offsets[life]!; s < offsets[life + 1]!; s++) if (hours[s]! > 0 && test(life, s)) sum += hours[s]!;
  }
  return sum;
}

const sayWhat = ({failed, mode}: Sisters): string =>
  mode === null
    ? `failures of ${partsOf(failed.component)} without a mode`
    : `failures of ${partsOf(failed.component)} by ${mode}`;

function headlineOf(sisters: Sisters, {settings}: CellInputs): string {
  const {failed, mode, all, kin} = sisters;
  const {unit} = clockOf(settings);
  const name = `${partOf(failed.component)} (${mode === null ? "no mode named" : modeLabel(mode)})`;
  const [low, high] =
    all.exposure > 0 ? rateLimits({count: all.failures, exposure: all.exposure}, settings.level) : [NaN, NaN];
  const whole =
    all.exposure > 0
      ? `${sayCount(all.failures, "such failure")} in ${sayNumber(Math.round(all.exposure))} ${unit} of ${partsOf(failed.component)} in view, ${sayNumber((all.failures / all.exposure) * 1000)} per 1,000 ${unit} (${sayLevel(settings)} ${sayLimits([low * 1000, high * 1000])}), ${sayNumber(all.endedRun)} of which ended a run`
      : `${sayCount(all.failures, "such failure")} in view, and no exposure to hold them against`;
  const beyond = kin.filter(
    ({against, p}) => against !== null && (against.ratio ?? 2) > 1 && (p ?? 1) < 1 - settings.level,
  );
  const told =
    beyond.length > 0
      ? `Beside the one reviewed they are more frequent than elsewhere, beyond chance: ${sayList(beyond.map(({name: where, failures, against, p}) => `${where} (${sayCount(failures, "other")}, ${against!.ratio === null ? "none elsewhere" : `${sayNumber(Number(against!.ratio.toPrecision(2)))} times the rate of the rest, ${sayLimits(against!.limits)}`}, p ${sayP(p!)})`))}.`
      : "Beside the one reviewed, in no lot, shop, tool, fleet, mud or flow of this part are they shown to be more frequent than elsewhere.";
  return `${capital(name)}: ${whole}. ${told}`;
}

function kinTable(sisters: Sisters, at: number, {settings}: CellInputs): CellTable {
  const {kin, all} = sisters;
  const {unit} = clockOf(settings);
  const rows = [
    {name: "all in view", failures: all.failures - 1, exposure: all.exposure, against: null, p: null},
    ...kin,
  ];
  const limits = rows.map(({failures, exposure}) =>
    exposure > 0 ? rateLimits({count: failures, exposure}, settings.level) : null,
  );
  return {
    name: `sisters-${at + 1}`,
    title: `${capital(sayWhat(sisters))}: who shares what`,
    columns: [
      {name: "kin", label: "sharing", values: rows.map(({name}) => name)},
      {name: "failures", label: "other failures", format: "count", values: rows.map(({failures}) => failures)},
      {name: "exposure", label: "exposure", unit, format: "hours", values: rows.map(({exposure}) => exposure)},
      {
        name: "rate",
        label: "rate",
        unit: `per 1,000 ${unit}`,
        format: "rate",
        values: rows.map(({failures, exposure}) => (exposure > 0 ? (failures / exposure) * 1000 : null)),
      },
      {
        name: "lower",
        label: "lower limit",
        unit: `per 1,000 ${unit}`,
        format: "rate",
        values: limits.map((limit) => (limit === null ? null : limit[0] * 1000)),
      },
      {
        name: "upper",
        label: "upper limit",
        unit: `per 1,000 ${unit}`,
        format: "rate",
        values: limits.map((limit) => (limit === null ? null : limit[1] * 1000)),
      },
      {
        name: "ratio",
        label: "times the rest",
        format: "number",
        values: rows.map(({against}) => finite(against?.ratio)),
      },
      {name: "p", label: "p", values: rows.map(({p}) => (p === null ? null : sayP(p)))},
    ],
    note: `Exposure is that of the ${partsOf(sisters.failed.component)} in view. ${sayLevel(settings)}: exact Poisson; times the rest and p: exact conditional test of two rates.`,
  };
}

const finite = (value: number | null | undefined): number | null =>
  value !== undefined && value !== null && Number.isFinite(value) ? value : null;

function listTable(sisters: Sisters, at: number, {settings}: CellInputs): CellTable {
  const {unit} = clockOf(settings);
  const {last, all} = sisters;
  const hours = (name: string, label: string, of: (row: (typeof last)[number]) => number) =>
    ({name, label, unit, format: "hours", values: last.map((row) => finite(of(row)))}) as const;
  return {
    name: `sister-list-${at + 1}`,
    title:
      last.length < all.failures - 1
        ? `The last ${sayNumber(last.length)} of the ${sayNumber(all.failures - 1)} others`
        : "The others",
    columns: [
      {name: "date", label: "day", format: "date", values: last.map(({date}) => dayOf(date))},
      {name: "tool", label: "tool", values: last.map(({tool}) => tool)},
      {name: "run", label: "run", values: last.map(({run}) => run)},
      {name: "lot", label: "lot", values: last.map(({lot}) => lot)},
      {name: "shop", label: "shop", values: last.map(({shop}) => shop)},
      hours("since", "since the rebuild", ({since}) => since),
      hours("age", "age", ({age}) => age),
    ],
  };
}
