/**
 * A measured dimension against age, part by part: measure = start + slope of the part · age + error, slopes normal around
 * their mean with a spread of their own, the start common (or given, as new). Fitted by REML (Laird & Ware, Biometrics 38
 * (1982) 963-974): for a ratio ρ of slope variance to error variance the rest is generalised least squares in closed form, so
 * only ρ is searched. A part's own slope is its shrunken estimate; the age at which its line meets the limit is its
 * pseudo-life (Meeker & Escobar, Statistical Methods for Reliability Data, 1998, section 13.7).
 */
import {requireLevel, twoSidedZ} from "./gammaFunctions.ts";
import {normalCdf} from "./normal.ts";

export interface WearMeasures {
  /** 0 .. parts - 1 */
  readonly part: ArrayLike<number>;
  readonly parts: number;
  readonly age: ArrayLike<number>;
  readonly measure: ArrayLike<number>;
}

export interface WearOptions {
  /** wear limit: the part is worn out when its measure reaches it */
  readonly limit: number;
  /** dimension of a new part; default: estimated from all parts */
  readonly asNew?: number;
  readonly level?: number;
}

export interface WearPart {
  readonly slope: number;
  readonly measures: number;
  readonly lastAge: number;
  readonly lastMeasure: number;
  /** age at which the part's own line meets the limit; null when it does not move toward it */
  readonly pseudoLife: number | null;
}

export interface WearFit {
  readonly fitted: true;
  readonly start: number;
  readonly slope: number;
  /** two-sided normal limits of the mean slope */
  readonly slopeLimits: readonly [number, number];
  readonly slopeError: number;
  /** standard deviation of slopes between parts, and of a measure around its part's line */
  readonly slopeSpread: number;
  readonly errorSpread: number;
  readonly logLikelihood: number;
  readonly parts: readonly WearPart[];
  readonly limit: number;
  readonly level: number;
  readonly cautions: readonly string[];
}

export interface NoWearFit {
  readonly fitted: false;
  readonly sentence: string;
}

interface Sums {
  n: number;
  a: number;
  aa: number;
  y: number;
  ay: number;
  yy: number;
}

/** Fits wear paths; a reason in words when two different ages or two measures are not to be had. */
export function fitWear(data: WearMeasures, {limit, asNew, level = 0.9}: WearOptions): WearFit | NoWearFit {
  requireLevel(level, "fitWear");
  const n = data.age.length;
  if (data.part.length !== n || data.measure.length !== n) {
    throw new RangeError(
      `fitWear requires columns of one length, got ${data.part.length}, ${n} and ${data.measure.length}`,
    );
  }
  const sums: Sums[] = Array.from({length: data.parts}, () => ({n: 0, a: 0, aa: 0, y: 0, ay: 0, yy: 0}));
  // measures relative to the first keep their digits in the sums of squares
  const origin = asNew ?? data.measure[0] ?? 0;
  let oldest = 0;
  for (let i = 0; i < n; i++) {
    const [p, a, y] = [data.part[i]!, data.age[i]!, data.measure[i]!];
    if (!(Number.isInteger(p) && p >= 0 && p < data.parts))
      throw new RangeError(`fitWear row ${i}: no part ${p} among ${data.parts}`);
    if (!(a >= 0 && a < Infinity) || !Number.isFinite(y))
      throw new RangeError(`fitWear row ${i}: requires a finite age >= 0 and measure, got ${a} and ${y}`);
    const s = sums[p]!;
    s.n++;
    s.a += a;
    s.aa += a * a;
    s.y += y - origin;
    s.ay += a * (y - origin);
    s.yy += (y - origin) ** 2;
    oldest = Math.max(oldest, a);
  }
  const fixed = asNew === undefined ? 2 : 1;
  if (n <= fixed || oldest === 0 || (fixed === 2 && new Set(Array.from(data.age)).size < 2)) {
    return {fitted: false, sentence: `Wear paths need at least ${fixed + 1} measures at different ages, got ${n}.`};
  }

  const at = (logRatio: number) => leastSquares(sums, Math.exp(logRatio) / oldest ** 2, n, fixed);
  // ρ·oldest² from 1e-6 (slopes alike) to 1e8: REML may have its top at the edge, so the grid decides where to refine
  let best = -14;
  for (let x = -14; x <= 19; x += 0.5) if (at(x).logLikelihood > at(best).logLikelihood) best = x;
  const edge = best === -14 || best === 19;
  const logRatio = edge ? best : peak((x) => at(x).logLikelihood, best - 0.5, best + 0.5);
  const fit = at(logRatio);
  if (!(fit.errorVariance > 0))
    return {fitted: false, sentence: "The measures lie on lines exactly, so their scatter cannot be estimated."};
  const ratio = best === -14 ? 0 : Math.exp(logRatio) / oldest ** 2;

  const last = lastMeasures(data);
  const start = origin + fit.start;
  const away = limit - start;
  const parts = sums.map((s, p): WearPart => {
    // best linear unbiased prediction: mean slope plus the part's share of its residual
    const residual = s.ay - fit.start * s.a - fit.slope * s.aa;
    const slope = fit.slope + (ratio * residual) / (1 + ratio * s.aa);
    const reaches = slope !== 0 && away / slope > 0;
    return {slope, measures: s.n, ...last[p]!, pseudoLife: reaches ? away / slope : null};
  });
  const slopeError = Math.sqrt(fit.slopeVariance);
  const reach = twoSidedZ(level) * slopeError;
  const cautions: string[] = [];
  const never = parts.filter((part) => part.measures > 0 && part.pseudoLife === null).length;
  if (never > 0)
    cautions.push(
      `${never} of ${parts.filter((p) => p.measures > 0).length} parts do not move toward the limit; they have no pseudo-life.`,
    );
  if (best === -14)
    cautions.push("Parts do not differ in slope beyond the scatter of the measures; all are given the mean slope.");
  if (oldest < Math.abs(away / fit.slope) / 2)
    cautions.push("The limit lies more than twice as far as any part has been followed; the lines are extrapolated.");
  return {
    fitted: true,
    start,
    slope: fit.slope,
    slopeLimits: [fit.slope - reach, fit.slope + reach],
    slopeError,
    slopeSpread: Math.sqrt(ratio * fit.errorVariance),
    errorSpread: Math.sqrt(fit.errorVariance),
    logLikelihood: fit.logLikelihood,
    parts,
    limit,
    level,
    cautions,
  };
}

