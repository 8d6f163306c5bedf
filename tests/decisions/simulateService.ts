/**
 * A slow twin of the priced policy: one slot of one tool, run by run, part after part. It knows events and a ledger,
 * and no formula of src/decisions.
 */
import type {RenewalCosts} from "../../src/decisions/costs.ts";

export interface Service {
  /** life of a new part, from uniform numbers in (0, 1) */
  readonly draw: (uniform: () => number) => number;
  /** run lengths, drawn evenly */
  readonly runs: readonly number[];
  /** the tool is opened after the first run that brings it to this since the last opening */
  readonly rebuildAfter: number;
  /** renew at a rebuild when age + nextRun passes this */
  readonly interval: number;
  readonly nextRun: number;
  /** chance that a failure at an age ends the run */
  readonly endsRun: (age: number) => number;
  readonly costs: RenewalCosts;
  readonly parts: number;
  readonly seed: number;
}

export interface Seen {
  readonly costRate: number;
  readonly costError: number;
  readonly failureRate: number;
  readonly failureError: number;
  /** gaps between openings that no failure of this part forced, from a tool whose part never fails */
  readonly gaps: readonly number[];
}

/** mulberry32: 32-bit state, good enough to deal cards with. */
function dice(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return (((t ^ (t >>> 14)) >>> 0) + 0.5) / 4294967296;
  };
}

export function simulateService(service: Service): Seen {
  const {runs, rebuildAfter, interval, nextRun, endsRun, costs, parts} = service;
  const uniform = dice(service.seed);
  const runLength = (): number => runs[Math.floor(uniform() * runs.length)]!;

  const gaps: number[] = [];
  for (let i = 0; i < 4000; i++) {
    let since = 0;
    while (since < rebuildAfter) since += runLength();
    gaps.push(since);
  }

  const ledger: {money: number; hours: number; failed: number}[] = [];
  for (let part = 0; part < parts; part++) {
    const life = service.draw(uniform);
    let age = 0;
    let sinceOpened = 0;
    let hours = 0;
    let silent = false;
    for (;;) {
      const length = runLength();
      if (!silent && age + length >= life) {
        if (uniform() < endsRun(life)) {
          hours += life - age;
          ledger.push({money: costs.failure, hours, failed: 1});
          break;
        }
        silent = true;
      }
      age += length;
      hours += length;
      sinceOpened += length;
      if (sinceOpened < rebuildAfter) continue;
      sinceOpened = 0;
      if (silent) {
        ledger.push({money: costs.planned + costs.found, hours, failed: 1});
        break;
      }
      if (age + nextRun > interval) {
        ledger.push({money: costs.planned, hours, failed: 0});
        break;
      }
    }
  }

  const ratio = (of: "money" | "failed"): {rate: number; error: number} => {
    let top = 0;
    let bottom = 0;
    for (const entry of ledger) {
      top += entry[of];
      bottom += entry.hours;
    }
    const rate = top / bottom;
    let squares = 0;
    for (const entry of ledger) squares += (entry[of] - rate * entry.hours) ** 2;
    return {rate, error: Math.sqrt(squares) / bottom};
  };
  const money = ratio("money");
  const failures = ratio("failed");
  return {
    costRate: money.rate,
    costError: money.error,
    failureRate: failures.rate,
    failureError: failures.error,
    gaps,
  };
}
