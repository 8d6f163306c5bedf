/**
 * Survival of interval-censored lives without a life distribution: Turnbull's estimate (JRSS B 38 (1976) 290-295).
 *
 * Mass can only stand in the innermost intervals: those that start at some life's lower end and stop at the next upper end.
 * Self-consistency (EM) brings the masses near; where nobody entered late a Newton method on those that stay positive
 * (active set) then makes them exact, judged by the optimality condition of the estimate: for every innermost interval
 * Σ w·[life covers it] / (mass the life covers) is at most the sum of weights, and equal to it where there is mass.
 */
import {cholesky, solve} from "./cholesky.ts";
import type {LifeData} from "./types.ts";

export interface Turnbull {
  /** innermost intervals (from, to] that hold mass, in order; from === to is a single age; to may be Infinity */
  readonly from: Float64Array;
  readonly to: Float64Array;
  readonly mass: Float64Array;
  /** survival after each of them; between `from` and `to` it is not determined */
  readonly survival: Float64Array;
  readonly logLikelihood: number;
  /** largest violation of the optimality condition, relative; 0 is exact */
  readonly violation: number;
  readonly iterations: number;
  readonly cautions: readonly string[];
}

/** An end of an interval in order: (age, closed before open): a lower end of a half-open interval lies just after its age. */
interface Cover {
  readonly first: Int32Array;
  readonly last: Int32Array;
}

export function turnbull(data: LifeData): Turnbull {
  const rows = Array.from(data.weight, (_, i) => i).filter((i) => data.weight[i]! > 0 && data.upper[i]! > 0);
  const informs = rows.filter((i) => data.upper[i]! < Infinity || data.lower[i]! > 0);
  const failures = informs.filter((i) => data.upper[i]! < Infinity);
  const none = {
    from: new Float64Array(0),
    to: new Float64Array(0),
    mass: new Float64Array(0),
    survival: new Float64Array(0),
  };
  if (failures.length === 0) {
    return {...none, logLikelihood: 0, violation: 0, iterations: 0, cautions: ["No failures: the curve stays at 1."]};
  }
  const {from, to} = innermost(data, informs);
  const m = from.length;
  const w = Float64Array.from(informs, (i) => data.weight[i]!);
  const cover = covered(data, informs, from, to);
  const seen = late(data, informs, from);
  const truncated = seen.some((first) => first > 0);
  let mass: Float64Array = new Float64Array(m).fill(1 / m);
  const total = w.reduce((sum, value) => sum + value, 0);

  let iterations = 0;
  for (; iterations < 5000; iterations++) {
    const next = consistent(mass, cover, truncated ? seen : null, w);
    let moved = 0;
    for (let j = 0; j < m; j++) moved = Math.max(moved, Math.abs(next[j]! - mass[j]!));
    mass = next;
    if (moved < (truncated ? 1e-8 : 1e-5)) break;
  }
  if (!truncated) {
    const polished = activeSet(mass, cover, w, total);
    mass = polished.mass;
    iterations += polished.iterations;
  }

  const cautions: string[] = [];
  if (truncated)
    cautions.push("Some lives came under observation late; the curve is conditional on surviving the first entries.");
  const gradient = slopes(mass, cover, w);
  let violation = 0;
  if (!truncated) {
    gradient.forEach((g, j) => {
      violation = Math.max(violation, mass[j]! > 1e-12 ? Math.abs(g / total - 1) : g / total - 1);
    });
    if (violation > 1e-6)
      cautions.push("The estimate did not settle fully; its optimality condition is off by more than 1e-6.");
  }
  const kept = Array.from(mass.keys()).filter((j) => mass[j]! > 1e-12);
  let left = 1;
  const survival = kept.map((j) => ((left = Math.max(0, left - mass[j]!)) < 1e-12 ? 0 : left));
  return {
    from: Float64Array.from(kept, (j) => from[j]!),
    to: Float64Array.from(kept, (j) => to[j]!),
    mass: Float64Array.from(kept, (j) => mass[j]!),
    survival: Float64Array.from(survival),
    logLikelihood: logLikelihood(mass, cover, truncated ? seen : null, w),
    violation,
    iterations,
    cautions,
  };
}

