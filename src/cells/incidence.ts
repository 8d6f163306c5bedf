/** Cell kind `incidence`: how many parts each mode has taken by each age, the other modes competing for them. */
import {wordAt} from "../../shared/columnar.ts";
import {MODES, modeLabel} from "../../shared/vocabulary/index.ts";
import {lifeDataFor, type LifeTable} from "../lives/index.ts";
import {modeIncidence, type Limits} from "../statistics/index.ts";
import type {CurvePoint} from "../charts/chart.ts";
import {livesBehind, stepsBehind} from "./behind.ts";
import type {CellKind} from "./contract.ts";
import {componentParam, numberParam, params} from "./params.ts";
import {
  capital,
  clockOf,
  onlySentence,
  partsOf,
  sayCount,
  sayLevel,
  sayLimits,
  sayNothing,
  sayNumber,
  sayPercent,
  sayMoreFailures,
} from "./say.ts";

const {schema, fields} = params({
  component: componentParam(),
  at: numberParam(
    "age at which the shares are told; by default the last at which a tenth of the lives was still seen",
    {min: 0, max: 1e9, fallback: null},
  ),
  most: numberParam("how many modes get a curve of their own; the rest is put together", {min: 1, max: 6, fallback: 5}),
});

interface Params {
  readonly component: string;
  readonly at: number | null;
  readonly most: number;
}

interface ModeCurve {
  readonly code: string;
  readonly name: string;
  readonly serviceInduced: boolean;
  readonly failures: number;
  /** rows of the life table that the mode ended, each at the age at which it is placed */
  readonly events: readonly {readonly row: number; readonly age: number}[];
  readonly curve: readonly CurvePoint[];
  /** share taken by the age that is told */
  readonly share: number;
  readonly limits: Limits;
}

export interface IncidenceResult {
  readonly lives: number;
  readonly failures: number;
  /** failures known only to lie in a range, placed at its middle */
  readonly placed: number;
  readonly at: number;
  readonly good: number;
  readonly modes: readonly ModeCurve[];
}

const OTHER = "other modes";

