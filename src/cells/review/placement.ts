/**
 * A part on its life model: how many such parts would have failed by wear at that age in that service, and what the risk of
 * the run was when it began.
 *
 * The model is the one behind the interval sheet (decisions/componentModel.ts): with hours h_k spent in condition k, a draw
 * of the parameters with shape β and scale η_k gives the cumulative hazard H = (Σ h_k / η_k)^β; the fraction failed by wear
 * is 1 − exp(−H). The chance of failing in the run, given that the part was good when it began, is
 * 1 − exp(−(H_end − H_start) − λ·t), with chance failures at the rate λ over its t hours. Limits are order statistics of the
 * draws; the estimates are at the likeliest parameters.
 */
import {wordAt} from "../../../shared/columnar.ts";
import {drawLimits, type ComponentModel} from "../../decisions/index.ts";
import type {LifeTable} from "../../lives/index.ts";
import type {Limits} from "../../statistics/index.ts";
import type {CurvePoint} from "../../charts/chart.ts";

export interface Share {
  readonly estimate: number;
  readonly limits: Limits;
}

export interface Placement {
  /** fraction failed by wear by the age at which the part stands */
  readonly failedBy: Share;
  /** the same where the age is only known to lie between two: at the lower of them; null where it is known */
  readonly failedByLower: Share | null;
  /** chance of failing in the run, by wear or by chance, given that the part was good when it began */
  readonly inRun: Share;
  /** age told in hours of the run's own condition, by the likeliest pace of every condition it saw */
  readonly equivalent: number;
  readonly equivalentLower: number;
  readonly equivalentBefore: number;
  readonly mud: string;
  readonly regime: string;
  readonly failures: number;
  readonly lives: number;
}

export type NoPlacement = {readonly sentence: string};

/** A part of the life table up to the end of a run. */
export interface PlacedPart {
  readonly life: number;
  /** stretch of the run */
  readonly stretch: number;
  /** lowest age at which it may have failed; null where the age is known */
  readonly lower: number | null;
}

export function placePart(
  model: ComponentModel | null,
  lives: LifeTable,
  part: PlacedPart,
  level: number,
): Placement | NoPlacement {
  if (model === null) return {sentence: "no life of such a part is in view"};
  const {posterior, cellOf, chanceRate, chanceDraws, data} = model;
  if (posterior === null) return {sentence: model.noFit ?? "no life model could be had"};
  const {mud, regime} = conditionAt(lives, part.stretch);
  const here = cellOf.get(`${mud} ${regime}`);
  const {life, stretch} = part;
  const first = lives.exposure.offsets[life]!;
  const end = hoursIn(lives, cellOf, posterior.cells, {life, to: stretch + 1});
  const before = hoursIn(lives, cellOf, posterior.cells, {life, to: stretch});
  if (end === null || before === null || here === undefined)
    return {sentence: "it ran in a mud and flow that no life in view has seen"};
  const {hours} = lives.exposure;
  const inRun = hours[stretch]!;
  const lowerAge = part.lower;
  let lower: Float64Array | null = null;
  if (lowerAge !== null) {
    lower = before.slice();
    let age = lives.entry[life]!;
    for (let s = first; s < stretch; s++) age += hours[s]!;
    lower[here]! += Math.max(0, lowerAge - age);
    if (lowerAge < age) lower = scaled(before, lowerAge / age);
  }
  const cells = posterior.cells;
  const hazard = (spent: Float64Array, draw: number): number => {
    let sum = 0;
    for (let k = 0; k < cells; k++) if (spent[k]! > 0) sum += spent[k]! / posterior.scale[draw * cells + k]!;
    return sum ** posterior.shape[draw]!;
  };
  const likeliest = (spent: Float64Array): number => {
    let sum = 0;
    for (let k = 0; k < cells; k++) if (spent[k]! > 0) sum += spent[k]! / posterior.likeliest.scale[k]!;
    return sum ** posterior.likeliest.shape;
  };
  const shareOf = (at: number, of: (draw: number) => number): Share => ({
    estimate: -Math.expm1(-at),
    limits: drawLimits(
      Float64Array.from({length: posterior.count}, (_, d) => -Math.expm1(-of(d))),
      level,
    ),
  });
  const failedBy = (spent: Float64Array): Share => shareOf(likeliest(spent), (d) => hazard(spent, d));
  const equivalent = (spent: Float64Array): number => {
    let sum = 0;
    for (let k = 0; k < cells; k++)
      if (spent[k]! > 0) sum += spent[k]! * Math.exp(posterior.speed[k]! - posterior.speed[here]!);
    return sum;
  };
  return {
    failedBy: failedBy(end),
    failedByLower: lower === null ? null : failedBy(lower),
    inRun: shareOf(
      likeliest(end) - likeliest(before) + chanceRate * inRun,
      (d) => hazard(end, d) - hazard(before, d) + chanceDraws[d]! * inRun,
    ),
    equivalent: equivalent(end),
    equivalentLower: equivalent(lower ?? end),
    equivalentBefore: equivalent(before),
    mud,
    regime,
    failures: model.failures,
    lives: data.lower.length,
  };
}

