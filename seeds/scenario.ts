/**
 * The invented scenario: what is true in the demo world. No real company, tool, person or well.
 *
 * Every part has laws of failure on a damage clock. Reference condition: KCl mud, medium flow (7.5 m/s around the
 * probe), at most 110 degC. A run adds its circulating hours times an acceleration factor per class of wear;
 * a mode strikes when its clock reaches a Weibull draw; the first mode in a tool to do so fails the tool.
 */

export type Mud = "KCL" | "OBM" | "SBM" | "SALT" | "BRN";
export type Regime = "low" | "medium" | "high";
export type Component = "SEAL" | "LINR" | "BAND" | "TIPP" | "SPRG" | "SHFT" | "HLXS" | "ORIF" | "ORNG";
export type FleetName = "Alder" | "Basalt" | "Cobalt";
/** What drives a mode: erosion, elastomer attack, corrosion, heat, plugging, pulsing, or nothing (chance). */
export type WearClass = "ero" | "ela" | "cor" | "heat" | "lcm" | "pulse" | "random";

export const COMPONENTS: readonly Component[] = [
  "SEAL",
  "LINR",
  "BAND",
  "TIPP",
  "SPRG",
  "SHFT",
  "HLXS",
  "ORIF",
  "ORNG",
];
export const REGIMES: readonly Regime[] = ["low", "medium", "high"];
export const MUDS: readonly Mud[] = ["KCL", "OBM", "SBM", "SALT", "BRN"];
export const FLEET_NAMES: readonly FleetName[] = ["Alder", "Basalt", "Cobalt"];

export interface ModeLaw {
  readonly mode: string;
  readonly component: Component;
  readonly shape: number;
  /** h of the damage clock */
  readonly scale: number;
  readonly wear: WearClass;
}

const law = (mode: string, shape: number, scale: number, wear: WearClass): ModeLaw => ({
  mode,
  component: mode.slice(0, 4) as Component,
  shape,
  scale,
  wear,
});

/** How parts wear out or break by themselves. */
export const MODE_LAWS: readonly ModeLaw[] = [
  law("SEAL-ABR", 2.2, 1300, "ero"),
  law("SEAL-SWL", 3.0, 2000, "ela"),
  law("LINR-ERO", 3.2, 2600, "ero"),
  law("LINR-IMP", 1.0, 20000, "random"),
  law("BAND-WEA", 2.8, 2000, "ero"),
  law("BAND-SPL", 1.3, 18000, "random"),
  law("TIPP-ERO", 2.6, 1700, "ero"),
  law("TIPP-CHP", 1.1, 14000, "random"),
  law("SPRG-FAT", 3.5, 3600, "pulse"),
  law("SPRG-SET", 2.0, 9000, "heat"),
  law("SHFT-SCO", 2.0, 5200, "ero"),
  law("SHFT-PIT", 1.8, 7500, "cor"),
  law("HLXS-ERO", 2.5, 3300, "ero"),
  law("HLXS-PLG", 1.0, 8000, "lcm"),
  law("ORIF-ERO", 3.0, 2400, "ero"),
  law("ORNG-EXT", 1.5, 6000, "heat"),
];

/** What a shop can plant at a rebuild: its share of such faults, and the hours it then lasts (any condition). */
export const SHOP_FAULTS: readonly (ModeLaw & {readonly share: number})[] = [
  {...law("SEAL-REV", 0.8, 70, "random"), share: 0.3},
  {...law("LINR-CLM", 0.9, 100, "random"), share: 0.2},
  {...law("TIPP-BKO", 0.7, 90, "random"), share: 0.2},
  {...law("ORNG-NIC", 0.8, 60, "random"), share: 0.2},
  {...law("SHFT-GAL", 1.0, 250, "random"), share: 0.1},
];

/** Acceleration by mud, on the classes it acts on; KCl is 1 by definition except for corrosion. */
export const MUD_FACTORS: Readonly<Record<"ero" | "ela" | "cor", Readonly<Record<Mud, number>>>> = {
  ero: {KCL: 1, OBM: 0.95, SBM: 0.95, SALT: 1.15, BRN: 0.6},
  ela: {KCL: 1, OBM: 1.4, SBM: 1.25, SALT: 1.05, BRN: 1.15},
  cor: {KCL: 1.3, OBM: 0.6, SBM: 0.6, SALT: 1.5, BRN: 1.7},
};

/** Acceleration of erosion by flow: velocity ratio 0.80, 1, 1.25 to the power 2.5. */
export const FLOW_FACTORS: Readonly<Record<Regime, number>> = {low: 0.572, medium: 1, high: 1.747};

/** Velocities drawn for each regime, m/s around the probe: inside its band of 6 and 9 m/s, near the ratio above. */
export const FLOW_VELOCITIES: Readonly<Record<Regime, readonly [number, number]>> = {
  low: [5.45, 5.95],
  medium: [6.9, 8.1],
  high: [9.1, 9.9],
};

/** Heat: elastomer attack doubles every 20 degC above 110, heat modes every 25; never below 1. */
export const HEAT = {from: 110, doubles: {ela: 20, heat: 25}} as const;

/** Lost-circulation material: share of runs that carry it, and what it does to plugging with and without. */
export const LCM = {share: 0.15, factor: {with: 3, without: 0.7}} as const;

/** Erosion beyond this part of its draw is seen at teardown this often, and recorded as worn past the limit. */
export const FOUND_WORN = {from: 0.88, caught: 0.75} as const;

/** A part under an age policy is changed at the rebuild where its age is within this of the limit, h. */
export const POLICY_MARGIN_H = 30;

