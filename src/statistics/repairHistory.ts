/**
 * Recurring failures of repairable systems: when each happened, on a clock that runs through repairs.
 */

/** Systems as columns; events refer to systems by index. */
export interface RepairHistory {
  /** clock at which each system came under observation and left it; start < end */
  readonly start: Float64Array;
  readonly end: Float64Array;
  readonly system: Int32Array;
  readonly age: Float64Array;
}

/** Checks a history and sorts its events by age; throws on the first fault, by name. `start` may be left out: 0. */
export function repairHistory(given: {
  readonly start?: ArrayLike<number>;
  readonly end: ArrayLike<number>;
  readonly system: ArrayLike<number>;
  readonly age: ArrayLike<number>;
}): RepairHistory {
  const n = given.end.length;
  const start = Float64Array.from({length: n}, (_, i) => given.start?.[i] ?? 0);
  const end = Float64Array.from(given.end);
  for (let i = 0; i < n; i++) {
    if (!(start[i]! >= 0 && end[i]! > start[i]! && end[i]! < Infinity)) {
      throw new RangeError(`repairHistory system ${i}: requires 0 <= start < end, got ${start[i]} and ${end[i]}`);
    }
  }
  if (given.system.length !== given.age.length) {
    throw new RangeError(
      `repairHistory requires a system for each of ${given.age.length} events, got ${given.system.length}`,
    );
  }
  const order = Array.from({length: given.age.length}, (_, j) => j).sort((a, b) => given.age[a]! - given.age[b]!);
  for (const j of order) {
    const i = given.system[j]!;
    const t = given.age[j]!;
    if (!(Number.isInteger(i) && i >= 0 && i < n))
      throw new RangeError(`repairHistory event ${j}: no system ${i} among ${n}`);
    if (!(t >= start[i]! && t <= end[i]!)) {
      throw new RangeError(
        `repairHistory event ${j}: age ${t} is outside the observation of its system, ${start[i]} to ${end[i]}`,
      );
    }
  }
  return {
    start,
    end,
    system: Int32Array.from(order, (j) => given.system[j]!),
    age: Float64Array.from(order, (j) => given.age[j]!),
  };
}
