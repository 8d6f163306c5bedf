/**
 * Lower bound on a Weibull scale when nothing has failed and the shape is taken as known.
 *
 * With lives of ages t and no failure, (Σ t^shape / −ln(1 − confidence)) ** (1 / shape): the scale at which seeing no
 * failure would have had the chance 1 − confidence (Nelson, J. Quality Technology 17, 1985, 140–146; method from memory).
 */

/**
 * @param ages what each life reached without failing, >= 0
 * @param entries ages at which each life came under observation, which it had already survived; 0 when missing
 * @returns in the unit of the ages; 0 when no life has any exposure; NaN for a shape or confidence outside its domain
 */
export function zeroFailureScale(
  ages: ArrayLike<number>,
  shape: number,
  confidence: number,
  entries?: ArrayLike<number>,
): number {
  if (!(shape > 0 && confidence > 0 && confidence < 1)) return NaN;
  let largest = 0;
  for (let i = 0; i < ages.length; i++) largest = Math.max(largest, ages[i]!);
  if (largest === 0) return 0;
  // ages are taken in units of the largest, so that no power overflows
  let sum = 0;
  for (let i = 0; i < ages.length; i++) {
    sum += (ages[i]! / largest) ** shape - ((entries?.[i] ?? 0) / largest) ** shape;
  }
  return largest * (Math.max(sum, 0) / -Math.log1p(-confidence)) ** (1 / shape);
}