export const MONTHS = 24;
/** First and last day of the logs. */
export const WINDOW = {from: Date.UTC(2024, 0, 1), hoursPerMonth: 730.5} as const;

/** Run length: gamma of this shape around the fleet's mean, kept within these hours. */
export const RUN_LENGTH = {shape: 2.2, within: [4, 280]} as const;

/** Share of failures that trip the whole string; the others are pulled and re-run on wireline. */
export const TRIP_SHARE = 0.6;

export const BENCH = {dollarsPerHour: 110, rebuildHours: 6, hoursPerChangedPart: 1} as const;
export const PART_COST: Readonly<Record<Component, number>> = {
  SEAL: 180,
  LINR: 1900,
  BAND: 750,
  TIPP: 640,
  SPRG: 220,
  SHFT: 1450,
  HLXS: 980,
  ORIF: 560,
  ORNG: 95,
};

export interface FleetTruth {
  readonly name: FleetName;
  readonly tools: number;
  readonly model: string;
  /** bore of the collar and outside diameter of the probe, mm */
  readonly bore: number;
  readonly probe: number;
  readonly muds: Readonly<Partial<Record<Mud, number>>>;
  readonly flows: Readonly<Partial<Record<Regime, number>>>;
  /** range of the highest circulating temperature of a job, degC */
  readonly temperature: readonly [number, number];
  readonly runHours: number;
  readonly hoursPerToolMonth: number;
  /** a tool is opened once it has this many hours since the last time, h */
  readonly rebuildEach: number;
  /** chance that a rebuild plants a shop fault */
  readonly shopFault: number;
  /** renew at this age, h; 0 at every rebuild; a part that is not named runs until it fails or is found worn */
  readonly policy: Readonly<Partial<Record<Component, number>>>;
  /** what a failure costs, $: the string tripped, or the tool pulled and re-run on wireline */
  readonly failureCost: {readonly trip: number; readonly wireline: number};
  /** measured depth of its wells, m */
  readonly depth: readonly [number, number];
  /** tools that already ran when the log begins: with the hours of their parts known, and not known */
  readonly olderTools: {readonly known: number; readonly unknown: number};
  /** tools lost in hole (and followed by a new one) */
  readonly lost: number;
  readonly shops: readonly string[];
  readonly technicians: readonly string[];
}

const inches = (value: number): number => value * 25.4;

export const FLEETS: Readonly<Record<FleetName, FleetTruth>> = {
  Alder: {
    name: "Alder",
    tools: 22,
    model: "K1 4-3/4",
    bore: inches(2.6875),
    probe: inches(1.875),
    muds: {KCL: 0.6, BRN: 0.4},
    flows: {low: 0.35, medium: 0.5, high: 0.15},
    temperature: [70, 110],
    runHours: 60,
    hoursPerToolMonth: 150,
    rebuildEach: 250,
    shopFault: 0.03,
    policy: {SEAL: 250, TIPP: 500, BAND: 750, SPRG: 1000, ORNG: 0},
    failureCost: {trip: 48_000, wireline: 14_000},
    depth: [1400, 3200],
    olderTools: {known: 3, unknown: 1},
    lost: 1,
    shops: ["Alder North", "Alder South"],
    technicians: ["KV", "TM", "JB", "RS"],
  },
  Basalt: {
    name: "Basalt",
    tools: 34,
    model: "K2 6-1/2",
    bore: inches(3.25),
    probe: inches(1.875),
    muds: {OBM: 0.8, KCL: 0.2},
    flows: {low: 0.05, medium: 0.45, high: 0.5},
    temperature: [95, 140],
    runHours: 95,
    hoursPerToolMonth: 190,
    rebuildEach: 200,
    shopFault: 0.05,
    policy: {SEAL: 400, BAND: 400, TIPP: 400, SPRG: 400, HLXS: 400, ORIF: 400, ORNG: 0},
    failureCost: {trip: 95_000, wireline: 26_000},
    depth: [2600, 5200],
    olderTools: {known: 5, unknown: 2},
    lost: 2,
    shops: ["Basalt Yard 1", "Basalt Yard 2"],
    technicians: ["DW", "CP", "AL", "MN", "GE", "HT"],
  },
  Cobalt: {
    name: "Cobalt",
    tools: 14,
    model: "K3 8",
    bore: inches(3.75),
    probe: inches(1.875),
    muds: {SBM: 0.55, SALT: 0.45},
    flows: {medium: 0.35, high: 0.65},
    temperature: [100, 150],
    runHours: 48,
    hoursPerToolMonth: 120,
    rebuildEach: 150,
    shopFault: 0.2,
    policy: {SEAL: 150, TIPP: 450, ORNG: 0},
    failureCost: {trip: 310_000, wireline: 60_000},
    depth: [3800, 6400],
    olderTools: {known: 2, unknown: 1},
    lost: 1,
    shops: ["Cobalt Quay"],
    technicians: ["EZ", "LF", "OY"],
  },
};

/** Density kg/m3, plastic viscosity mPa.s and yield point lbf/100ft2 of each mud (light to heavy). */
export const MUD_PROPERTIES: Readonly<
  Record<Mud, {density: readonly [number, number]; pv: readonly [number, number]; yp: readonly [number, number]}>
> = {
  KCL: {density: [1080, 1360], pv: [11, 23], yp: [12, 26]},
  OBM: {density: [1180, 1680], pv: [18, 42], yp: [8, 20]},
  SBM: {density: [1150, 1580], pv: [17, 38], yp: [8, 20]},
  SALT: {density: [1220, 1560], pv: [13, 27], yp: [11, 25]},
  BRN: {density: [1060, 1340], pv: [2, 6], yp: [0, 2]},
};
