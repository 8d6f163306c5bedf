/**
 * Likelihood-ratio limits: the values of a figure at which 2·(maximum - profile log-likelihood) reaches the chi-square
 * quantile of one degree of freedom (Meeker & Escobar, Statistical Methods for Reliability Data, 1998, section 8.3; the
 * joint search follows Venzon & Moolgavkar, Applied Statistics 37 (1988) 87-94).
 *
 * r(psi) = √(2·drop) is nearly linear in psi, so Newton on r with a bracket needs a handful of steps. Where the profile
 * levels off before it has fallen far enough the limit does not exist and is null.
 */
import {errorDistribution} from "./errorDistribution.ts";
import {likelihoodDrop} from "./gammaFunctions.ts";
import {
  evaluate,
  evaluation,
  likelihoodRows,
  type Evaluation,
  type LikelihoodRows,
  type RowScores,
} from "./likelihood.ts";
import type {Quantity} from "./quantity.ts";
import {adjustedRoot, signedRoot} from "./smallSample.ts";
import type {LifeData, LifeFit} from "./types.ts";

export interface ProfilePoint {
  readonly psi: number;
  /** profile log-likelihood, and its slope in psi */
  readonly value: number;
  readonly slope: number;
  /** the nuisance parameter at which it is attained: log shape, or the location when psi is the log shape */
  readonly nuisance: number;
  /** the two parameters there */
  readonly location: number;
  readonly logShape: number;
  /** minus the second derivative in the nuisance there; 1 when there is none */
  readonly bend: number;
  /** |dlocation / dpsi| there; 1 when psi is the log shape */
  readonly stretch: number;
}

/** Evaluates the profile likelihood of any figure of a two-parameter fit. */
export interface Profiler {
  readonly rows: LikelihoodRows;
  readonly fit: LifeFit;
  readonly logShape: number;
  value(location: number, logShape: number, scores?: RowScores): Evaluation;
  point(quantity: Quantity, psi: number, nuisance: number): ProfilePoint | null;
}

const H = 1e-4;
const LOG_SHAPE: readonly [number, number] = [-9.2, 20];

export function profiler(data: LifeData, fit: LifeFit): Profiler {
  const rows = likelihoodRows(data);
  const error = errorDistribution(fit.family);
  const out = evaluation(2);
  const theta = new Float64Array(2);
  const scratch = new Float64Array(5);
  const value = (location: number, logShape: number, scores: RowScores | null = null): Evaluation => {
    theta[0] = location;
    theta[1] = logShape;
    evaluate(rows, error, theta, out, scratch, scores);
    return out;
  };

  function point(quantity: Quantity, psi: number, start: number): ProfilePoint | null {
    const along = quantity.locationAt;
    /** value, first and second derivative along the curve of constant psi */
    const look = (x: number): {value: number; first: number; second: number} => {
      if (along === null) {
        const {value: v, gradient, hessian} = value(x, psi);
        return {value: v, first: gradient[0]!, second: hessian[0]!};
      }
      const here = along(psi, x);
      const up = along(psi, x + H);
      const down = along(psi, x - H);
      const m1 = (up - down) / (2 * H);
      const m2 = (up - 2 * here + down) / (H * H);
      const {value: v, gradient, hessian} = value(here, x);
      return {
        value: v,
        first: gradient[0]! * m1 + gradient[1]!,
        second: hessian[0]! * m1 * m1 + 2 * hessian[1]! * m1 + hessian[3]! + gradient[0]! * m2,
      };
    };
    const range: readonly [number, number] = along === null ? [-Infinity, Infinity] : LOG_SHAPE;
    const widest = along === null ? 3 * Math.exp(-psi) : 0.7;
    let x = start;
    let here = look(x);
    if (!Number.isFinite(here.value)) return null;
    for (let i = 0; i < 60; i++) {
      const newton = here.second < 0 ? -here.first / here.second : Math.sign(here.first) * widest;
      let step = Math.max(-widest, Math.min(widest, newton));
      const close = here.second < 0 && here.first * newton < 1e-15 * (1 + Math.abs(here.value));
      let next = here;
      let halving = 0;
      for (; halving < 40; halving++, step /= 2) {
        next = look(Math.min(range[1], Math.max(range[0], x + step)));
        if (next.value >= here.value - 1e-13 * (1 + Math.abs(here.value))) break;
      }
      if (halving === 40 || !Number.isFinite(next.second)) break;
      x = Math.min(range[1], Math.max(range[0], x + step));
      here = next;
      if (close || x === range[0] || x === range[1]) break;
    }
    const found = {psi, value: here.value, nuisance: x, bend: -here.second};
    if (along === null) {
      return {...found, location: x, logShape: psi, slope: value(x, psi).gradient[1]!, stretch: 1};
    }
    const byPsi = (along(psi + H, x) - along(psi - H, x)) / (2 * H);
    const location = along(psi, x);
    const slope = value(location, x).gradient[0]! * byPsi;
    return {...found, location, logShape: x, slope, stretch: Math.abs(byPsi)};
  }

  return {rows, fit, logShape: -Math.log(fit.spread), value, point};
}

