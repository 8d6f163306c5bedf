/**
 * Rates of groups as they are, at one common mix of mud, flow and temperature, and against what their own mix makes one
 * expect.
 *
 * At the common mix: the wear failures of every component are multiplied by (mean risk in the common mix) / (mean risk in
 * the group's own mix), with risks from mixModel.ts; chance failures and those caused at service stay as they are. Limits:
 * gamma limits of the weighted counts (Fay & Feuer), widened on the log scale by the spread of the model's draws.
 *
 * Against expectation: the counts of all groups together are handed out by hours and risk; what a group has beyond its part
 * is tested with the model's draws in the mean.
 */
import {
  countAgainstMeans,
  falseDiscovery,
  normalQuantile,
  rateLimits,
  weightedCountLimits,
} from "../statistics/index.ts";
import {
  failuresOf,
  meanRisk,
  rateOf,
  type ComparedGroup,
  type ComparedGroups,
  type Kinds,
  type Tally,
} from "./comparedGroups.ts";
import {DRAWS, type MixModel} from "./mixModel.ts";

export interface FairRate {
  readonly name: string;
  readonly tools: number;
  readonly failures: number;
  readonly exposure: number;
  /** per unit of exposure */
  readonly rate: number;
  readonly limits: readonly [number, number];
  /** at the common mix */
  readonly atMix: number;
  readonly atMixLimits: readonly [number, number];
  /** failures to be expected in the group's own mix if all groups were alike */
  readonly expected: number;
  /** two-sided, against the expectation; and adjusted for how many groups are compared */
  readonly p: number;
  readonly adjusted: number;
}

export function fairRates({groups, kinds, model}: ComparedGroups, mix: Float64Array, level: number): FairRate[] {
  const expected = expectations(groups, kinds, model);
  const p = groups.map(({whole}, g) =>
    countAgainstMeans(
      failuresOf(whole),
      Array.from({length: DRAWS}, (_, d) => expected(g, d)),
    ),
  );
  const adjusted = falseDiscovery(p);
  return groups.map(({name, tools, whole}, g) => {
    const failures = failuresOf(whole);
    const [lower, upper] = rateLimits({count: failures, exposure: whole.exposure}, level);
    return {
      name,
      tools: tools.length,
      failures,
      exposure: whole.exposure,
      rate: rateOf(whole),
      limits: [lower, upper],
      ...rateAtMix(whole, {kinds, model, mix, level}),
      expected: expected(g, null),
      p: p[g]!,
      adjusted: adjusted[g]!,
    };
  });
}

function rateAtMix(
  whole: Tally,
  {kinds, model, mix, level}: {kinds: Kinds; model: MixModel; mix: Float64Array; level: number},
): {atMix: number; atMixLimits: readonly [number, number]} {
  const plain = sumAt(whole, [...kinds.shop, ...kinds.other]);
  const wear = kinds.parts.map((_, part) => sumAt(whole, kinds.wear(part)));
  const parts = kinds.parts.map((component) => model.parts.get(component)!);
  const weighted = (weightOf: (part: number) => number): number =>
    wear.reduce((sum, count, part) => (count > 0 ? sum + count * weightOf(part) : sum), plain);
  const weight = (part: number): number => meanRisk(mix, parts[part]!.risk) / meanRisk(whole.hours, parts[part]!.risk);
  const sum = weighted(weight);
  const [low, high] = weightedCountLimits(
    [{count: plain, weight: 1}, ...wear.flatMap((count, part) => (count > 0 ? [{count, weight: weight(part)}] : []))],
    level,
  );
  const spread = deviation(
    Array.from({length: DRAWS}, (_, d) => {
      const at = d * model.cells.length;
      return Math.log(
        weighted((part) => meanRisk(mix, parts[part]!.drawn, at) / meanRisk(whole.hours, parts[part]!.drawn, at)),
      );
    }),
  );
  const reach = sum > 0 ? normalQuantile((1 + level) / 2) * spread : 0;
  const away = (end: number): number => Math.exp(Math.hypot(Math.log(end / sum), reach));
  return {
    atMix: sum / whole.exposure,
    atMixLimits:
      sum > 0 ? [sum / away(low) / whole.exposure, (sum * away(high)) / whole.exposure] : [0, high / whole.exposure],
  };
}

/** Failures to be expected of group g under draw d (null: the estimate), the counts of all groups handed out. */
function expectations(
  groups: readonly ComparedGroup[],
  kinds: Kinds,
  model: MixModel,
): (g: number, draw: number | null) => number {
  const exposure = groups.reduce((sum, {whole}) => sum + whole.exposure, 0);
  const plain = groups.reduce((sum, {whole}) => sum + sumAt(whole, [...kinds.shop, ...kinds.other]), 0);
  const wear = kinds.parts.map((_, part) => groups.reduce((sum, {whole}) => sum + sumAt(whole, kinds.wear(part)), 0));
  const weightsOf = (risk: Float64Array, at: number) => {
    const weights = groups.map(({whole}) => whole.exposure * meanRisk(whole.hours, risk, at));
    const sum = weights.reduce((a, b) => a + b, 0);
    return weights.map((weight) => weight / sum);
  };
  const cells = model.cells.length;
  const tables = new Map<number, number[]>();
  const make = (draw: number | null): number[] => {
    const sums = groups.map(({whole}) => (plain * whole.exposure) / exposure);
    kinds.parts.forEach((component, part) => {
      if (wear[part] === 0) return;
      const {risk, drawn} = model.parts.get(component)!;
      const shares = draw === null ? weightsOf(risk, 0) : weightsOf(drawn, draw * cells);
      shares.forEach((share, g) => (sums[g]! += wear[part]! * share));
    });
    return sums;
  };
  return (g, draw) => {
    const key = draw ?? -1;
    let sums = tables.get(key);
    if (sums === undefined) tables.set(key, (sums = make(draw)));
    return sums[g]!;
  };
}

const sumAt = ({failures}: Tally, places: readonly number[]): number =>
  places.reduce((sum, place) => sum + failures[place]!, 0);

function deviation(values: readonly number[]): number {
  const finite = values.filter(Number.isFinite);
  if (finite.length < 2) return 0;
  const mean = finite.reduce((a, b) => a + b, 0) / finite.length;
  return Math.sqrt(finite.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (finite.length - 1));
}
