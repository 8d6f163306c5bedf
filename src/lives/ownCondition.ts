/** The condition a life counts under, from the stretches of its exposure. */

/** Share of its exposure that a life must have seen in one condition to count under it. */
export const OWN_SHARE = 0.8;

export const MIXED = "mixed";

export interface Stretches {
  readonly offsets: Int32Array;
  readonly hours: Float64Array;
  readonly mud: Int32Array;
  readonly regime: Int32Array;
  readonly muds: readonly string[];
  readonly regimes: readonly string[];
}

/**
 * Codes of each life's own mud and regime, into `muds` and `regimes` with `mixed` behind them.
 *
 * The mud is the one with at least 80 % of the exposure; the regime the one that has 80 % together with that mud. A life
 * without exposure has neither and counts as mixed.
 */
export function ownConditions(lives: number, stretches: Stretches): {mud: Int32Array; regime: Int32Array} {
  const {offsets, hours, mud, regime, muds, regimes} = stretches;
  const ownMud = new Int32Array(lives).fill(muds.length);
  const ownRegime = new Int32Array(lives).fill(regimes.length);
  const byMud = new Float64Array(muds.length);
  const byBoth = new Float64Array(muds.length * regimes.length);
  for (let life = 0; life < lives; life++) {
    const from = offsets[life]!;
    const to = offsets[life + 1]!;
    let total = 0;
    for (let i = from; i < to; i++) {
      total += hours[i]!;
      byMud[mud[i]!]! += hours[i]!;
      byBoth[mud[i]! * regimes.length + regime[i]!]! += hours[i]!;
    }
    if (total > 0) {
      // sums of tenths may miss 80 % by a rounding error
      const enough = OWN_SHARE * total * (1 - 1e-9);
      for (let i = from; i < to; i++) {
        if (byMud[mud[i]!]! >= enough) ownMud[life] = mud[i]!;
        if (byBoth[mud[i]! * regimes.length + regime[i]!]! >= enough) ownRegime[life] = regime[i]!;
      }
    }
    for (let i = from; i < to; i++) byMud[mud[i]!] = byBoth[mud[i]! * regimes.length + regime[i]!] = 0;
  }
  return {mud: ownMud, regime: ownRegime};
}