/** What a limit is asked for. */
export interface EndRequest {
  readonly side: -1 | 1;
  readonly level: number;
  /** of psi; only where the search begins */
  readonly standardError: number;
  /** with the small-sample correction of smallSample.ts */
  readonly adjusted?: boolean;
}

/** How far, in units of psi, a limit is looked for before it is declared not to exist. */
const FARTHEST = 80;

/** One end of the limits of psi. Null when the profile never falls far enough. */
export function profileEnd(
  {rows, fit, logShape, value, point}: Profiler,
  quantity: Quantity,
  request: EndRequest,
): number | null {
  const {side, level, standardError, adjusted = false} = request;
  const target = Math.sqrt(likelihoodDrop(level));
  const centre = quantity.of(fit.location, logShape);
  if (!Number.isFinite(centre)) return null;
  const root = adjusted ? adjustedRoot(fit, quantity, value, rows.weight) : signedRoot(fit);

  let inside = {psi: centre, nuisance: quantity.locationAt === null ? fit.location : logShape};
  let outside: {psi: number} | null = null;
  let before = inside;
  let last: {psi: number; r: number} | null = null;
  let psi = centre + side * target * (Number.isFinite(standardError) ? Math.min(standardError, 5) : 1);
  for (let i = 0; i < 80; i++) {
    const change = inside.psi - before.psi;
    const foreseen =
      change === 0
        ? inside.nuisance
        : inside.nuisance + ((inside.nuisance - before.nuisance) / change) * (psi - inside.psi);
    const here = point(quantity, psi, bounded(foreseen, inside.nuisance)) ?? point(quantity, psi, inside.nuisance);
    const r = here === null ? NaN : root(here);
    if (here === null || Number.isNaN(r)) {
      // no such life distribution, or beyond what numbers hold: come back half way
      if (Math.abs(psi - inside.psi) < 1e-6) return null;
      psi = (psi + inside.psi) / 2;
      continue;
    }
    // growth of r outward: exact for the plain root, by the last two points for the adjusted one
    const rising: number = adjusted && last ? ((r - last.r) / (psi - last.psi)) * side : (-here.slope * side) / r;
    last = {psi, r};
    const move = (target - r) / rising;
    if (Math.abs(target - r) < 1e-11 || (Math.abs(move) < 1e-13 * (1 + Math.abs(psi)) && rising > 0)) return psi;
    if (r < target) {
      before = inside;
      inside = here;
    } else outside = here;
    const gone = Math.abs(psi - centre);
    let next = psi + side * move;
    const sane = rising > 0 && Number.isFinite(next);
    if (outside === null) {
      if (!sane || side * (next - psi) > 1.5 * gone) next = psi + side * 1.5 * gone;
      if (Math.abs(next - centre) > FARTHEST) return null;
    } else {
      const width = outside.psi - inside.psi;
      if (Math.abs(width) < 1e-12 * (1 + Math.abs(psi))) return psi;
      const share = (next - inside.psi) / width;
      if (!sane || share <= 0.001 || share >= 0.999) next = inside.psi + width / 2;
    }
    psi = next;
  }
  return outside === null ? null : psi;
}

const bounded = (foreseen: number, near: number): number =>
  Number.isFinite(foreseen) ? Math.max(near - 3, Math.min(near + 3, foreseen)) : near;
