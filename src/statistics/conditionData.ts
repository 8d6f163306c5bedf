/**
 * Lives that were spent under several conditions, and how long under each.
 *
 * A *cell* is one combination of conditions (say, a load and a climate). Exposure is accumulated from new, so that
 * `atLower` at row i sums to the age `lower[i]` when every hour of it is known.
 */
import {lifeFaults, type LifeFault} from "./lifeData.ts";
import type {LifeData} from "./types.ts";

/** Levels of one condition; `levelOf` gives each cell its level. The effects of a factor share one prior. */
export interface ConditionFactor {
  readonly name: string;
  readonly levels: readonly string[];
  readonly levelOf: Int32Array;
}

/** A measured condition (temperature, dust): its value in each cell. Its slope has a prior of its own. */
export interface ConditionCovariate {
  readonly name: string;
  readonly ofCell: Float64Array;
}

export interface ConditionData extends LifeData {
  /** how many cells, K */
  readonly cells: number;
  /** exposure in each cell accumulated by the entry, lower and upper age; n × K, row-major.
   *  `atUpper` is not read where `upper` is infinite, nor `atEntry` where `entry` is 0. */
  readonly atEntry: Float64Array;
  readonly atLower: Float64Array;
  readonly atUpper: Float64Array;
  /** cell in which an exact failure happened, else -1 */
  readonly failedIn: Int32Array;
  readonly factors: readonly ConditionFactor[];
  readonly covariates?: readonly ConditionCovariate[];
}

/** Every row that cannot be used, in words; empty when `fitConditions` would take the data. */
export function conditionFaults(data: ConditionData): LifeFault[] {
  const {cells, lower, upper, entry, failedIn} = data;
  const n = lower.length;
  for (const name of ["atEntry", "atLower", "atUpper"] as const) {
    if (data[name].length !== n * cells) {
      throw new RangeError(`conditionData requires ${n} × ${cells} values in ${name}, got ${data[name].length}`);
    }
  }
  for (const {name, levels, levelOf} of data.factors) {
    if (levelOf.length !== cells) {
      throw new RangeError(
        `conditionData requires a level of ${name} for each of ${cells} cells, got ${levelOf.length}`,
      );
    }
    if (levelOf.some((level) => !(level >= 0 && level < levels.length))) {
      throw new RangeError(
        `conditionData requires levels of ${name} from 0 to ${levels.length - 1}, got ${levelOf.join(", ")}`,
      );
    }
  }
  for (const {name, ofCell} of data.covariates ?? []) {
    if (ofCell.length !== cells || !ofCell.every(Number.isFinite)) {
      throw new RangeError(`conditionData requires a finite ${name} for each of ${cells} cells`);
    }
  }
  const faults = lifeFaults(data);
  const faulty = new Set(faults.map(({row}) => row));
  for (let i = 0; i < n; i++) {
    if (faulty.has(i)) continue;
    const sentence = fault(i);
    if (sentence !== null) faults.push({row: i, sentence});
  }
  return faults.sort((a, b) => a.row - b.row);

  function fault(i: number): string | null {
    let before = 0;
    let low = 0;
    let high = 0;
    for (let c = i * cells; c < (i + 1) * cells; c++) {
      const e = entry[i]! > 0 ? data.atEntry[c]! : 0;
      const l = data.atLower[c]!;
      const u = upper[i]! < Infinity ? data.atUpper[c]! : l;
      if (!(e >= 0 && l >= 0 && u >= 0 && u < Infinity)) return "exposures must be finite and not negative";
      // sums of runs may differ in their last digits
      if (e > l * (1 + 1e-9) + 1e-9 || l > u * (1 + 1e-9) + 1e-9) return "exposure in a cell must not fall with age";
      before += e;
      low += l;
      high += u;
    }
    const failed = upper[i]! < Infinity;
    const exact = lower[i] === upper[i];
    if (entry[i]! > 0 && !(before > 0)) return "a life that entered late needs its exposure before entry, got none";
    if (lower[i]! > 0 && !(low > 0)) return `a life of age ${lower[i]} needs exposure in some cell, got none`;
    if (failed && !exact && !(high > low)) return "a failure between two ages needs exposure between them, got none";
    if (exact && !(low > before)) return "a failure needs exposure since its entry, got none";
    if (exact && !(failedIn[i]! >= 0 && failedIn[i]! < cells)) {
      return `an exact failure needs the cell it happened in, got ${failedIn[i]}`;
    }
    return null;
  }
}

/** Checks the data and hands it back; throws on the first faulty row, by its number. */
export function conditionData(data: ConditionData): ConditionData {
  const first = conditionFaults(data)[0];
  if (first) throw new RangeError(`conditionData row ${first.row}: ${first.sentence}`);
  return data;
}

/** The rows of `data` in the given order; for resampling. */
export function selectConditionLives(data: ConditionData, rows: ArrayLike<number>): ConditionData {
  const K = data.cells;
  const take = (column: Float64Array): Float64Array => Float64Array.from(rows, (row) => column[row]!);
  const wide = (block: Float64Array): Float64Array => {
    const taken = new Float64Array(rows.length * K);
    for (let i = 0; i < rows.length; i++) taken.set(block.subarray(rows[i]! * K, (rows[i]! + 1) * K), i * K);
    return taken;
  };
  return {
    ...data,
    lower: take(data.lower),
    upper: take(data.upper),
    entry: take(data.entry),
    weight: take(data.weight),
    atEntry: wide(data.atEntry),
    atLower: wide(data.atLower),
    atUpper: wide(data.atUpper),
    failedIn: Int32Array.from(rows, (row) => data.failedIn[row]!),
  };
}
