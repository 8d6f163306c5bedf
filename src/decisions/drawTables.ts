/**
 * What a price needs of the lives of many parameter draws, tabulated on a grid of ages: row d, column i is draw d at i steps.
 *
 * Failures that wait for a teardown enter as two running sums, so that what waits past any threshold is a difference of
 * them: with w the failures that wait, step by step, Σ_{i<m} w_i and Σ_{i<m} w_i · (m − i − ½), the steps waited by m.
 */
import type {Weibull} from "../statistics/types.ts";
import {AgePowers} from "./agePowers.ts";
import {endsRunAt, type EndingChances} from "./endsRun.ts";
import {integrate} from "./integrate.ts";
import {Scratch} from "./Scratch.ts";

/** Equally likely parameter draws; the columns have one length. */
export interface LifeDraws {
  readonly shape: Float64Array;
  readonly scale: Float64Array;
  /** chance failures per unit of exposure */
  readonly chance: Float64Array;
  /** powers of whole numbers by `shape`, where several conditions share it */
  readonly powers?: AgePowers;
}

export interface DrawTables {
  readonly ages: number;
  readonly survival: Float64Array;
  /** failures by then that ended a run */
  readonly ended: Float64Array;
  /** failures by then that wait for a teardown */
  readonly waiting: Float64Array;
  /** steps they have waited by then, if none was found */
  readonly waited: Float64Array;
  /** integral of the survival by then, and the exposure waited: how long a part has been in the tool if nobody looked */
  readonly stayed: Float64Array;
  /** integral of the survival to infinity, one a draw */
  readonly mean: Float64Array;
}

/**
 * @param grid exposure between two ages, and how many ages
 * @param scratch where the tables are kept: the next ones made there write over them
 */
export function drawTables(
  draws: LifeDraws,
  {step, ages}: {readonly step: number; readonly ages: number},
  endsRun: EndingChances,
  scratch = new Scratch(),
): DrawTables {
  const count = draws.shape.length;
  const column = (name: string): Float64Array => scratch.array(name, count * ages);
  const survival = column("survival");
  const ended = column("ended");
  const waiting = column("waiting");
  const waited = column("waited");
  const stayed = column("stayed");
  const mean = scratch.array("mean", count);
  const share = Float64Array.from({length: ages}, (_, i) => endsRunAt(endsRun.wear, (i + 0.5) * step));
  const powers = (draws.powers ?? new AgePowers(draws.shape)).upTo(ages);
  for (let d = 0; d < count; d++) {
    const shape = draws.shape[d]!;
    const scale = draws.scale[d]!;
    const byChance = draws.chance[d]! * step;
    const unit = Math.exp(shape * Math.log(step / scale));
    const row = d * ages;
    const power = d * powers.width;
    survival[row] = 1;
    ended[row] = waiting[row] = waited[row] = stayed[row] = 0;
    let before = 1;
    let sum = 0;
    let wornBefore = 0;
    let broke = 0;
    let waits = 0;
    let steps = 0;
    for (let i = 1; i < ages; i++) {
      const worn = unit * powers.table[power + i]!;
      const s = Math.exp(-worn - byChance * i);
      const failed = before - s;
      // failures of a step are shared between wear and chance as their hazards are
      const part = byChance === 0 ? 0 : byChance / (worn - wornBefore + byChance);
      const ends = failed * (part * endsRun.chance + (1 - part) * share[i - 1]!);
      sum += (before + s) * step * 0.5;
      broke += ends;
      steps += waits + 0.5 * (failed - ends);
      waits += failed - ends;
      survival[row + i] = s;
      ended[row + i] = broke;
      waiting[row + i] = waits;
      waited[row + i] = steps;
      stayed[row + i] = sum + step * steps;
      before = s;
      wornBefore = worn;
    }
    mean[d] = sum + tailAfter({shape, scale}, draws.chance[d]!, (ages - 1) * step);
  }
  return {ages, survival, ended, waiting, waited, stayed, mean};
}

/** Pieces of the tail end where so much hazard has been gathered; past the last, a millionth of a millionth is left. */
const PIECES = [0.2, 1.5, 18];

/** Integral of the survival from `age` on: what the grid does not reach. */
function tailAfter({shape, scale}: Weibull, chance: number, age: number): number {
  const logScale = Math.log(scale);
  const survival = (t: number): number => Math.exp(-Math.exp(shape * (Math.log(t) - logScale)) - chance * t);
  if (survival(age) < 1e-6) return 0;
  let sum = 0;
  let from = age;
  for (const hazard of PIECES) {
    const to = Math.min(scale * hazard ** (1 / shape), hazard / chance);
    if (!(to > from)) continue;
    sum += integrate(survival, from, to);
    from = to;
  }
  return sum;
}