export const incidence: CellKind<Params, IncidenceResult> = {
  kind: "incidence",
  summary: "How many parts each mode has taken by each age, the other modes competing for the same parts.",
  schema,
  fields,
  example: "component: seals\n",

  compute({lives: table, settings}, {component, at, most}) {
    const {data, rows} = lifeDataFor(table, {component, serviceInduced: "failed"});
    const n = rows.length;
    const codes = Array.from(rows, (row, i) => (data.upper[i]! < Infinity ? modeOf(table, row) : null));
    const counted = ranked(codes);
    const own = counted.slice(0, counted.length > most ? most - 1 : most);
    const names = counted.length > own.length ? [...own, OTHER] : own;
    const mode = Int32Array.from(codes, (code) =>
      code === null ? -1 : Math.max(own.indexOf(code), own.includes(code) ? 0 : names.length - 1),
    );
    const age = Float64Array.from(data.lower, (lower, i) =>
      data.upper[i]! < Infinity ? (lower + data.upper[i]!) / 2 : lower,
    );
    const placed = codes.filter((code, i) => code !== null && data.lower[i] !== data.upper[i]).length;
    const failures = codes.filter((code) => code !== null).length;
    if (n === 0 || failures === 0) return {lives: n, failures, placed, at: 0, good: 1, modes: []};
    // a failure placed in the middle of its range must not stand before the entry of its life
    const entry = data.entry.map((from, i) => Math.min(from, age[i]! * (1 - 1e-9)));
    const found = modeIncidence({age, mode, modes: names.length, entry, weight: data.weight}, {level: settings.level});
    const step = stepAt(found.age, found.atRisk, at, n);
    return {
      lives: n,
      failures,
      placed,
      at: at ?? found.age[step] ?? 0,
      good: step < 0 ? 1 : found.survival[step]!,
      modes: names.map((code, k): ModeCurve => {
        const curve = found.modes[k]!;
        return {
          code,
          name: code === OTHER ? OTHER : modeLabel(code),
          serviceInduced: MODES[code]?.serviceInduced === true,
          failures: curve.failures,
          curve: [
            {age: 0, estimate: 0, lower: null, upper: null},
            ...Array.from(found.age, (a, i) => ({
              age: a,
              estimate: curve.incidence[i]!,
              lower: curve.limits[i]![0],
              upper: curve.limits[i]![1],
            })),
          ],
          events: Array.from(rows, (row, i) => ({row, age: age[i]!})).filter((_, i) => mode[i] === k),
          share: step < 0 ? 0 : curve.incidence[step]!,
          limits: step < 0 ? [null, null] : curve.limits[step]!,
        };
      }),
    };
  },

  present(result, {component}, inputs) {
    const parts = partsOf(component);
    if (result.lives === 0) return onlySentence(sayNothing(`lives of ${parts}`, inputs));
    if (result.modes.length === 0)
      return onlySentence(
        `${result.lives === 1 ? `The only life of ${parts} did not end in a failure` : `None of the ${sayCount(result.lives, "life", "lives")} of ${parts} ended in a failure`}, so no mode has taken any. ${sayMoreFailures(inputs)}`,
      );
    const {unit, name: clock} = clockOf(inputs.settings);
    const byShare = [...result.modes].sort((a, b) => b.share - a.share);
    const [worst] = byShare;
    const told = byShare
      .slice(0, 3)
      .map((mode) => `${mode.name} ${sayPercent(mode.share)} (${sayPercentLimits(mode.limits)})`);
    return {
      headline:
        `By ${sayNumber(result.at)} ${unit}, of ${parts} not renewed before: ${told.join(", ")}; ${sayPercent(result.good)} are still good. ` +
        `${sayLevel(inputs.settings)}, from ${sayCount(result.failures, "failure")} among ${sayCount(result.lives, "life", "lives")}.`,
      figures: [
        {
          name: "incidence",
          title: `${capital(worst!.name)} takes most ${parts}: ${sayPercent(worst!.share)} by ${sayNumber(result.at)} ${unit}`,
          caption: `${capital(sayCount(result.failures, "failure"))} among ${sayCount(result.lives, "life", "lives")}. Share of parts taken by each mode by that age (Aalen-Johansen), ages in ${clock}; renewals are suspensions. The curves and the share still good add up to all. Band: ${sayLevel(inputs.settings)}.`,
          alt: byShare
            .map((mode) => `${mode.name}: ${sayPercent(mode.share)} by ${sayNumber(result.at)} ${unit}`)
            .join("; "),
          chart: {
            kind: "incidence",
            unit,
            series: result.modes.map(({name, serviceInduced, curve, events}) => ({
              name,
              serviceInduced,
              curve: stepsBehind(curve, events, (rows, age) =>
                livesBehind(inputs, inputs.lives, rows, {mark: `${name} at ${sayNumber(age)} ${unit}`}),
              ),
            })),
          },
        },
      ],
      tables: [
        {
          name: "incidence",
          title: `Share taken by ${sayNumber(result.at)} ${unit}`,
          columns: [
            {name: "mode", label: "mode", values: byShare.map(({name}) => name)},
            {name: "code", label: "code", values: byShare.map(({code}) => (code === OTHER ? null : code))},
            {
              name: "caused_at_service",
              label: "caused at service",
              values: byShare.map(({serviceInduced}) => (serviceInduced ? "yes" : "no")),
            },
            {name: "failures", label: "failures", format: "count", values: byShare.map(({failures}) => failures)},
            {name: "share", label: "share taken", format: "share", values: byShare.map(({share}) => share)},
            {name: "lower", label: "lower limit", format: "share", values: byShare.map(({limits}) => limits[0])},
            {name: "upper", label: "upper limit", format: "share", values: byShare.map(({limits}) => limits[1])},
          ],
          note: `${sayLevel(inputs.settings)} by the infinitesimal jackknife, on log(-log). Failures are those at every age.`,
        },
      ],
      cautions: [
        "A share taken in competition is not what a mode would take if the others were cured: then it would take more.",
        ...(result.placed > 0
          ? [
              `${sayCount(result.placed, "failure", "failures")} found at a teardown ${result.placed === 1 ? "stands" : "stand"} at the middle of the range in which ${result.placed === 1 ? "it" : "they"} must have happened.`,
            ]
          : []),
      ],
    };
  },
};

function modeOf(table: LifeTable, row: number): string {
  return wordAt(table.mode, row) ?? `${wordAt(table.component, row) ?? ""}-UNK`;
}

/** Mode codes, the most frequent first. */
function ranked(codes: readonly (string | null)[]): string[] {
  const counts = new Map<string, number>();
  for (const code of codes) if (code !== null) counts.set(code, (counts.get(code) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1)).map(([code]) => code);
}

/** The last step at or before the age asked for, or while a tenth of the lives is at risk; -1 before the first. */
function stepAt(ages: Float64Array, atRisk: Float64Array, at: number | null, lives: number): number {
  let step = -1;
  for (let i = 0; i < ages.length; i++) if (at === null ? atRisk[i]! >= lives / 10 : ages[i]! <= at) step = i;
  return at === null && step < 0 ? ages.length - 1 : step;
}

function sayPercentLimits([lower, upper]: Limits): string {
  return sayLimits([lower === null ? null : lower * 100, upper === null ? null : upper * 100], "%");
}