function innermost(data: LifeData, rows: readonly number[]): {from: number[]; to: number[]} {
  // an end is (age, order): an exact age starts at order 0 and stops at 1; a half-open interval starts at 2 of its lower age
  // and stops at 1 of its upper age
  const ends: {age: number; order: number; starts: boolean}[] = [];
  for (const i of rows) {
    const exact = data.lower[i] === data.upper[i];
    ends.push({age: data.lower[i]!, order: exact ? 0 : 2, starts: true});
    ends.push({age: data.upper[i]!, order: 1, starts: false});
  }
  ends.sort((a, b) => a.age - b.age || a.order - b.order);
  const from: number[] = [];
  const to: number[] = [];
  let open: {age: number; order: number} | null = null;
  for (const end of ends) {
    if (end.starts) open = end;
    else if (open) {
      from.push(open.age);
      to.push(end.age);
      open = null;
    }
  }
  return {from, to};
}

/** First and last innermost interval inside each life's interval. */
function covered(data: LifeData, rows: readonly number[], from: readonly number[], to: readonly number[]): Cover {
  const first = new Int32Array(rows.length);
  const last = new Int32Array(rows.length);
  rows.forEach((i, r) => {
    const lower = data.lower[i]!;
    const upper = data.upper[i]!;
    const exact = lower === upper;
    first[r] = lowerBound(from.length, (j) =>
      exact ? to[j]! >= lower : from[j]! > lower || (from[j]! === lower && to[j]! > lower),
    );
    last[r] = lowerBound(from.length, (j) => to[j]! > upper) - 1;
  });
  return {first, last};
}

/** First innermost interval a life could have failed in, given its entry. */
function late(data: LifeData, rows: readonly number[], from: readonly number[]): Int32Array {
  return Int32Array.from(rows, (i) => lowerBound(from.length, (j) => from[j]! >= data.entry[i]!));
}

