/**
 * The share of a component's failures that end a run, from the log.
 *
 * A few failures say little about a share, so it is drawn toward the share among all components' failures, as if that
 * many failures more had been seen with it: (ended + strength · overall) / (all + strength). The overall share itself
 * starts from one failure of each kind. A failure of a component seldom seen then costs about what failures cost here.
 */

/** How many failures the shop's overall share counts for: with as many of its own, a component is half its own. */
const STRENGTH = 4;

export interface EndedCounts {
  /** failures that ended a run, and all failures, teardown findings included */
  readonly ended: number;
  readonly all: number;
}

/** Share for every component named, in [0, 1] and never exactly 0 or 1. */
export function endsRunShares(counts: Readonly<Record<string, EndedCounts>>): Readonly<Record<string, number>> {
  let ended = 0;
  let all = 0;
  for (const one of Object.values(counts)) {
    ended += one.ended;
    all += one.all;
  }
  const overall = (ended + 1) / (all + 2);
  return Object.fromEntries(
    Object.entries(counts).map(([code, one]) => [code, (one.ended + STRENGTH * overall) / (one.all + STRENGTH)]),
  );
}
