/**
 * The risk that a part of a given history takes into a run: the cumulative hazard that the run adds, draw by draw.
 *
 * Ages are on the effective-age clock: with h_k hours in condition k, u / scale = Σ h_k / scale_k, and the hazard of wear
 * gathered from u to u + v is (u + v) ** shape − u ** shape, never a ratio of two survivals. Chance adds its rate.
 */
import type {SpentIn} from "./fittedParts.ts";
import type {PartModel} from "./partModels.ts";

export interface RunAhead {
  /** exposure of the run, in the settings' clock */
  readonly hours: number;
  readonly mud: string;
  readonly regime: string;
}

export interface PartHistory {
  readonly spent: readonly SpentIn[];
  /** hours whose mud and flow are not known: taken as the component's hours were spent on average */
  readonly unplaced: number;
}

export const NEW_PART: PartHistory = {spent: [], unplaced: 0};

/** One hazard a draw; null when the model has no such condition. */
export function hazardAhead(
  {use, model, chance}: PartModel,
  history: PartHistory,
  ahead: RunAhead,
): Float64Array | null {
  const {posterior, cellOf} = model;
  const hazard = chance.map((rate) => rate * ahead.hours);
  if (posterior === null) return hazard;
  const run = cellOf.get(`${ahead.mud} ${ahead.regime}`);
  if (run === undefined) return null;
  const spent = inCells(history, model.cellOf, use.conditions);
  for (let d = 0; d < posterior.count; d++) {
    const row = d * posterior.cells;
    let before = 0;
    for (const [cell, hours] of spent) before += hours / posterior.scale[row + cell]!;
    const added = ahead.hours / posterior.scale[row + run]!;
    hazard[d]! += addedHazard(before, added, posterior.shape[d]!);
  }
  return hazard;
}

/** The hazard of several stretches after a history, one a draw; hours in a condition the model does not hold count as the average. */
export function hazardOver(
  {use, model, chance}: PartModel,
  history: PartHistory,
  came: readonly SpentIn[],
): Float64Array {
  const hours = came.reduce((sum, stretch) => sum + stretch.hours, 0);
  const hazard = chance.map((rate) => rate * hours);
  const {posterior} = model;
  if (posterior === null) return hazard;
  const spent = inCells(history, model.cellOf, use.conditions);
  const added = inCells({spent: came, unplaced: 0}, model.cellOf, use.conditions);
  for (let d = 0; d < posterior.count; d++) {
    const row = d * posterior.cells;
    let u = 0;
    let v = 0;
    for (const [cell, time] of spent) u += time / posterior.scale[row + cell]!;
    for (const [cell, time] of added) v += time / posterior.scale[row + cell]!;
    hazard[d]! += addedHazard(u, v, posterior.shape[d]!);
  }
  return hazard;
}

/** (u + v) ** shape − u ** shape, in scales; accurate when v is small beside u. */
export function addedHazard(u: number, v: number, shape: number): number {
  return u > 0 ? u ** shape * Math.expm1(shape * Math.log1p(v / u)) : v ** shape;
}

/** Age of a part in hours of one condition, at the likeliest parameters; null without a wear-out model or condition. */
export function equivalentAge({use, model}: PartModel, history: PartHistory, ahead: RunAhead): number | null {
  const run = model.cellOf.get(`${ahead.mud} ${ahead.regime}`);
  if (model.posterior === null || run === undefined) return null;
  const {scale} = model.posterior.likeliest;
  let age = 0;
  for (const [cell, hours] of inCells(history, model.cellOf, use.conditions))
    age += (hours / scale[cell]!) * scale[run]!;
  return age;
}

/** The greatest such age that any part of the log reached. */
export function oldestIn({model}: PartModel, ahead: RunAhead): number {
  const run = model.cellOf.get(`${ahead.mud} ${ahead.regime}`);
  return run === undefined || model.posterior === null
    ? model.oldest
    : model.oldest / Math.exp(model.posterior.speed[run]!);
}

/** Hours of a history by cell of the model; those of an unknown condition are spread as the component's own were. */
function inCells(
  {spent, unplaced}: PartHistory,
  cellOf: ReadonlyMap<string, number>,
  conditions: ReadonlyMap<string, {readonly exposure: number}>,
): Map<number, number> {
  const cells = new Map<number, number>();
  const add = (cell: number, hours: number): void => void cells.set(cell, (cells.get(cell) ?? 0) + hours);
  let unknown = unplaced;
  for (const {mud, regime, hours} of spent) {
    const cell = cellOf.get(`${mud} ${regime}`);
    if (cell === undefined) unknown += hours;
    else add(cell, hours);
  }
  if (unknown > 0) {
    const known = [...conditions].filter(([key]) => cellOf.has(key));
    const total = known.reduce((sum, [, {exposure}]) => sum + exposure, 0);
    for (const [key, {exposure}] of known) add(cellOf.get(key)!, (unknown * exposure) / total);
  }
  return cells;
}
