import {cholesky, solve} from "./cholesky.ts";
import {evaluation, type Evaluation} from "./likelihood.ts";

/** A function to be maximised, with its derivatives. */
export type Objective = (theta: Float64Array, out: Evaluation) => void;

export interface MaximiseOptions {
  /** parameters held at their start */
  readonly fixed?: readonly boolean[];
  readonly maxIterations?: number;
  /** squared length of the last step, in standard errors; default 1e-16: before it 1e-8 of one was left, after it 1e-16 */
  readonly close?: number;
  /** longest step allowed per parameter; default Infinity */
  readonly maxStep?: readonly number[];
  /** gives up, as not converged, when a parameter leaves its range */
  readonly range?: readonly (readonly [number, number])[];
}

export interface Maximum {
  readonly theta: Float64Array;
  /** at `theta`, with all derivatives */
  readonly at: Evaluation;
  readonly converged: boolean;
  /** index of a parameter that left its range, or -1 */
  readonly left: number;
  readonly iterations: number;
}

/**
 * Newton's method with two safeguards: where the Hessian is not negative definite its diagonal is weighted until it
 * is (Levenberg), and a step that lowers the value is halved. It ends by the length of the Newton step in standard
 * errors, never by a small change of the value alone, and never later than `maxIterations`.
 */
export function maximise(objective: Objective, start: ArrayLike<number>, options: MaximiseOptions = {}): Maximum {
  const {fixed, maxIterations = 100, maxStep, range, close = 1e-16} = options;
  const m = start.length;
  let theta = Float64Array.from(start);
  let here = evaluation(m);
  let there = evaluation(m);
  objective(theta, here);
  const end = (converged: boolean, left: number, iterations: number): Maximum => ({
    theta,
    at: here,
    converged,
    left,
    iterations,
  });
  if (!Number.isFinite(here.value)) return end(false, -1, 0);

  for (let iteration = 1; iteration <= maxIterations; iteration++) {
    const newton = newtonStep(here, m, fixed);
    if (newton === null) return end(false, -1, iteration);
    const {step, decrement, ridged} = newton;
    let length = 1;
    for (let i = 0; maxStep && i < m; i++) {
      if (Math.abs(step[i]!) * length > maxStep[i]!) length = maxStep[i]! / Math.abs(step[i]!);
    }
    const last = decrement < close && !ridged;
    const slack = 1e-12 * (1 + Math.abs(here.value));
    let taken = false;
    for (let halving = 0; halving < 60 && !taken; halving++) {
      const next = theta.map((value, i) => value + length * step[i]!);
      objective(next, there);
      if (there.value >= here.value - (decrement < 1e-8 ? slack : 0) && finite(there)) {
        theta = next;
        [here, there] = [there, here];
        taken = true;
      } else if (last) {
        break; // already there: rounding decides, stay
      }
      length /= 2;
    }
    if (last) return end(true, -1, iteration);
    if (!taken) return end(decrement < 1e-9 && !ridged, -1, iteration);
    for (let i = 0; range && i < m; i++) {
      if (theta[i]! < range[i]![0] || theta[i]! > range[i]![1]) return end(false, i, iteration);
    }
  }
  return end(false, -1, maxIterations);
}

const finite = ({value, gradient, hessian}: Evaluation): boolean =>
  Number.isFinite(value) && gradient.every(Number.isFinite) && hessian.every(Number.isFinite);

function newtonStep(
  {gradient, hessian}: Evaluation,
  m: number,
  fixed: readonly boolean[] | undefined,
): {step: Float64Array; decrement: number; ridged: boolean} | null {
  const information = new Float64Array(m * m);
  const pull = Float64Array.from(gradient);
  for (let i = 0; i < m; i++) {
    if (fixed?.[i]) pull[i] = 0;
    for (let j = 0; j < m; j++) {
      information[i * m + j] = fixed?.[i] || fixed?.[j] ? (i === j ? 1 : 0) : -hessian[i * m + j]!;
    }
  }
  let scale = 0;
  for (let i = 0; i < m; i++) scale = Math.max(scale, Math.abs(information[i * m + i]!));
  for (let ridge = 0, tries = 0; tries < 60; tries++) {
    const ridged = information.slice();
    for (let i = 0; i < m; i++) ridged[i * m + i]! += ridge * (Math.abs(information[i * m + i]!) + 1e-10 * scale);
    const factor = cholesky(ridged, m);
    if (factor) {
      const step = solve(factor, m, pull);
      let decrement = 0;
      for (let i = 0; i < m; i++) decrement += step[i]! * pull[i]!;
      if (Number.isFinite(decrement)) return {step, decrement, ridged: ridge > 0};
    }
    ridge = ridge === 0 ? 1e-3 : ridge * 4;
  }
  return null;
}
