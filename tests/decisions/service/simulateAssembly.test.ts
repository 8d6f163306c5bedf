import {describe, expect, it} from "vitest";
import {costRate} from "../../../src/decisions/ageReplacement.ts";
import {alwaysEndsRun} from "../../../src/decisions/endsRun.ts";
import {competingLife} from "../../../src/decisions/life.ts";
import type {AssemblyPart} from "../../../src/decisions/service/assembly.ts";
import {
  hashed,
  simulateAssembly,
  type Ledger,
  type PartRule,
  type Shop,
} from "../../../src/decisions/service/simulateAssembly.ts";
import {simulateService} from "../simulateService.ts";

const COSTS = {planned: 300, failure: 20000, found: 100};

/** One Weibull part in one condition; a draw is the only one. */
const part = (
  shape: number,
  scale: number,
  more: Partial<AssemblyPart> & {chanceRate?: number} = {},
): AssemblyPart => ({
  component: "SEAL",
  costs: COSTS,
  current: null,
  always: false,
  shape: Float64Array.of(shape),
  pace: Float64Array.of(scale === Infinity ? 0 : 1 / scale),
  chance: Float64Array.of(more.chanceRate ?? 0),
  wearEnds: alwaysEndsRun(1),
  chanceEnds: 1,
  ...more,
});

const shop = (parts: readonly AssemblyPart[], runs: readonly number[], more: Partial<Shop> = {}): Shop => ({
  duty: {
    hours: Float64Array.from(runs),
    condition: new Int32Array(runs.length),
    next: Int32Array.from(runs, (_, i) => (i + 1) % runs.length),
    conditions: ["KCL medium"],
  },
  assembly: {parts, draws: 1, unpriced: [], unmodelled: []},
  openingCost: 500,
  majorCost: 1000,
  nextRun: 0,
  meanRun: 0,
  gaps: {hours: Float64Array.of(200), weights: Float64Array.of(1)},
  faults: {edges: [0, 50, Infinity], rates: new Float64Array(2)},
  faultCost: 20000,
  ...more,
});

const every = (hours: number, rules: readonly PartRule["renew"][], major = Infinity) => ({
  every: hours,
  major,
  parts: rules.map((renew) => ({renew}) as PartRule),
});

/** Many tools under a plan, with the standard error of money per hour. */
function run(
  one: Shop,
  plan: Parameters<typeof simulateAssembly>[1],
  tools: number,
): Ledger & {rate: number; error: number} {
  const sum: Ledger = {money: 0, hours: 0, failures: 0, openings: 0, majors: 0, renewed: 0};
  const each: {money: number; hours: number}[] = [];
  for (let t = 0; t < tools; t++) {
    const before = {money: sum.money, hours: sum.hours};
    simulateAssembly(one, plan, 0, t, sum);
    each.push({money: sum.money - before.money, hours: sum.hours - before.hours});
  }
  const rate = sum.money / sum.hours;
  const squares = each.reduce((total, {money, hours}) => total + (money - rate * hours) ** 2, 0);
  return {...sum, rate, error: Math.sqrt(squares) / sum.hours};
}

