/**
 * Does the family fit? Anderson-Darling type distance between the fit and the curve without a distribution, with a
 * p-value simulated under the same censoring.
 *
 * In u = fitted fraction failed and F the fraction failed without a distribution (Kaplan-Meier for exact lives, Turnbull as
 * soon as a failure is known only to an interval),
 *
 *     A² = n ∫ (F - u)² / (u(1 - u)) du
 *
 * over the ages the curve reaches, which for complete lives is Anderson and Darling's statistic (JASA 49 (1954) 765-769).
 * Parameters were estimated and lives are censored, so no table applies: sets of the same lives are simulated from the fit and
 * refitted. Each simulated life keeps its entry and weight; it is suspended where the real one was, or, if that failed, at an
 * age drawn from the suspensions beyond it (Kaplan-Meier of the suspensions); a failure known to an interval is found
 * again at looks as far apart as its own interval is wide.
 */
import {errorDistribution, type ErrorDistribution} from "./errorDistribution.ts";
import {fitLife} from "./fitLife.ts";
import {kaplanMeier} from "./kaplanMeier.ts";
import {seededRandom, type Random} from "./random.ts";
import {turnbull} from "./turnbull.ts";
import type {LifeData, LifeFit} from "./types.ts";

export interface FitCheck {
  /** null when too little of the curve is known */
  readonly statistic: number | null;
  /** share of simulated sets at least as far from their fit; null as above */
  readonly p: number | null;
  readonly simulated: number;
  readonly cautions: readonly string[];
}

interface Curve {
  /** fraction failed after each jump, and the age at which it is reached */
  readonly age: ArrayLike<number>;
  readonly failed: ArrayLike<number>;
}

function curveOf(data: LifeData): Curve {
  const between = data.lower.some((lower, i) => data.upper[i]! < Infinity && data.upper[i]! > lower);
  if (!between) {
    const km = kaplanMeier(data);
    return {age: km.age, failed: km.survival.map((s) => 1 - s)};
  }
  const {to, survival} = turnbull(data);
  return {age: to, failed: survival.map((s) => 1 - s)};
}

/** A² of a curve of steps up to the last age seen; the integral over each step is closed. */
export function andersonDarling(data: LifeData, fit: LifeFit): number | null {
  const error = errorDistribution(fit.family);
  const u = (age: number): number => -Math.expm1(-error.cumulativeHazard((Math.log(age) - fit.location) / fit.spread));
  const {age, failed} = curveOf(data);
  let last = 0;
  let n = 0;
  let infinite = false;
  for (let i = 0; i < data.lower.length; i++) {
    if (!(data.weight[i]! > 0)) continue;
    n += data.weight[i]!;
    const seen = data.upper[i]! < Infinity ? data.upper[i]! : data.lower[i]!;
    last = Math.max(last, seen);
    infinite ||= seen === Infinity;
  }
  if (age.length === 0 || infinite) return null;
  const complete = failed[failed.length - 1]! >= 1 - 1e-12;
  let sum = 0;
  let from = 0;
  let f = 0;
  for (let j = 0; j <= age.length; j++) {
    const end = j < age.length ? age[j]! : last;
    if (end === Infinity) break;
    const to = j < age.length ? u(end) : complete ? 1 : u(last);
    if (to > from) sum += piece(f, from, to);
    if (j < age.length) f = failed[j]!;
    from = Math.max(from, to);
  }
  return Number.isFinite(sum) ? n * sum : null;
}

/** ∫ (f - u)² / (u(1 - u)) du from a to b = f²·log u - (1 - f)²·log(1 - u) - u, its ends where f is 0 or 1 included. */
function piece(f: number, a: number, b: number): number {
  const low = f > 0 ? f * f * Math.log(b / a) : 0;
  const high = f < 1 - 1e-12 ? (1 - f) ** 2 * (Math.log1p(-a) - Math.log1p(-b)) : 0;
  return low + high - (b - a);
}

export interface FitCheckOptions {
  /** simulated sets; default 400 */
  readonly count?: number;
  readonly seed: number;
  readonly batch?: number;
}

