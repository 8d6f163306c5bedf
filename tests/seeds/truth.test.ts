import {describe, expect, it} from "vitest";
import {
  FLEETS,
  FLEET_NAMES,
  FLOW_FACTORS,
  FLOW_VELOCITIES,
  REGIMES,
  SHOP_FAULTS,
  type Regime,
} from "../../seeds/scenario.ts";
import {acceleration, ANSWER_KEY, truthFor, type PartTruth} from "../../seeds/truth.ts";
import {MODES} from "../../shared/vocabulary/index.ts";
import {MODE_LAWS} from "../../seeds/scenario.ts";

const KEY = {mud: "KCL", regime: "medium", temperature: 110} as const;

describe("truth", () => {
  it("acceleration(class, reference condition) is 1 for every class but corrosion and the average of LCM", () => {
    for (const wear of ["ero", "ela", "heat", "pulse", "random"] as const) expect(acceleration(wear, KEY)).toBe(1);
    expect(acceleration("cor", KEY)).toBe(1.3);
    expect(acceleration("lcm", KEY)).toBeCloseTo(0.15 * 3 + 0.85 * 0.7, 12);
  });

  it("acceleration(ela | heat) doubles every 20 | 25 degC above 110 and never falls below 1", () => {
    expect(acceleration("ela", {...KEY, temperature: 130})).toBe(2);
    expect(acceleration("heat", {...KEY, temperature: 135})).toBe(2);
    expect(acceleration("heat", {...KEY, temperature: 70})).toBe(1);
  });

  it("truthFor(part, mud, regime) has a hazard that is the slope of its cumulative hazard", () => {
    const truth = truthFor("TIPP", "OBM", "high", {fleet: "Basalt"});
    const h = 0.01;
    for (const age of [50, 300, 900]) {
      const slope = (truth.cumulativeHazard(age + h) - truth.cumulativeHazard(age - h)) / (2 * h);
      expect(truth.hazard(age) / slope).toBeCloseTo(1, 6);
      expect(truth.survival(age)).toBeCloseTo(Math.exp(-truth.cumulativeHazard(age)), 12);
    }
  });

  it("every mode of the scenario is a mode of the vocabulary, on its part, service-induced only if the shop plants it", () => {
    for (const {mode, component} of MODE_LAWS) {
      expect(MODES[mode], mode).toMatchObject({component, serviceInduced: false});
    }
    for (const {mode, component} of SHOP_FAULTS) {
      expect(MODES[mode], mode).toMatchObject({component, serviceInduced: true});
    }
  });

  // The two bands of the settings, and the law of erosion with velocity behind the factors.
  it("every velocity that is drawn lies in its own band, near the ratio its factor stands for", () => {
    const bands: Record<Regime, readonly [number, number]> = {low: [0, 6], medium: [6, 9], high: [9, Infinity]};
    for (const regime of REGIMES) {
      const [slow, fast] = FLOW_VELOCITIES[regime];
      // a flow in whole gallons a minute through the smallest gap moves by 0.02 m/s at most
      expect(slow - 0.02).toBeGreaterThanOrEqual(bands[regime][0]);
      expect(fast + 0.02).toBeLessThan(bands[regime][1]);
      const factor = ((slow + fast) / 2 / 7.5) ** 2.5;
      expect(factor / FLOW_FACTORS[regime]).toBeGreaterThan(0.85);
      expect(factor / FLOW_FACTORS[regime]).toBeLessThan(1.15);
    }
  });

  it("the mud and flow shares of every fleet add up to one", () => {
    for (const name of FLEET_NAMES) {
      for (const shares of [FLEETS[name].muds, FLEETS[name].flows]) {
        expect(Object.values(shares).reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 12);
      }
    }
  });
});

/** Cost rate of age replacement (Barlow & Hunter 1960), by Simpson's rule; ages in h, costs in $. */
function costRate(truth: PartTruth, age: number, planned: number, failure: number): number {
  const steps = 400;
  let area = 0;
  for (let i = 0; i <= steps; i++) {
    const weight = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2;
    area += weight * truth.survival((age * i) / steps);
  }
  area *= age / steps / 3;
  const surviving = truth.survival(age);
  return (planned * surviving + failure * (1 - surviving)) / area;
}

describe("ANSWER_KEY", () => {
  const {plannedCost, failureCost, best, costPerHour} = ANSWER_KEY;
  const rate = (truth: PartTruth, age: number): number => costRate(truth, age, plannedCost, failureCost);
  const bestAge = (truth: PartTruth): number => {
    let found = 100;
    for (let age = 100; age <= 1200; age += 1) if (rate(truth, age) < rate(truth, found)) found = age;
    return found;
  };

  // The notes of the scenario print whole hours, the last two rounded to ten: two hours, or ten, is their rounding.
  it.each(best)("the best age of the tip in $mud at $regime flow is $age h", ({mud, regime, age}) => {
    const found = bestAge(truthFor("TIPP", mud, regime));
    expect(Math.abs(found - age)).toBeLessThanOrEqual(age % 10 === 0 ? 5 : 2);
  });

  it("the tip in KCl at medium flow costs 13.9 $/h run to failure and 4.0 at best", () => {
    const truth = truthFor("TIPP", "KCL", "medium");
    expect(rate(truth, 12_000)).toBeCloseTo(costPerHour.runToFailure, 1);
    expect(rate(truth, 400)).toBeCloseTo(costPerHour.best, 1);
  });

  it("a part that is only plugged has no best age: every age limit costs more than none", () => {
    const plugged = truthFor("HLXS", "KCL", "medium").modes.find(({mode}) => mode === ANSWER_KEY.noOptimum[0])!;
    const hazard = 1 / plugged.scale;
    const truth: PartTruth = {
      modes: [plugged],
      survival: (age) => Math.exp(-hazard * age),
      cumulativeHazard: (age) => hazard * age,
      hazard: () => hazard,
    };
    const runToFailure = failureCost * hazard;
    for (const age of [100, 400, 1600, 6400]) expect(rate(truth, age)).toBeGreaterThan(runToFailure);
  });
});