/** Fraction failed by wear against hours in one condition, with limits. */
export function wearCurve(model: ComponentModel, condition: string, to: number, level: number): CurvePoint[] {
  const {posterior, cellOf} = model;
  const cell = cellOf.get(condition);
  if (posterior === null || cell === undefined || !(to > 0)) return [];
  const points = 40;
  return Array.from({length: points + 1}, (_, i) => {
    const age = (to * i) / points;
    const [lower, upper] = drawLimits(
      Float64Array.from(
        {length: posterior.count},
        (_, d) => -Math.expm1(-((age / posterior.scale[d * posterior.cells + cell]!) ** posterior.shape[d]!)),
      ),
      level,
    );
    const {shape, scale} = posterior.likeliest;
    return {age, estimate: -Math.expm1(-((age / scale[cell]!) ** shape)), lower, upper};
  });
}

/** Age of a life at its end told in hours of one condition; NaN where the model does not know what it saw. */
export function equivalentAge(
  {posterior, cellOf}: ComponentModel,
  lives: LifeTable,
  life: number,
  condition: string,
): number {
  const here = cellOf.get(condition);
  if (posterior === null || here === undefined) return NaN;
  const spent = hoursIn(lives, cellOf, posterior.cells, {life, to: lives.exposure.offsets[life + 1]!});
  if (spent === null) return NaN;
  let sum = 0;
  for (let k = 0; k < spent.length; k++)
    if (spent[k]! > 0) sum += spent[k]! * Math.exp(posterior.speed[k]! - posterior.speed[here]!);
  return sum;
}

export function conditionAt({exposure: {mud, regime, muds, regimes}}: LifeTable, stretch: number) {
  return {mud: muds[mud[stretch]!] ?? "UNK", regime: regimes[regime[stretch]!] ?? "unknown"};
}

/**
 * Hours in each cell of the model up to a stretch; hours that a part came with are spread as those it has logged, as the
 * model itself takes them. Null where it saw a condition that the model does not hold, or nothing is logged of a used part.
 */
function hoursIn(
  lives: LifeTable,
  cellOf: ReadonlyMap<string, number>,
  cells: number,
  {life, to}: {readonly life: number; readonly to: number},
): Float64Array | null {
  const {offsets, hours} = lives.exposure;
  const spent = new Float64Array(cells);
  const whole = new Float64Array(cells);
  let logged = 0;
  for (let s = offsets[life]!; s < offsets[life + 1]!; s++) {
    if (!(hours[s]! > 0)) continue;
    const {mud, regime} = conditionAt(lives, s);
    const cell = cellOf.get(`${mud} ${regime}`);
    if (cell === undefined) return null;
    if (s < to) spent[cell]! += hours[s]!;
    whole[cell]! += hours[s]!;
    logged += hours[s]!;
  }
  const entry = lives.entry[life]!;
  if (entry > 0) {
    if (!(logged > 0)) return null;
    for (let k = 0; k < cells; k++) spent[k]! += (entry * whole[k]!) / logged;
  }
  return spent;
}

const scaled = (spent: Float64Array, by: number): Float64Array => spent.map((hours) => hours * by);

/** The life's name in a sentence: serial, or lot, or nothing. */
export function partName(lives: LifeTable, life: number): string {
  const serial = wordAt(lives.partSerial, life);
  const lot = wordAt(lives.lot, life);
  return serial !== null ? `serial ${serial}` : lot !== null ? `lot ${lot}` : "";
}
