/** What keeping a part in service costs, in the settings' currency. */

export interface RenewalCosts {
  /** renewing the part at a rebuild while it is good */
  readonly planned: number;
  /** a failure in service that ends the run, everything included */
  readonly failure: number;
  /** a failure only found at teardown, besides the planned renewal */
  readonly found: number;
}

/**
 * What one failure costs on average, when a share of them ends the run and the rest waits for the teardown.
 *
 * @param endsRun share of failures that end the run, in [0, 1]; NaN outside
 */
export function meanFailureCost({planned, failure, found}: RenewalCosts, endsRun: number): number {
  if (!(endsRun >= 0 && endsRun <= 1)) return NaN;
  return endsRun * failure + (1 - endsRun) * (planned + found);
}