function lastMeasures({part, parts, age, measure}: WearMeasures): {lastAge: number; lastMeasure: number}[] {
  const last = Array.from({length: parts}, () => ({lastAge: -1, lastMeasure: 0}));
  for (let i = 0; i < age.length; i++) {
    if (age[i]! >= last[part[i]!]!.lastAge) last[part[i]!] = {lastAge: age[i]!, lastMeasure: measure[i]!};
  }
  return last.map((l) => (l.lastAge < 0 ? {lastAge: 0, lastMeasure: 0} : l));
}

/** Generalised least squares with V = I + ρ·a·aᵀ per part: V⁻¹ = I - ρ·a·aᵀ / (1 + ρ·Σa²). REML log-likelihood. */
function leastSquares(sums: readonly Sums[], ratio: number, n: number, fixed: 1 | 2) {
  let oo = 0;
  let oa = 0;
  let aa = 0;
  let oy = 0;
  let ay = 0;
  let yy = 0;
  let logV = 0;
  for (const s of sums) {
    if (s.n === 0) continue;
    const c = ratio / (1 + ratio * s.aa);
    logV += Math.log1p(ratio * s.aa);
    oo += s.n - c * s.a * s.a;
    oa += s.a - c * s.a * s.aa;
    aa += s.aa - c * s.aa * s.aa;
    oy += s.y - c * s.a * s.ay;
    ay += s.ay - c * s.aa * s.ay;
    yy += s.yy - c * s.ay * s.ay;
  }
  const determinant = fixed === 2 ? oo * aa - oa * oa : aa;
  const start = fixed === 2 ? (oy * aa - ay * oa) / determinant : 0;
  const slope = fixed === 2 ? (ay * oo - oy * oa) / determinant : ay / aa;
  const rest = Math.max(0, yy - start * oy - slope * ay);
  const freedom = n - fixed;
  const errorVariance = rest / freedom;
  const logLikelihood =
    -0.5 * (freedom * Math.log(2 * Math.PI * errorVariance) + logV + Math.log(determinant) + freedom);
  return {
    start,
    slope,
    errorVariance,
    logLikelihood,
    slopeVariance: (errorVariance * (fixed === 2 ? oo : 1)) / determinant,
  };
}

function peak(f: (x: number) => number, from: number, to: number): number {
  const g = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [from, to];
  for (let i = 0; i < 60 && b - a > 1e-9; i++) {
    const c = b - g * (b - a);
    const d = a + g * (b - a);
    if (f(c) > f(d)) b = d;
    else a = c;
  }
  return (a + b) / 2;
}

/**
 * Fraction of parts whose line has reached the limit by `age`: slopes are normal, so Φ((slope·age - away) / (spread·age))
 * toward the limit (Lu & Meeker, Technometrics 35 (1993) 161-174). With no spread it is a step.
 */
export function wornFraction({start, slope, slopeSpread, limit}: WearFit, age: number): number {
  if (!(age > 0)) return 0;
  const away = limit - start;
  const toward = Math.sign(away) * (slope * age - away);
  if (slopeSpread === 0) return toward >= 0 ? 1 : 0;
  return normalCdf(toward / (slopeSpread * age));
}
