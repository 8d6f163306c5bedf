/**
 * Incidence per mode: the fraction of parts that have failed by each mode by each age when the other modes also take
 * parts (Aalen & Johansen, Scand. J. Statist. 5 (1978) 141-150), with delayed entry. The curves of all modes and survival
 * add to 1; one minus Kaplan-Meier of a mode alone would be too high.
 *
 * Two variances are known and differ a little: "jackknife", the infinitesimal jackknife over lives (as R survfit gives; each
 * life's influence on the curve, squared and summed), which is the default, and "counting", from the counting processes
 * (Gray, Annals of Statistics 16 (1988) 1141-1154, as cmprsk's cuminc computes it). Limits on log(-log(1 - F)).
 */
import {requireLevel, twoSidedZ} from "./gammaFunctions.ts";
import type {Limits} from "./types.ts";

export interface ModeLives {
  readonly age: ArrayLike<number>;
  /** 0 .. modes - 1, or -1 when unfailed */
  readonly mode: ArrayLike<number>;
  readonly modes: number;
  readonly entry?: ArrayLike<number>;
  readonly weight?: ArrayLike<number>;
}

export interface IncidenceOptions {
  /** default 0.9 */
  readonly level?: number;
  /** default jackknife */
  readonly variance?: "jackknife" | "counting";
}

export interface ModeIncidence {
  /** as of each age of `Incidence.age` */
  readonly incidence: Float64Array;
  readonly standardError: Float64Array;
  readonly limits: readonly Limits[];
  readonly failures: number;
}

export interface Incidence {
  readonly level: number;
  /** ages at which some mode took a part */
  readonly age: Float64Array;
  readonly atRisk: Float64Array;
  readonly survival: Float64Array;
  readonly modes: readonly ModeIncidence[];
}

interface Step {
  readonly age: number;
  readonly atRisk: number;
  readonly failures: Float64Array;
  readonly all: number;
}

export function modeIncidence(
  lives: ModeLives,
  {level = 0.9, variance = "jackknife"}: IncidenceOptions = {},
): Incidence {
  requireLevel(level, "modeIncidence");
  const rows = checked(lives);
  const steps = stepsOf(rows, lives.modes);
  const survival = new Float64Array(steps.length);
  const incidence = Array.from({length: lives.modes}, () => new Float64Array(steps.length));
  let left = 1;
  steps.forEach(({atRisk, failures, all}, s) => {
    for (let k = 0; k < lives.modes; k++) {
      incidence[k]![s] = (s > 0 ? incidence[k]![s - 1]! : 0) + (left * failures[k]!) / atRisk;
    }
    left = atRisk - all > 1e-9 * atRisk ? (left * (atRisk - all)) / atRisk : 0;
    survival[s] = left;
  });
  const errors =
    variance === "jackknife"
      ? jackknife(rows, steps, lives.modes)
      : incidence.map((curve, k) => counting(steps, curve, k));
  const z = twoSidedZ(level);
  return {
    level,
    age: Float64Array.from(steps, (s) => s.age),
    atRisk: Float64Array.from(steps, (s) => s.atRisk),
    survival,
    modes: incidence.map((curve, k) => ({
      incidence: curve,
      standardError: errors[k]!,
      limits: Array.from(curve, (f, s) => logLog(f, errors[k]![s]!, z)),
      failures: steps.reduce((sum, {failures}) => sum + failures[k]!, 0),
    })),
  };
}

interface Rows {
  readonly age: Float64Array;
  readonly entry: Float64Array;
  readonly weight: Float64Array;
  readonly mode: Int32Array;
}

function checked({age, mode, modes, entry, weight}: ModeLives): Rows {
  const n = age.length;
  const rows: Rows = {
    age: Float64Array.from(age),
    entry: Float64Array.from({length: n}, (_, i) => entry?.[i] ?? 0),
    weight: Float64Array.from({length: n}, (_, i) => weight?.[i] ?? 1),
    mode: Int32Array.from(mode),
  };
  if (mode.length !== n)
    throw new RangeError(`modeIncidence requires a mode for each of ${n} lives, got ${mode.length}`);
  for (let i = 0; i < n; i++) {
    const [a, e, w, k] = [rows.age[i]!, rows.entry[i]!, rows.weight[i]!, rows.mode[i]!];
    if (!(a >= 0 && a < Infinity))
      throw new RangeError(`modeIncidence row ${i}: ages must be finite and not negative, got ${a}`);
    if (!(e >= 0 && e <= a))
      throw new RangeError(`modeIncidence row ${i}: the entry age must be from 0 to the age ${a}, got ${e}`);
    if (!(w >= 0 && w < Infinity))
      throw new RangeError(`modeIncidence row ${i}: the count must be finite and not negative, got ${w}`);
    if (!(k >= -1 && k < modes))
      throw new RangeError(`modeIncidence row ${i}: modes go from -1 to ${modes - 1}, got ${k}`);
  }
  return rows;
}