/** Smallest j in [0, n) with `holds(j)`, which once true stays true; n when none. */
function lowerBound(n: number, holds: (j: number) => boolean): number {
  let low = 0;
  let high = n;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (holds(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
}

function sums(mass: Float64Array): Float64Array {
  const total = new Float64Array(mass.length + 1);
  for (let j = 0; j < mass.length; j++) total[j + 1] = total[j]! + mass[j]!;
  return total;
}

/** Mass inside a run of intervals, summed directly when a difference of sums would cancel. */
function within(mass: Float64Array, total: Float64Array, first: number, last: number): number {
  if (last - first < 24) {
    let sum = 0;
    for (let j = first; j <= last; j++) sum += mass[j]!;
    return sum;
  }
  return total[last + 1]! - total[first]!;
}

/** Σ over lives covering j of weight / mass covered. */
function slopes(mass: Float64Array, {first, last}: Cover, w: Float64Array): Float64Array {
  const total = sums(mass);
  const steps = new Float64Array(mass.length + 1);
  for (let r = 0; r < w.length; r++) {
    const share = w[r]! / within(mass, total, first[r]!, last[r]!);
    steps[first[r]!]! += share;
    steps[last[r]! + 1]! -= share;
  }
  const out = new Float64Array(mass.length);
  let running = 0;
  for (let j = 0; j < mass.length; j++) out[j] = running += steps[j]!;
  return out;
}

/** One self-consistency step; late entries add the lives that must have failed unseen before them (Turnbull, section 3). */
function consistent(mass: Float64Array, cover: Cover, seen: Int32Array | null, w: Float64Array): Float64Array {
  const gradient = slopes(mass, cover, w);
  const next = mass.map((value, j) => value * gradient[j]!);
  if (seen) {
    const total = sums(mass);
    const m = mass.length;
    // a life entering at interval e stands for w·P(before e)/P(from e on) unseen ones, spread over what lies before e
    const steps = new Float64Array(m + 1);
    for (let r = 0; r < w.length; r++) {
      const e = seen[r]!;
      if (e === 0) continue;
      const share = w[r]! / (total[m]! - total[e]!);
      steps[0]! += share;
      steps[e]! -= share;
    }
    let running = 0;
    for (let j = 0; j < m; j++) next[j]! += mass[j]! * (running += steps[j]!);
  }
  const sum = next.reduce((a, b) => a + b, 0);
  return next.map((value) => value / sum);
}

function logLikelihood(mass: Float64Array, {first, last}: Cover, seen: Int32Array | null, w: Float64Array): number {
  const total = sums(mass);
  let sum = 0;
  for (let r = 0; r < w.length; r++) {
    sum += w[r]! * Math.log(within(mass, total, first[r]!, last[r]!));
    if (seen && seen[r]! > 0) sum -= w[r]! * Math.log(total[mass.length]! - total[seen[r]!]!);
  }
  return sum;
}

/**
 * Maximises Σ w log(mass covered) - total · Σ mass over masses >= 0, whose maximum sums to 1 by itself. Newton on the
 * positive masses; one that a step would make negative is set to 0, one whose slope asks for mass is let back in.
 */
function activeSet(
  start: Float64Array,
  cover: Cover,
  w: Float64Array,
  total: number,
): {mass: Float64Array; iterations: number} {
  const m = start.length;
  let mass = start.map((value) => (value < 1e-9 ? 0 : value));
  const value = (p: Float64Array): number => logLikelihood(p, cover, null, w) - total * p.reduce((a, b) => a + b, 0);
  let iterations = 0;
  if (!Number.isFinite(value(mass))) mass = start.slice();
  for (; iterations < 200; iterations++) {
    const gradient = slopes(mass, cover, w).map((g) => g - total);
    let worst = -1;
    let stationary = 0;
    for (let j = 0; j < m; j++) {
      if (mass[j]! > 0) stationary = Math.max(stationary, Math.abs(gradient[j]!));
      else if (gradient[j]! > 1e-10 * total && (worst < 0 || gradient[j]! > gradient[worst]!)) worst = j;
    }
    if (stationary < 1e-11 * total && worst < 0) break;
    const active = Array.from(mass.keys()).filter((j) => mass[j]! > 0 || (j === worst && stationary < 1e-6 * total));
    const step = newton(mass, cover, w, active, gradient);
    if (!step) break;
    let longest = 1;
    let blocked = -1;
    active.forEach((j, a) => {
      const reach = step[a]! < 0 ? -mass[j]! / step[a]! : Infinity;
      if (reach < longest) {
        longest = reach;
        blocked = j;
      }
    });
    const before = value(mass);
    let taken = false;
    for (let length = longest, halving = 0; halving < 40 && !taken; halving++, length /= 2) {
      const next = mass.slice();
      active.forEach((j, a) => (next[j] = Math.max(0, mass[j]! + length * step[a]!)));
      if (halving === 0 && blocked >= 0) next[blocked] = 0;
      if (value(next) >= before - 1e-13 * Math.abs(before)) {
        mass = next;
        taken = true;
      }
    }
    if (!taken) break;
  }
  return {mass, iterations};
}

/** Newton step on the active masses; a small ridge where the estimate is not unique. */
function newton(
  mass: Float64Array,
  {first, last}: Cover,
  w: Float64Array,
  active: readonly number[],
  gradient: Float64Array,
): Float64Array | null {
  const a = active.length;
  const place = new Int32Array(mass.length + 1);
  let count = 0;
  for (let j = 0; j < mass.length; j++) {
    place[j] = count;
    if (active[count] === j) count++;
  }
  place[mass.length] = count;
  const total = sums(mass);
  // lives cover runs of active masses: differences of a two-way table of their corners give the whole Hessian
  const corners = new Float64Array((a + 1) * (a + 1));
  for (let r = 0; r < w.length; r++) {
    const from = place[first[r]!]!;
    const to = place[last[r]! + 1]!;
    if (to <= from) continue;
    const bend = w[r]! / within(mass, total, first[r]!, last[r]!) ** 2;
    corners[from * (a + 1) + from]! += bend;
    corners[from * (a + 1) + to]! -= bend;
    corners[to * (a + 1) + from]! -= bend;
    corners[to * (a + 1) + to]! += bend;
  }
  const information = new Float64Array(a * a);
  const above = new Float64Array(a + 1);
  for (let i = 0; i < a; i++) {
    let running = 0;
    for (let j = 0; j < a; j++) {
      above[j]! += corners[i * (a + 1) + j]!;
      running += above[j]!;
      information[i * a + j] = running;
    }
  }
  const right = active.map((j) => gradient[j]!);
  for (let ridge = 0, tries = 0; tries < 12; tries++) {
    const factor = cholesky(
      information.map((value, i) => (i % (a + 1) === 0 ? value * (1 + ridge) : value)),
      a,
    );
    if (factor) return solve(factor, a, right);
    ridge = ridge === 0 ? 1e-10 : ridge * 10;
  }
  return null;
}

/** Survival at `age` where the estimate determines it; inside an innermost interval the value before it. */
export function turnbullSurvival({to, survival}: Turnbull, age: number): number {
  let left = 1;
  for (let j = 0; j < to.length && to[j]! <= age; j++) left = survival[j]!;
  return left;
}
