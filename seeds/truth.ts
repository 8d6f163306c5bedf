/**
 * The truth of the invented scenario as functions: what a perfect fit would find.
 */
import {settled} from "./Random.ts";
import {
  FLEETS,
  FLOW_FACTORS,
  HEAT,
  LCM,
  MODE_LAWS,
  MUD_FACTORS,
  type Component,
  type FleetName,
  type Mud,
  type Regime,
  type WearClass,
} from "./scenario.ts";

export interface Condition {
  readonly mud: Mud;
  readonly regime: Regime;
  /** highest circulating temperature, degC */
  readonly temperature: number;
  /** whether the run carried lost-circulation material; left out: the average of both */
  readonly lcm?: boolean;
}

function heatFactor(kind: "ela" | "heat", temperature: number): number {
  return Math.max(1, settled(2 ** ((temperature - HEAT.from) / HEAT.doubles[kind])));
}

/** Damage-clock hours per circulating hour. Every power is rounded to 1e-6, so that engines agree. */
export function acceleration(wear: WearClass, {mud, regime, temperature, lcm}: Condition): number {
  switch (wear) {
    case "ero":
      return MUD_FACTORS.ero[mud] * FLOW_FACTORS[regime];
    case "ela":
      return MUD_FACTORS.ela[mud] * heatFactor("ela", temperature);
    case "cor":
      return MUD_FACTORS.cor[mud];
    case "heat":
      return heatFactor("heat", temperature);
    case "lcm":
      if (lcm === undefined) return LCM.share * LCM.factor.with + (1 - LCM.share) * LCM.factor.without;
      return lcm ? LCM.factor.with : LCM.factor.without;
    case "pulse":
    case "random":
      return 1;
  }
}

export interface ModeTruth {
  readonly mode: string;
  readonly shape: number;
  /** circulating h in the condition asked for */
  readonly scale: number;
}

export interface PartTruth {
  /** its own modes, each Weibull in circulating hours; shop faults are not among them */
  readonly modes: readonly ModeTruth[];
  /** chance of no own mode before `age` (h >= 0), and its cumulative hazard and hazard (per h) */
  readonly survival: (age: number) => number;
  readonly cumulativeHazard: (age: number) => number;
  readonly hazard: (age: number) => number;
}

export interface TruthOptions {
  /** degC of every run; default 110, the reference */
  readonly temperature?: number;
  /**
   * take the fleet's mean acceleration over its own temperatures in place of one temperature. A part sees many jobs,
   * so its damage per hour is close to that mean; the law in hours is then Weibull to good approximation.
   */
  readonly fleet?: FleetName;
}

/** Mean acceleration over the fleet's whole-degree job temperatures, which are drawn evenly. */
function meanAcceleration(wear: WearClass, mud: Mud, regime: Regime, [low, high]: readonly [number, number]): number {
  let sum = 0;
  for (let t = low; t <= high; t++) sum += acceleration(wear, {mud, regime, temperature: t});
  return sum / (high - low + 1);
}

/**
 * The true life of a new part that spends all its hours in one condition.
 *
 * @example truthFor("TIPP", "KCL", "medium").modes[0] // {mode: "TIPP-ERO", shape: 2.6, scale: 1700}
 */
export function truthFor(component: Component, mud: Mud, regime: Regime, options: TruthOptions = {}): PartTruth {
  const {temperature = HEAT.from, fleet} = options;
  const modes = MODE_LAWS.filter((law) => law.component === component).map(({mode, shape, scale, wear}): ModeTruth => {
    const factor = fleet
      ? meanAcceleration(wear, mud, regime, FLEETS[fleet].temperature)
      : acceleration(wear, {mud, regime, temperature});
    return {mode, shape, scale: scale / factor};
  });
  const cumulativeHazard = (age: number): number =>
    modes.reduce((sum, {shape, scale}) => sum + (age / scale) ** shape, 0);
  return {
    modes,
    cumulativeHazard,
    survival: (age) => Math.exp(-cumulativeHazard(age)),
    hazard: (age) => modes.reduce((sum, {shape, scale}) => sum + (shape / scale) * (age / scale) ** (shape - 1), 0),
  };
}

/**
 * Best renewal ages of the poppet tip (both its own modes, continuous age replacement), to the hour, at the costs
 * named; the scenario's notes give them and a test recomputes them from `truthFor`.
 */
export const ANSWER_KEY = {
  component: "TIPP",
  plannedCost: 750,
  failureCost: 20_000,
  best: [
    {mud: "KCL", regime: "medium", age: 400},
    {mud: "KCL", regime: "high", age: 232},
    {mud: "KCL", regime: "low", age: 690},
    {mud: "BRN", regime: "medium", age: 660},
    {mud: "SALT", regime: "medium", age: 350},
    {mud: "OBM", regime: "medium", age: 422},
  ],
  /** $ per circulating hour at KCl, medium flow */
  costPerHour: {runToFailure: 13.9, best: 4.0},
  /** modes without wear-out: an age limit can only lose */
  noOptimum: ["HLXS-PLG"],
} as const;
