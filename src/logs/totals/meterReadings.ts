/**
 * Readings of one meter, run by run, to the hours (or pulses) of each run.
 *
 * A meter only rises, and between two readings by no more than the time that passed. A reading that falls is a meter
 * that began again, or a slip of the pen: the next reading tells which. Where two stories fit, nothing is chosen: the
 * run has no value and `as` says why.
 */

/** What a reading was taken for, and so whether its run has a value. */
export const READ_AS = {
  /** the difference to the run before */
  difference: 0,
  /** the reading itself: the meter began at 0 before this run */
  fromZero: 1,
  /** the difference to an earlier run than the one before: it holds the hours of the runs between as well */
  sum: 2,
  /** no value: the first reading of the meter, what it stood at before is not known */
  first: 3,
  /** no value: it falls, and what the meter began again from is not known */
  restart: 4,
  /** no value: it may follow the one before, or a meter that began again at 0 */
  unclear: 5,
  /** no value: it follows neither the reading before nor the one after */
  misread: 6,
} as const;
export type ReadAs = (typeof READ_AS)[keyof typeof READ_AS];

/** Readings of one meter in the order of its runs. */
export interface MeterReadings {
  readonly readings: ArrayLike<number>;
  /** the most that run i can have had by itself; Infinity where nothing bounds it */
  readonly own: (i: number) => number;
  /** the most that can have been counted from the end of run j to the end of run i */
  readonly between: (i: number, j: number) => number;
  /** whether the meter may have been set back before run i, run j being the one before; asked where none falls too */
  readonly mayRestart: (i: number, j: number) => boolean;
  /** whether a meter that begins, or begins again, begins at 0 */
  readonly fromZero: boolean;
}

export interface RunValues {
  /** of each run, in the meter's unit; NaN where it has none */
  readonly values: Float64Array;
  readonly as: Uint8Array;
  /** the run whose reading was subtracted, or that was compared; -1 for none */
  readonly since: Int32Array;
}

/** Shops round readings to the half hour. */
const TOLERANCE = 0.5;

/**
 * @returns for every run the value, or why it has none
 * @example runValues of 60, 130, 190 that may not restart, from zero: 60, 70, 60
 */
export function runValues({readings, own, between, mayRestart, fromZero}: MeterReadings): RunValues {
  const runs = readings.length;
  const values = new Float64Array(runs).fill(NaN);
  const as = new Uint8Array(runs);
  const since = new Int32Array(runs).fill(-1);
  const read = (i: number): number => readings[i]!;
  const follows = (i: number, j: number): boolean =>
    read(i) >= read(j) && read(i) - read(j) <= between(i, j) + TOLERANCE;
  const canBegin = (i: number): boolean => read(i) <= own(i) + TOLERANCE;
  const begins = (i: number, kind: ReadAs): void => {
    const known = fromZero && canBegin(i);
    as[i] = known ? READ_AS.fromZero : kind;
    if (known) values[i] = read(i);
  };
  const counts = (i: number, j: number): void => {
    since[i] = j;
    if (mayRestart(i, j) && canBegin(i)) {
      // after a reading of 0 both stories say the same
      if (read(j) > 0) as[i] = READ_AS.unclear;
      else values[i] = read(i);
      return;
    }
    as[i] = j === i - 1 ? READ_AS.difference : READ_AS.sum;
    // readings have at most a few decimals: the rest is the machine's
    values[i] = Math.round((read(i) - read(j)) * 1e6) / 1e6;
  };
  /** the last reading that is trusted, and a later one that does not follow it */
  let last = -1;
  let odd = -1;
  const settle = (): void => {
    if (as[odd] === READ_AS.misread) return;
    begins(odd, READ_AS.restart);
    last = odd;
  };
  for (let i = 0; i < runs; ++i) {
    if (last < 0) {
      begins(i, READ_AS.first);
      last = i;
      continue;
    }
    if (odd >= 0) {
      if (follows(i, odd)) {
        // a jump that goes on from there is another meter
        if (as[odd] === READ_AS.misread) as[odd] = READ_AS.restart;
        else begins(odd, READ_AS.restart);
        last = odd;
      } else if (!follows(i, last)) settle();
      else as[odd] = READ_AS.misread;
      odd = -1;
    }
    if (follows(i, last)) {
      counts(i, last);
      last = i;
      continue;
    }
    odd = i;
    since[i] = last;
    as[i] = read(i) < read(last) && canBegin(i) ? READ_AS.restart : READ_AS.misread;
  }
  if (odd >= 0) settle();
  return {values, as, since};
}