function stepsOf({age, entry, weight, mode}: Rows, modes: number): Step[] {
  const rows = Array.from(age.keys()).filter((i) => weight[i]! > 0 && entry[i]! < age[i]!);
  const leaving = rows.slice().sort((a, b) => age[a]! - age[b]!);
  const entering = rows.slice().sort((a, b) => entry[a]! - entry[b]!);
  const steps: Step[] = [];
  let atRisk = 0;
  let entered = 0;
  for (let gone = 0; gone < leaving.length;) {
    const t = age[leaving[gone]!]!;
    for (; entered < entering.length && entry[entering[entered]!]! < t; entered++)
      atRisk += weight[entering[entered]!]!;
    const failures = new Float64Array(modes);
    let all = 0;
    let leave = 0;
    for (; gone < leaving.length && age[leaving[gone]!] === t; gone++) {
      const i = leaving[gone]!;
      leave += weight[i]!;
      if (mode[i]! < 0) continue;
      failures[mode[i]!]! += weight[i]!;
      all += weight[i]!;
    }
    if (all > 0) steps.push({age: t, atRisk, failures, all});
    atRisk -= leave;
  }
  return steps;
}

/** Derivative of each curve by each life's weight, squared and summed over lives. */
function jackknife({age, entry, weight, mode}: Rows, steps: readonly Step[], modes: number): Float64Array[] {
  const variance = Array.from({length: modes}, () => new Float64Array(steps.length));
  const influence = new Float64Array(modes);
  const before = new Float64Array(steps.length);
  let left = 1;
  steps.forEach(({atRisk, all}, s) => {
    before[s] = left;
    left *= 1 - all / atRisk;
  });
  for (let i = 0; i < age.length; i++) {
    if (!(weight[i]! > 0)) continue;
    influence.fill(0);
    let survivalInfluence = 0;
    for (let s = 0; s < steps.length; s++) {
      const {age: t, atRisk, failures, all} = steps[s]!;
      const here = entry[i]! < t && age[i]! >= t ? 1 : 0;
      const own = here === 1 && age[i] === t ? mode[i]! : -1;
      for (let k = 0; k < modes; k++) {
        const jump = (own === k ? 1 : 0) - (here * failures[k]!) / atRisk;
        influence[k]! += (survivalInfluence * failures[k]! + before[s]! * jump) / atRisk;
        variance[k]![s]! += weight[i]! * influence[k]! * influence[k]!;
      }
      const jump = (own >= 0 ? 1 : 0) - (here * all) / atRisk;
      survivalInfluence = survivalInfluence * (1 - all / atRisk) - (before[s]! * jump) / atRisk;
    }
  }
  return variance.map((v) => v.map(Math.sqrt));
}

/** Gray's variance with its correction for ties, (Y - d) / (Y - 1). */
function counting(steps: readonly Step[], incidence: Float64Array, k: number): Float64Array {
  const errors = new Float64Array(steps.length);
  let left = 1;
  let v1 = 0;
  let v2 = 0;
  let v3 = 0;
  steps.forEach(({atRisk, failures, all}, s) => {
    const own = failures[k]!;
    const other = all - own;
    const next = atRisk - all > 1e-9 * atRisk ? (left * (atRisk - all)) / atRisk : 0;
    const f = incidence[s]!;
    const tied = (d: number): number => (d > 1 ? 1 - (d - 1) / (atRisk - 1) : 1);
    if (other > 0 && next > 0) {
      const step = (left * left * tied(other) * other) / (atRisk * atRisk);
      const a = f / next;
      const b = 1 / next;
      v1 += a * a * step;
      v2 += a * b * step;
      v3 += b * b * step;
    }
    if (own > 0) {
      const step = (left * left * tied(own) * own) / (atRisk * atRisk);
      const b = next > 0 ? 1 / next : 0;
      const a = 1 + b * f;
      v1 += a * a * step;
      v2 += a * b * step;
      v3 += b * b * step;
    }
    errors[s] = Math.sqrt(Math.max(0, v1 + f * f * v3 - 2 * f * v2));
    left = next;
  });
  return errors;
}

/** 1 - (1 - F)^exp(± z·se / ((1 - F)·|log(1 - F)|)). */
function logLog(f: number, standardError: number, z: number): Limits {
  if (!(f > 0 && f < 1)) return [null, null];
  const log = Math.log1p(-f);
  const reach = (z * standardError) / ((1 - f) * Math.abs(log));
  return [-Math.expm1(log * Math.exp(-reach)), -Math.expm1(log * Math.exp(reach))];
}
