/**
 * Standard normal distribution, full precision in both tails.
 *
 * The tails come from the scaled complementary error function exp(x²)·erfc(x) by the rational
 * Chebyshev approximations of W. J. Cody, Math. Comp. 23 (1969) 631-637 (relative error below 1e-15),
 * so that hazards and log-survivals stay exact where the survival itself underflows.
 */
import erfcinv from "@stdlib/math-base-special-erfcinv";

const NEAR = [3.1611237438705656, 113.864154151050156, 377.485237685302021, 3209.37758913846947, 0.185777706184603153];
const NEAR_Q = [23.6012909523441209, 244.024637934444173, 1282.61652607737228, 2844.23683343917062];
const MID = [
  0.564188496988670089, 8.88314979438837594, 66.1191906371416295, 298.635138197400131, 881.95222124176909,
  1712.04761263407058, 2051.07837782607147, 1230.33935479799725, 2.15311535474403846e-8,
];
const MID_Q = [
  15.7449261107098347, 117.693950891312499, 537.181101862009858, 1621.38957456669019, 3290.79923573345963,
  4362.61909014324716, 3439.36767414372164, 1230.33935480374942,
];
const FAR = [
  0.305326634961232344, 0.360344899949804439, 0.125781726111229246, 0.0160837851487422766, 6.58749161529837803e-4,
  0.0163153871373020978,
];
const FAR_Q = [
  2.56852019228982242, 1.87295284992346725, 0.527905102951428412, 0.0605183413124413191, 0.00233520497626869185,
];

const LOG_ROOT_2PI = 0.91893853320467274178;
const INVERSE_ROOT_PI = 0.56418958354775628695;

/** exp(x²)·erfc(x) for x >= 0. */
function scaledErfc(x: number): number {
  if (x <= 0.46875) {
    const y = x * x;
    let top = NEAR[4]! * y;
    let bottom = y;
    for (let i = 0; i < 3; i++) {
      top = (top + NEAR[i]!) * y;
      bottom = (bottom + NEAR_Q[i]!) * y;
    }
    return Math.exp(y) * (1 - (x * (top + NEAR[3]!)) / (bottom + NEAR_Q[3]!));
  }
  if (x <= 4) {
    let top = MID[8]! * x;
    let bottom = x;
    for (let i = 0; i < 7; i++) {
      top = (top + MID[i]!) * x;
      bottom = (bottom + MID_Q[i]!) * x;
    }
    return (top + MID[7]!) / (bottom + MID_Q[7]!);
  }
  const y = 1 / (x * x);
  let top = FAR[5]! * y;
  let bottom = y;
  for (let i = 0; i < 4; i++) {
    top = (top + FAR[i]!) * y;
    bottom = (bottom + FAR_Q[i]!) * y;
  }
  return (INVERSE_ROOT_PI - (y * (top + FAR[4]!)) / (bottom + FAR_Q[4]!)) / x;
}

/** Φ(-z): the chance that a standard normal exceeds `z`; keeps its relative precision down to 1e-308. */
export function normalSurvival(z: number): number {
  if (Number.isNaN(z)) return NaN;
  if (z < 0) return 1 - normalSurvival(-z);
  return 0.5 * Math.exp(-0.5 * z * z) * scaledErfc(z * Math.SQRT1_2);
}

/** Φ(z). */
export function normalCdf(z: number): number {
  return normalSurvival(-z);
}

/** log Φ(-z), finite for every finite `z`. */
export function logNormalSurvival(z: number): number {
  if (z < -1) return Math.log1p(-normalSurvival(-z));
  if (z < 0) return Math.log(normalSurvival(z));
  return Math.log(0.5 * scaledErfc(z * Math.SQRT1_2)) - 0.5 * z * z;
}

/** Log of the standard normal density. */
export function logNormalDensity(z: number): number {
  return -0.5 * z * z - LOG_ROOT_2PI;
}

/** φ(z) / Φ(-z), the hazard of a standard normal; tends to `z` from above as z grows, to 0 as z falls. */
export function normalHazard(z: number): number {
  if (z < 0) return Math.exp(logNormalDensity(z)) / normalSurvival(z);
  return 0.79788456080286535588 / scaledErfc(z * Math.SQRT1_2);
}

/**
 * Quantile of the standard normal.
 *
 * @param p probability in [0, 1]; 0 and 1 give -Infinity and Infinity, outside gives NaN. A probability close to 1
 * should be given by its complement, -normalQuantile(1 - p), where that is known exactly.
 * @example normalQuantile(0.975) // ≈ 1.959964
 */
export function normalQuantile(p: number): number {
  return -Math.SQRT2 * erfcinv(2 * p);
}
