/**
 * Mean cumulative number of failures per system (Nelson, J. Quality Technology 20 (1988) 24-35) with the robust variance of
 * Lawless & Nadeau (Technometrics 37 (1995) 158-168), which needs no Poisson assumption: failures of one system may
 * cluster. Limits on the log of the mean (Meeker & Escobar, Statistical Methods for Reliability Data, 1998, section 16.2.4).
 */
import {requireLevel, twoSidedZ} from "./gammaFunctions.ts";
import type {RepairHistory} from "./repairHistory.ts";

export interface MeanCumulative {
  readonly level: number;
  /** ages at which some system failed */
  readonly age: Float64Array;
  readonly atRisk: Float64Array;
  readonly events: Float64Array;
  readonly mean: Float64Array;
  readonly standardError: Float64Array;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  readonly cautions: readonly string[];
}

export function meanCumulative(history: RepairHistory, {level = 0.9}: {readonly level?: number} = {}): MeanCumulative {
  requireLevel(level, "meanCumulative");
  const z = twoSidedZ(level);
  const {age, events, atRisk} = eventAges(history);
  const {mean, variance} = meanAndVariance(history, age, atRisk, events);
  const standardError = variance.map(Math.sqrt);
  const reach = mean.map((m, s) => Math.exp((z * standardError[s]!) / m));
  const cautions: string[] = [];
  const few = Array.from(age).find((_, s) => atRisk[s]! < 3);
  if (few !== undefined)
    cautions.push(
      `Fewer than three systems are observed at ${Number(few.toPrecision(4))} and from there on where the curve is thin; its limits say too little there.`,
    );
  if (age.length === 0) cautions.push("No failures: the curve stays at 0.");
  return {
    level,
    age,
    atRisk,
    events,
    mean,
    standardError,
    lower: mean.map((m, s) => m / reach[s]!),
    upper: mean.map((m, s) => m * reach[s]!),
    cautions,
  };
}

/** A system is at risk at age t when start < t <= end. */
function eventAges({start, end, age}: RepairHistory): {age: Float64Array; events: Float64Array; atRisk: Float64Array} {
  const ages = [...new Set(age)];
  const counts = new Map<number, number>();
  age.forEach((t) => counts.set(t, (counts.get(t) ?? 0) + 1));
  const starts = start.slice().sort();
  const ends = end.slice().sort();
  let entered = 0;
  let left = 0;
  const atRisk = ages.map((t) => {
    while (entered < starts.length && starts[entered]! < t) entered++;
    while (left < ends.length && ends[left]! < t) left++;
    return entered - left;
  });
  return {
    age: Float64Array.from(ages),
    events: Float64Array.from(ages, (t) => counts.get(t)!),
    atRisk: Float64Array.from(atRisk),
  };
}

/** Variance: over systems, the square of Σ at risk · (own events - mean rate) / at risk. */
function meanAndVariance(
  {start, end, system, age: eventAge}: RepairHistory,
  age: Float64Array,
  atRisk: Float64Array,
  events: Float64Array,
): {mean: Float64Array; variance: Float64Array} {
  const steps = age.length;
  const mean = new Float64Array(steps);
  const variance = new Float64Array(steps);
  let sum = 0;
  for (let s = 0; s < steps; s++) mean[s] = sum += events[s]! / atRisk[s]!;
  const own = Array.from(start, () => [] as number[]);
  eventAge.forEach((t, j) => own[system[j]!]!.push(t));
  for (let i = 0; i < start.length; i++) {
    let influence = 0;
    let next = 0;
    for (let s = 0; s < steps; s++) {
      const t = age[s]!;
      if (start[i]! < t && end[i]! >= t) {
        let count = 0;
        for (; next < own[i]!.length && own[i]![next]! === t; next++) count++;
        influence += (count - events[s]! / atRisk[s]!) / atRisk[s]!;
      }
      variance[s]! += influence * influence;
    }
  }
  return {mean, variance};
}

export interface MeanCumulativeDifference {
  readonly level: number;
  readonly age: Float64Array;
  /** first less second */
  readonly difference: Float64Array;
  readonly standardError: Float64Array;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  /** oldest age at which both groups are still observed; the curve ends there */
  readonly until: number;
}

/** Difference of two groups that share no system: variances add, limits are normal (Nelson, Recurrent Events, 2003, ch. 6). */
export function meanCumulativeDifference(
  first: RepairHistory,
  second: RepairHistory,
  {level = 0.9}: {readonly level?: number} = {},
): MeanCumulativeDifference {
  const a = meanCumulative(first, {level});
  const b = meanCumulative(second, {level});
  const until = Math.min(Math.max(...first.end), Math.max(...second.end));
  const age = Float64Array.from(new Set([...a.age, ...b.age]))
    .sort()
    .filter((t) => t <= until);
  const valueAt = (curve: MeanCumulative, values: Float64Array) => {
    let s = -1;
    return age.map((t) => {
      while (s + 1 < curve.age.length && curve.age[s + 1]! <= t) s++;
      return s < 0 ? 0 : values[s]!;
    });
  };
  const [ma, mb] = [valueAt(a, a.mean), valueAt(b, b.mean)];
  const [ea, eb] = [valueAt(a, a.standardError), valueAt(b, b.standardError)];
  const z = twoSidedZ(level);
  const difference = ma.map((m, s) => m - mb[s]!);
  const standardError = ea.map((e, s) => Math.hypot(e, eb[s]!));
  return {
    level,
    age,
    difference,
    standardError,
    lower: difference.map((d, s) => d - z * standardError[s]!),
    upper: difference.map((d, s) => d + z * standardError[s]!),
    until,
  };
}