describe("simulateAssembly(shop, plan)", () => {
  // a part that lives exactly 1,000 h, renewed every 300 h, never fails: money is opening and part, each 300 h
  it("costs what a deterministic life costs", () => {
    const never = run(shop([part(400, 1000)], [50]), every(300, ["every service"]), 20);
    expect(never.failures).toBe(0);
    expect(never.rate / ((500 + 300) / 300)).toBeCloseTo(1, 1);
    // run to failure: one failure each 1,000 h, so a tool's count is its hours over that to within one
    const late = run(shop([part(400, 1000)], [50]), every(1e9, ["after failure"]), 1);
    expect(Math.abs(late.failures - late.hours / 1000)).toBeLessThan(1);
    expect(late.openings).toBe(late.failures);
  });

  // chance alone: renewing changes nothing, failures come at the rate; openings that no failure forced are those that
  // outlive the interval, λ e^(−λM) / (1 − e^(−λM)) an hour
  it("costs what an exponential life costs, whatever is renewed", () => {
    const rate = 1 / 700;
    const chance = part(1, Infinity, {chanceRate: rate});
    for (const rule of ["every service", "after failure"] as const) {
      const seen = run(shop([chance], [10]), every(400, [rule]), 4000);
      const planned = (rate * Math.exp(-400 * rate)) / -Math.expm1(-400 * rate);
      const expected = rate * COSTS.failure + planned * (500 + (rule === "every service" ? 300 : 0));
      expect(Math.abs(seen.rate - expected)).toBeLessThan(3.5 * seen.error);
      expect(seen.error / seen.rate).toBeLessThan(0.02);
    }
  });

  // one part, renewed at every service: age replacement at the service interval (Barlow & Hunter 1960)
  it.each([
    [2.2, 900, 300],
    [3, 500, 250],
    [0.8, 1500, 400],
  ])("costs what age replacement costs with one part: shape %f, scale %f h, every %f h", (shape, scale, age) => {
    const seen = run(shop([part(shape, scale)], [10]), every(age, ["every service"]), 4000);
    const expected = costRate(age, competingLife([{shape, scale}]), {planned: 500 + 300, failure: COSTS.failure});
    expect(Math.abs(seen.rate - expected)).toBeLessThan(3.5 * seen.error);
  });

  // the twin of the priced policy lives one slot of one tool and shares no code with the assembly
  it("agrees with the slow twin of the priced policy: quiet failures, two modes, gaps of the log, an age limit", () => {
    const modes = {shape: 2.6, scale: 900, chanceRate: 1 / 4000};
    const runs = [20, 35, 50, 65, 95];
    const twin = simulateService({
      draw: (uniform) =>
        Math.min(modes.scale * (-Math.log(uniform())) ** (1 / modes.shape), -Math.log(uniform()) / modes.chanceRate),
      runs,
      rebuildAfter: 170,
      interval: 400,
      nextRun: 60,
      endsRun: () => 0.6,
      costs: COSTS,
      parts: 60_000,
      seed: 5,
    });
    const one = shop(
      [part(modes.shape, modes.scale, {chanceRate: modes.chanceRate, wearEnds: alwaysEndsRun(0.6), chanceEnds: 0.6})],
      runs,
      {
        openingCost: 0,
        nextRun: 60,
        // runs drawn evenly, as the twin draws them
        duty: {
          hours: Float64Array.from({length: 4001}, (_, i) => runs[Math.floor(5 * hashed(77, 1, i, 1))]!),
          condition: new Int32Array(4001),
          next: Int32Array.from({length: 4001}, (_, i) => (i + 1) % 4001),
          conditions: ["KCL medium"],
        },
      },
    );
    const seen = run(one, {every: 170, major: Infinity, parts: [{renew: "by age", age: 400}]}, 6000);
    expect(Math.abs(seen.rate - twin.costRate)).toBeLessThan(3.5 * Math.hypot(seen.error, twin.costError));
  });

  it("renews at major services what belongs there, and faults of a rebuild end runs after it", () => {
    const parts = [part(400, 1e6), part(400, 1e6)];
    const plan = every(100, ["every service", "major service"], 3);
    const seen = run(shop(parts, [50]), plan, 10);
    expect(seen.failures).toBe(0);
    expect(seen.majors / seen.openings).toBeCloseTo(1 / 3, 1);
    expect(seen.renewed / seen.openings).toBeCloseTo(4 / 3, 1);
    // a rate of 1/100 in the first 50 h after each opening: the chance of a fault is 1 − e^(−½) an opening
    const faulty = run(
      shop(parts, [50], {faults: {edges: [0, 50, Infinity], rates: Float64Array.of(0.01, 0)}}),
      plan,
      400,
    );
    expect(faulty.failures / faulty.openings / -Math.expm1(-0.5)).toBeCloseTo(1, 1);
  });

  it("gives the same luck to every plan: the difference of two plans is far less blurred than their costs", () => {
    const one = shop([part(2.5, 800), part(1.8, 2000)], [40, 60, 80]);
    const [a, b] = [250, 300].map((hours) =>
      Array.from({length: 300}, (_, t) => {
        const sum: Ledger = {money: 0, hours: 0, failures: 0, openings: 0, majors: 0, renewed: 0};
        simulateAssembly(one, every(hours, ["every service", "after failure"]), 0, t, sum);
        return sum.money / sum.hours;
      }),
    ) as [number[], number[]];
    const spread = (values: readonly number[]) => {
      const mean = values.reduce((x, y) => x + y, 0) / values.length;
      return Math.sqrt(values.reduce((x, y) => x + (y - mean) ** 2, 0) / values.length);
    };
    const apart = Math.hypot(spread(a), spread(b));
    expect(spread(a.map((value, i) => value - b[i]!))).toBeLessThan(0.8 * apart);
  });
});

describe("hashed(seed, slot, serial, what)", () => {
  it("is uniform and unrelated from one place to the next", () => {
    const values = Array.from({length: 40_000}, (_, i) => hashed(i % 200, i % 9, Math.floor(i / 200), 1 + (i % 5)));
    const bins = new Float64Array(20);
    values.forEach((value) => (bins[Math.floor(20 * value)]! += 1));
    // chi-square of 19 degrees: 43.8 at 0.001
    expect(bins.reduce((sum, seen) => sum + (seen - 2000) ** 2 / 2000, 0)).toBeLessThan(43.8);
    const lag = values.slice(1).reduce((sum, value, i) => sum + (value - 0.5) * (values[i]! - 0.5), 0) / 40_000;
    expect(Math.abs(lag * 12)).toBeLessThan(0.02);
  });
});
