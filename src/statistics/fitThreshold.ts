/**
 * Three-parameter Weibull: no failure before a threshold age, Weibull beyond it. Fitted by profile: for each threshold the
 * other two parameters are the two-parameter fit of the ages beyond it.
 *
 * The likelihood of exact ages is unbounded as the threshold reaches the first failure with a shape below 1 (Smith,
 * Biometrika 72 (1985) 67-90), so the maximum sought is the one with shape >= 1; that is the usual local maximum. A threshold
 * is a strong claim (no part can fail before it) that few lives can carry, which the caution says.
 */
import {likelihoodDrop, requireLevel, chiSquareSurvival} from "./gammaFunctions.ts";
import {fitLife} from "./fitLife.ts";
import type {LifeData, LifeFit, Limits, NoFit, Weibull} from "./types.ts";

export interface ThresholdFit {
  readonly fitted: true;
  readonly threshold: number;
  /** life beyond the threshold */
  readonly weibull: Weibull;
  readonly logLikelihood: number;
  readonly aicc: number;
  readonly thresholdLimits: Limits;
  /** false where the likelihood only rises toward the first failure, so that no maximum inside exists */
  readonly regular: boolean;
  readonly level: number;
  /** the two-parameter fit, and the chance of so much better a fit when the threshold is 0 (half a chi-square) */
  readonly without: LifeFit;
  readonly p: number;
  readonly profile: readonly {readonly threshold: number; readonly logLikelihood: number; readonly shape: number}[];
  readonly cautions: readonly string[];
}

/** Ages less a threshold; what lies before it says nothing. */
function beyond(data: LifeData, threshold: number): LifeData {
  const less = (age: number): number => Math.max(0, age - threshold);
  return {...data, lower: data.lower.map(less), upper: data.upper.map(less), entry: data.entry.map(less)};
}

/** Fits threshold, shape and scale; a NoFit when not even the two-parameter fit exists. */
export function fitThreshold(data: LifeData, {level = 0.9}: {readonly level?: number} = {}): ThresholdFit | NoFit {
  requireLevel(level, "fitThreshold");
  const without = fitLife(data);
  if (!without.fitted) return without;
  let first = Infinity;
  for (let i = 0; i < data.upper.length; i++) if (data.weight[i]! > 0) first = Math.min(first, data.upper[i]!);

  const at = (threshold: number): {logLikelihood: number; shape: number; scale: number} => {
    if (threshold === 0) return {logLikelihood: without.logLikelihood, shape: without.shape!, scale: without.scale!};
    const fit = fitLife(beyond(data, threshold));
    if (!fit.fitted) return {logLikelihood: -Infinity, shape: NaN, scale: NaN};
    if (fit.shape! >= 1) return {logLikelihood: fit.logLikelihood, shape: fit.shape!, scale: fit.scale!};
    const held = fitLife(beyond(data, threshold), {family: "exponential"});
    if (!held.fitted) return {logLikelihood: -Infinity, shape: NaN, scale: NaN};
    return {logLikelihood: held.logLikelihood, shape: 1, scale: held.scale!};
  };

  // thresholds closer together toward the first failure, where the profile turns
  const grid = Array.from({length: 41}, (_, i) => (i === 40 ? first * (1 - 1e-6) : first * (1 - (1 - i / 40) ** 2)));
  const profile = grid.map((threshold) => ({threshold, ...at(threshold)})).filter((p) => p.logLikelihood > -Infinity);
  let best = profile.reduce((a, b) => (b.logLikelihood > a.logLikelihood ? b : a));
  const index = profile.indexOf(best);
  if (index > 0 && index < profile.length - 1) {
    const inside = peak((t) => at(t).logLikelihood, profile[index - 1]!.threshold, profile[index + 1]!.threshold);
    const there = {threshold: inside, ...at(inside)};
    if (there.logLikelihood > best.logLikelihood) best = there;
  }

  const floor = best.logLikelihood - likelihoodDrop(level) / 2;
  const crossing = (inside: number, outside: number): number => {
    let [a, b] = [inside, outside];
    for (let i = 0; i < 60 && Math.abs(b - a) > 1e-10 * first; i++) {
      const middle = (a + b) / 2;
      if (at(middle).logLikelihood >= floor) a = middle;
      else b = middle;
    }
    return (a + b) / 2;
  };
  const lastBelow = profile.filter((p) => p.threshold < best.threshold && p.logLikelihood < floor).at(-1);
  const firstAbove = profile.find((p) => p.threshold > best.threshold && p.logLikelihood < floor);
  const nearest = (ahead: boolean, edge: number): number => {
    const between = profile.filter((p) =>
      ahead ? p.threshold > best.threshold && p.threshold < edge : p.threshold < best.threshold && p.threshold > edge,
    );
    return (ahead ? between.at(-1) : between[0])?.threshold ?? best.threshold;
  };
  const limits: Limits = [
    lastBelow ? crossing(nearest(false, lastBelow.threshold), lastBelow.threshold) : 0,
    firstAbove ? crossing(nearest(true, firstAbove.threshold), firstAbove.threshold) : first,
  ];

  const ratio = Math.max(0, 2 * (best.logLikelihood - without.logLikelihood));
  const spare = without.lives - 4;
  const cautions = ["A threshold claims that no part can fail before it; use it only where the mechanism says so."];
  if (limits[0] === 0) cautions.push("The lives do not show a threshold above 0.");
  const regular = best.shape > 1 && best.threshold < first * (1 - 1e-5);
  if (!regular) {
    cautions.push(
      "The likelihood is highest with the threshold at the first failure, so there is no regular maximum; the figures describe that edge.",
    );
  }
  return {
    fitted: true,
    threshold: best.threshold,
    weibull: {shape: best.shape, scale: best.scale},
    logLikelihood: best.logLikelihood,
    aicc: spare > 0 ? -2 * best.logLikelihood + 6 + 24 / spare : Infinity,
    thresholdLimits: limits,
    regular,
    level,
    without,
    p: ratio === 0 ? 1 : chiSquareSurvival(ratio, 1) / 2,
    profile: profile.map(({threshold, logLikelihood, shape}) => ({threshold, logLikelihood, shape})),
    cautions,
  };
}

/** Golden-section search for a maximum. */
function peak(f: (x: number) => number, from: number, to: number): number {
  const g = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [from, to];
  let c = b - g * (b - a);
  let d = a + g * (b - a);
  let fc = f(c);
  let fd = f(d);
  for (let i = 0; i < 60 && b - a > 1e-11 * to; i++) {
    if (fc > fd) {
      [b, d, fd] = [d, c, fc];
      c = b - g * (b - a);
      fc = f(c);
    } else {
      [a, c, fc] = [c, d, fd];
      d = a + g * (b - a);
      fd = f(d);
    }
  }
  return (a + b) / 2;
}
