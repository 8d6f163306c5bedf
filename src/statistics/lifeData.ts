/**
 * The columns of lives, validated where they are made: what leaves here can be fitted without a second look.
 */
import type {LifeData} from "./types.ts";

type Numbers = ArrayLike<number>;

/** A column with empty cells: null or NaN in `lower` is 0 (left-censored), in `upper` Infinity (suspended). */
type Cells = ArrayLike<number | null>;

/**
 * Either the ages themselves (`failed` exactly, `suspended` unfailed), or the columns `lower` and `upper` of types.ts
 * with, if wanted, `entry` (default 0) and `weight` (default 1).
 */
export type LifeColumns =
  | {readonly failed?: Numbers; readonly suspended?: Numbers}
  | {
      readonly lower: Cells;
      readonly upper: Cells;
      readonly entry?: Cells | undefined;
      readonly weight?: Numbers | undefined;
    };

/** What is wrong with a row, in words. */
export interface LifeFault {
  readonly row: number;
  readonly sentence: string;
}

const empty = (cell: number | null | undefined): boolean => cell === null || cell === undefined || Number.isNaN(cell);

function columns(given: LifeColumns): LifeData {
  if (!("lower" in given)) {
    const failed = Float64Array.from(given.failed ?? []);
    const suspended = Float64Array.from(given.suspended ?? []);
    const n = failed.length + suspended.length;
    const lower = new Float64Array(n);
    lower.set(failed);
    lower.set(suspended, failed.length);
    const upper = new Float64Array(n).fill(Infinity);
    upper.set(failed);
    return {lower, upper, entry: new Float64Array(n), weight: new Float64Array(n).fill(1)};
  }
  const n = given.lower.length;
  for (const name of ["upper", "entry", "weight"] as const) {
    const length = given[name]?.length ?? n;
    if (length !== n)
      throw new RangeError(`lifeData requires columns of one length, got ${n} lower and ${length} ${name}`);
  }
  const {lower, upper, entry, weight} = given;
  return {
    lower: Float64Array.from({length: n}, (_, i) => (empty(lower[i]) ? 0 : lower[i]!)),
    upper: Float64Array.from({length: n}, (_, i) => (empty(upper[i]) ? Infinity : upper[i]!)),
    entry: Float64Array.from({length: n}, (_, i) => (empty(entry?.[i]) ? 0 : entry![i]!)),
    weight: Float64Array.from({length: n}, (_, i) => weight?.[i] ?? 1),
  };
}

/** Rule broken by one life, or null. */
function fault(lower: number, upper: number, entry: number, weight: number): string | null {
  if (!(weight >= 0 && weight < Infinity)) return `the count must be finite and not negative, got ${weight}`;
  if (!(lower >= 0)) return `ages must not be negative, got ${lower}`;
  if (!(entry >= 0 && entry < Infinity)) return `the entry age must be finite and not negative, got ${entry}`;
  if (lower === Infinity) return "an age must be finite, got Infinity";
  if (upper === 0) return "a failure needs an age above 0, got 0";
  if (!(upper >= lower)) return `the lower age must not be above the upper, got ${lower} and ${upper}`;
  if (lower === upper && entry >= upper)
    return `a failure needs an age above its entry age, got ${upper} and entry ${entry}`;
  if (entry > lower) return `the entry age must not be above the age last seen unfailed, got ${entry} and ${lower}`;
  return null;
}

/** Every faulty row of columns that are not yet lives; empty when `lifeData` would take them. */
export function lifeFaults(given: LifeColumns): LifeFault[] {
  const {lower, upper, entry, weight} = columns(given);
  const faults: LifeFault[] = [];
  for (let i = 0; i < lower.length; i++) {
    const sentence = fault(lower[i]!, upper[i]!, entry[i]!, weight[i]!);
    if (sentence !== null) faults.push({row: i, sentence});
  }
  return faults;
}

/**
 * Lives as checked columns; throws on the first row that cannot be a life, by its number (0 is the first).
 *
 * @example lifeData({failed: [410, 655], suspended: [700]})
 * @example lifeData({lower: [0, 120, 300], upper: [120, 120, Infinity]}) // left-censored, exact, suspended
 */
export function lifeData(given: LifeColumns): LifeData {
  const data = columns(given);
  for (let i = 0; i < data.lower.length; i++) {
    const sentence = fault(data.lower[i]!, data.upper[i]!, data.entry[i]!, data.weight[i]!);
    if (sentence !== null) throw new RangeError(`lifeData row ${i}: ${sentence}`);
  }
  return data;
}

/** The lives at `rows`, in that order; a row may come more than once. */
export function selectLives(data: LifeData, rows: ArrayLike<number>): LifeData {
  const take = (column: Float64Array): Float64Array => Float64Array.from(rows, (row) => column[row]!);
  return {lower: take(data.lower), upper: take(data.upper), entry: take(data.entry), weight: take(data.weight)};
}

/** True when the life at `row` is a failure: exact, left- or interval-censored. */
export function isFailure(data: LifeData, row: number): boolean {
  return data.upper[row]! < Infinity;
}

/** Sums of weights: all lives, the failures among them, and those failures whose age is known exactly. */
export function countLives({lower, upper, weight}: LifeData): {lives: number; failures: number; exact: number} {
  let lives = 0;
  let failures = 0;
  let exact = 0;
  for (let i = 0; i < lower.length; i++) {
    lives += weight[i]!;
    if (upper[i]! < Infinity) failures += weight[i]!;
    if (upper[i]! === lower[i]!) exact += weight[i]!;
  }
  return {lives, failures, exact};
}
