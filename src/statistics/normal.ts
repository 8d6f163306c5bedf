/**
 * Standard normal distribution, full precision in both tails.
 *
 * The tails come from the scaled complementary error function exp(x²)·erfc(x) by the rational
 * Chebyshev approximations of W. J. Cody, Math. Comp. 23 (1969) 631-637 (relative error below 1e-15),
 * so that hazards and log-survivals stay exact where the survival itself underflows.
 */
import erfcinv from "@stdlib/math-base-special-erfcinv";

const NEAR = [3.1611237438705655, 113.86415415105016, 377.485237685302, 3209.3775891384694, 0.18577770618460315];
const NEAR_Q = [23.601290952344122, 244.02463793444417, 1282.6165260773723, 2844.236833439171];
const MID = [
  0.5641884969886701, 8.883149794388377, 66.11919063714163, 298.6351381974001, 881.952221241769, 1712.0476126340707,
  2051.0783778260716, 1230.3393547979972, 2.1531153547440383e-8,
];
const MID_Q = [
  15.744926110709835, 117.6939508913125, 537.1811018620099, 1621.3895745666903, 3290.7992357334597, 4362.619090143247,
  3439.3676741437216, 1230.3393548037495,
];
const FAR = [
  0.30532663496123236, 0.36034489994980445, 0.12578172611122926, 0.016083785148742275, 0.0006587491615298378,
  0.016315387137302097,
];
const FAR_Q = [2.568520192289822, 1.8729528499234673, 0.5279051029514285, 0.06051834131244132, 0.0023352049762686918];

const LOG_ROOT_2PI = 0.9189385332046728;
const INVERSE_ROOT_PI = 0.5641895835477563;

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
  return 0.7978845608028654 / scaledErfc(z * Math.SQRT1_2);
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
