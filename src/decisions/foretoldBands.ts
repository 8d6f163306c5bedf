/** Foretold and seen, band by band of what was foretold for the next run. */
import {poissonLimits} from "../statistics/index.ts";
import type {Foretold} from "./foretold.ts";

export interface ForetoldBand {
  /** chances foretold from `from` up to `to` */
  readonly from: number;
  readonly to: number;
  readonly parts: number;
  /** mean chance foretold to come through the next run */
  readonly foretold: number;
  /** failures foretold for the exposure that came, and seen */
  readonly expected: number;
  readonly failures: number;
  /** seen over foretold, with exact limits; null where none was foretold */
  readonly ratio: number | null;
  readonly ratioLimits: readonly [number, number] | null;
  /** the chance that would have foretold what was seen, with limits */
  readonly seen: number | null;
  readonly seenLimits: readonly [number, number] | null;
  /** rows of the life table behind `parts`, those that failed first; a part that was followed twice stands twice */
  readonly lives: readonly number[];
}

export const BAND_FROM: readonly number[] = [0, 0.8, 0.9, 0.95, 0.98, 0.99];

export function foretoldBands(found: Foretold, level: number, edges: readonly number[] = BAND_FROM): ForetoldBand[] {
  return edges.map((from, b) => bandOf(found, level, from, edges[b + 1] ?? 1)).filter(({parts}) => parts > 0);
}

/** All bands together. */
export const foretoldInAll = (found: Foretold, level: number): ForetoldBand => bandOf(found, level, 0, 1);

function bandOf({life, survival, expected, seen}: Foretold, level: number, from: number, to: number): ForetoldBand {
  let parts = 0;
  let foretold = 0;
  let foreseen = 0;
  let failures = 0;
  const [failed, held]: [number[], number[]] = [[], []];
  survival.forEach((chance, i) => {
    if (!(chance >= from && (chance < to || to === 1))) return;
    parts += 1;
    foretold += chance;
    foreseen += expected[i]!;
    failures += seen[i]!;
    (seen[i]! > 0 ? failed : held).push(life[i]!);
  });
  const lives = [...failed, ...held];
  const mean = parts === 0 ? 1 : foretold / parts;
  if (!(foreseen > 0))
    return {
      from,
      to,
      parts,
      foretold: mean,
      expected: foreseen,
      failures,
      ratio: null,
      ratioLimits: null,
      seen: null,
      seenLimits: null,
      lives,
    };
  const [low, high] = poissonLimits(failures, level);
  const ratioLimits = [low / foreseen, high / foreseen] as const;
  // hazards scale: the chance that would have foretold so many failures
  const as = (ratio: number): number => mean ** ratio;
  return {
    from,
    to,
    parts,
    foretold: mean,
    expected: foreseen,
    failures,
    ratio: failures / foreseen,
    ratioLimits,
    seen: as(failures / foreseen),
    seenLimits: [as(ratioLimits[1]), as(ratioLimits[0])],
    lives,
  };
}