/** Yields how many sets are done; returns the check. */
export function* checkFit(data: LifeData, fit: LifeFit, options: FitCheckOptions): Generator<number, FitCheck, void> {
  const {count = 400, seed, batch = 20} = options;
  const statistic = andersonDarling(data, fit);
  if (statistic === null) {
    return {
      statistic: null,
      p: null,
      simulated: 0,
      cautions: ["Too little of the curve is known to compare it with the fit."],
    };
  }
  const random = seededRandom(seed);
  const error = errorDistribution(fit.family);
  const patterns = suspensionsBeyond(data);
  let beyond = 0;
  let usable = 0;
  for (let b = 0; b < count; b++) {
    const set = simulated(data, fit, {error, random, suspendedAt: patterns});
    const again = fitLife(set, {family: fit.family, ...(fit.fixedShape === null ? {} : {shape: fit.fixedShape})});
    const far = again.fitted ? andersonDarling(set, again) : null;
    if (far !== null) {
      usable++;
      if (far >= statistic) beyond++;
    }
    if ((b + 1) % batch === 0) yield b + 1;
  }
  const cautions: string[] = [];
  if (fit.failures < 10)
    cautions.push(`With ${Number(fit.failures.toPrecision(3))} failures hardly any family can be ruled out.`);
  if (usable < 0.8 * count) cautions.push(`${count - usable} of ${count} simulated sets could not be fitted.`);
  // the observed set counts as one of them (Davison & Hinkley 1997, eq. 4.11)
  return {statistic, p: usable > 0 ? (beyond + 1) / (usable + 1) : null, simulated: usable, cautions};
}

/** Kaplan-Meier of the ages of suspension, as a way to draw one beyond a given age; Infinity when none lies beyond. */
function suspensionsBeyond(data: LifeData): (age: number, random: Random) => number {
  // turned round: a suspension is the event, a failure ends the watch for it
  const age = data.lower.map((lower, i) => (data.upper[i]! < Infinity ? data.upper[i]! : lower));
  const turned = kaplanMeier({
    lower: age,
    upper: age.map((a, i) => (data.upper[i] === Infinity ? a : Infinity)),
    entry: data.entry,
    weight: data.weight,
  });
  const {age: ages, survival} = turned;
  return (from, random) => {
    let j = 0;
    while (j < ages.length && ages[j]! <= from) j++;
    const before = j === 0 ? 1 : survival[j - 1]!;
    const draw = before * random.uniform();
    while (j < ages.length && survival[j]! > draw) j++;
    return j < ages.length ? ages[j]! : Infinity;
  };
}

interface Simulation {
  readonly error: ErrorDistribution;
  readonly random: Random;
  readonly suspendedAt: (age: number, random: Random) => number;
}

/** The same lives again, drawn from the fit. */
export function simulated(data: LifeData, fit: LifeFit, {error, random, suspendedAt}: Simulation): LifeData {
  const n = data.lower.length;
  const lower = new Float64Array(n);
  const upper = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const entry = data.entry[i]!;
    const before = entry > 0 ? error.cumulativeHazard((Math.log(entry) - fit.location) / fit.spread) : 0;
    const life = Math.exp(fit.location + fit.spread * error.ofHazard(before + random.exponential()));
    const suspended = data.upper[i] === Infinity;
    const end = suspended ? data.lower[i]! : suspendedAt(data.upper[i]!, random);
    if (!(life <= end)) {
      lower[i] = end;
      upper[i] = Infinity;
      continue;
    }
    const width = suspended ? 0 : data.upper[i]! - data.lower[i]!;
    if (width > 0) {
      const look = data.lower[i]! + Math.floor((life - data.lower[i]!) / width) * width;
      lower[i] = Math.max(entry, look, 0);
      upper[i] = Math.max(life, Math.min(end, look + width));
    } else {
      lower[i] = upper[i] = Math.max(life, Number.MIN_VALUE);
    }
  }
  return {lower, upper, entry: data.entry, weight: data.weight};
}
