/** How often a shop's rebuilds end in a fault made at the bench, and how often parts are struck by chance: base rates. */
import {wordAt} from "../../../shared/columnar.ts";
import {FAILURE_CLASSES} from "../../lives/index.ts";
import {poissonLimits, rateLimits} from "../../statistics/index.ts";
import type {CellInputs} from "../contract.ts";
import {failuresInView} from "../inView.ts";

const DAY = 86_400_000;

export interface BaseRate {
  readonly count: number;
  /** rebuilds, or exposure */
  readonly of: number;
  readonly limits: readonly [number, number];
}

/**
 * Failures put down to the bench that ended a run, against the rebuilds of the same shop; of every shop where the log names
 * none. Rebuilds are days on which rows of one tool were written. Limits are exact Poisson limits per 100 rebuilds.
 */
export function benchRate(inputs: CellInputs, shop: string | null): BaseRate | null {
  const {rebuilds, failures, all, settings} = inputs;
  const {tool, date, shop: shops} = rebuilds.columns;
  const code = shop === null ? -1 : shops.words.indexOf(shop);
  const visits = new Set<string>();
  for (let row = 0; row < rebuilds.rows; row++) {
    if (shop !== null && shops.codes[row] !== code) continue;
    if (Number.isFinite(date[row]!)) visits.add(`${tool.codes[row]!} ${Math.floor(date[row]! / DAY)}`);
  }
  if (visits.size === 0) return null;
  let count = 0;
  for (let row = 0; row < failures.rows; row++) {
    const what = FAILURE_CLASSES[failures.failureClass[row]!];
    if (failures.serviceInduced[row] !== 1 || (what !== "F1" && what !== "F2")) continue;
    const life = failures.life[row]!;
    const by = life >= 0 ? wordAt(all.shop, life) : null;
    if (shop === null || by === shop) count++;
  }
  const [lower, upper] = poissonLimits(count, settings.level);
  return {count, of: visits.size, limits: [(lower / visits.size) * 100, (upper / visits.size) * 100]};
}

/** Failures of a component by one mode per 1,000 of the clock, over the exposure of its lives in view. */
export function modeRate(inputs: CellInputs, component: string, mode: string, exposure: number): BaseRate | null {
  if (!(exposure > 0)) return null;
  const {failures, settings} = inputs;
  let count = 0;
  for (const row of failuresInView({failures, where: {...inputs.where, component: [], mud: [], regime: []}}))
    if (wordAt(failures.component, row) === component && wordAt(failures.mode, row) === mode) count++;
  const [lower, upper] = rateLimits({count, exposure}, settings.level);
  return {count, of: exposure, limits: [lower * 1000, upper * 1000]};
}
