import type {ConditionData} from "./conditionData.ts";
import {fitLife} from "./fitLife.ts";
import type {ConditionFit} from "./fitConditions.ts";
import {selectLives} from "./lifeData.ts";
import {poissonLimits} from "./poissonLimits.ts";
import type {FitOutcome, Weibull} from "./types.ts";

/** The condition model beside what the lives of one cell say by themselves. */
export interface CellCheck {
  readonly cell: number;
  /** lives that spent at least `share` of their exposure in the cell, and failures among them, weighted */
  readonly lives: number;
  readonly failures: number;
  /** failures the model expects of these lives, given how long each was under observation */
  readonly expected: number;
  /** exact Poisson limits of failures over expected; null when nothing is expected */
  readonly ratioLimits: readonly [number, number] | null;
  /** their own Weibull fit by age, or why there is none */
  readonly own: FitOutcome;
  readonly predicted: Weibull;
}

/**
 * Check of fitConditions cell by cell: expected against found failures, and a separate fit beside the predicted life.
 *
 * Expected are cumulative hazards gained (martingale residuals: Therneau, Grambsch & Fleming, Biometrika 77 (1990)
 * 147-160); a failure known only to lie between two looks counts its expectation given that, 1 - D/(e^D - 1) with D the hazard
 * gained between them, so that found less expected is the score of the cell's rate and is 0 over all cells together.
 */
export function cellChecks(
  data: ConditionData,
  fit: ConditionFit,
  {share = 0.8, level = fit.level}: {readonly share?: number; readonly level?: number} = {},
): CellCheck[] {
  const {cells, lower, upper, entry, weight} = data;
  const rows: number[][] = Array.from({length: cells}, () => []);
  for (let i = 0; i < lower.length; i++) {
    const home = homeCell(data, i, share);
    if (home >= 0 && weight[i]! > 0) rows[home]!.push(i);
  }
  const speed = fit.cells.map(({weibull}) => fit.scale / weibull.scale);
  const hazardAt = (block: Float64Array, i: number): number => {
    let u = 0;
    for (let c = 0; c < cells; c++) u += block[i * cells + c]! * speed[c]!;
    return (u / fit.scale) ** fit.shape;
  };
  return rows.map((own, cell) => {
    let lives = 0;
    let failures = 0;
    let expected = 0;
    for (const i of own) {
      const low = hazardAt(data.atLower, i);
      const gained = low - (entry[i]! > 0 ? hazardAt(data.atEntry, i) : 0);
      lives += weight[i]!;
      expected += weight[i]! * gained;
      if (upper[i] === Infinity) continue;
      failures += weight[i]!;
      if (upper[i]! > lower[i]!) {
        const between = hazardAt(data.atUpper, i) - low;
        expected += weight[i]! * (between > 0 ? 1 - between / Math.expm1(between) : 0);
      }
    }
    const [from, to] = poissonLimits(failures, level);
    return {
      cell,
      lives,
      failures,
      expected,
      ratioLimits: expected > 0 ? [from / expected, to / expected] : null,
      own: fitLife(selectLives(data, own)),
      predicted: fit.cells[cell]!.weibull,
    };
  });
}

/** The cell in which a life spent at least `share` of its exposure, else -1. */
function homeCell({cells, upper, atLower, atUpper}: ConditionData, i: number, share: number): number {
  const block = upper[i]! < Infinity ? atUpper : atLower;
  let total = 0;
  let best = 0;
  for (let c = 0; c < cells; c++) {
    total += block[i * cells + c]!;
    if (block[i * cells + c]! > block[i * cells + best]!) best = c;
  }
  return total > 0 && block[i * cells + best]! >= share * total ? best : -1;
}
