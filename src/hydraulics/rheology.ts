/**
 * Flow models of a mud from viscometer readings or from plastic viscosity and yield point. Everything that leaves here
 * is in SI: stress in Pa, viscosity in Pa·s, consistency in Pa·sⁿ.
 *
 * Two conventions hide in the readings and are kept apart by name. The field formulas take one degree of the dial for
 * one lbf/100 ft² when they form YP (API RP 13B-1, from memory); the stress itself is 1.066 lbf/100 ft² a degree, which
 * RP 13D prints as 5.11 dyn/cm² (1995 and 2003) or as the factor 1.066 (2006 and later): 0.1 % apart.
 */

/** 1 lbf/100 ft² in Pa, exact to the digits of the pound-force and the foot. */
export const PASCAL_PER_LBF100FT2 = 0.4788025898;
/** stress at one degree of the dial, RP 13D 1995 and 2003: 5.11 dyn/cm² */
export const PASCAL_PER_DEGREE_1995 = 0.511;
/** stress at one degree of the dial, RP 13D 2006 and later: 1.066 lbf/100 ft² */
export const PASCAL_PER_DEGREE_2006 = 1.066 * PASCAL_PER_LBF100FT2;

/** τ = yieldPoint + plasticViscosity · γ */
export interface Bingham {
  readonly plasticViscosity_Pas: number;
  readonly yieldPoint_Pa: number;
}

/** τ = yieldStress + consistency · γ ** index; a power law has no yield stress. */
export interface Fluid {
  readonly index: number;
  readonly consistency_Pasn: number;
  readonly yieldStress_Pa: number;
}

/** Dial readings of the viscometer, degrees. */
export interface Readings {
  readonly r600: number;
  readonly r300: number;
  readonly r100?: number;
  readonly r6?: number;
  readonly r3?: number;
}

/** Bingham plastic: PV = R600 − R300 in mPa·s, YP = R300 − PV in lbf/100 ft². Source: API RP 13B-1, from memory. */
export function binghamOf({r600, r300}: Readings): Bingham {
  const pv = r600 - r300;
  return {plasticViscosity_Pas: pv / 1000, yieldPoint_Pa: (r300 - pv) * PASCAL_PER_LBF100FT2};
}

/** The two readings that a PV and a YP stand for, degrees; the reverse of binghamOf. */
export function readingsOf({plasticViscosity_Pas, yieldPoint_Pa}: Bingham): Readings {
  const pv = plasticViscosity_Pas * 1000;
  const r300 = pv + yieldPoint_Pa / PASCAL_PER_LBF100FT2;
  return {r600: r300 + pv, r300};
}

/**
 * Power law fitted through the dial at 600 and 300 rpm (1,022 and 511 1/s), for pipes.
 * Source: RP 13D 1995 and 2003, from memory; the inputs and n of test E6 from a public lecture on it.
 */
export function powerLawPipe({r600, r300}: Readings): Fluid {
  return powerLaw(3.32 * Math.log10(r600 / r300), r300 * PASCAL_PER_DEGREE_1995, 511);
}

/** Power law through the dial at 100 and 3 rpm (170.2 and 5.11 1/s), for annuli. Source: as powerLawPipe. */
export function powerLawAnnulus({r100 = NaN, r3 = NaN}: Readings): Fluid {
  return powerLaw(0.657 * Math.log10(r100 / r3), r100 * PASCAL_PER_DEGREE_1995, 170.2);
}

function powerLaw(index: number, stress_Pa: number, rate: number): Fluid {
  return checked({index, consistency_Pasn: stress_Pa / rate ** index, yieldStress_Pa: 0});
}

/**
 * Herschel–Bulkley: yield stress 2·R3 − R6, the rest from PV and YP above it.
 *
 * A yield stress below 0 is taken as 0; one at or above YP rejects the readings (all NaN). Without R6 and R3 the yield
 * stress is 0 and the fluid is the power law through R600 and R300.
 * Source: Guo & Liu, Applied Drilling Circulation Systems (2011), eqs 2.12–2.14; the guards are ours.
 */
export function herschelBulkley(readings: Readings): Fluid {
  const {r600, r300, r6, r3} = readings;
  const pv = r600 - r300;
  const yp = r300 - pv;
  const yieldDegrees = r6 === undefined || r3 === undefined ? 0 : Math.max(0, 2 * r3 - r6);
  const index = 3.32 * Math.log10((2 * pv + yp - yieldDegrees) / (pv + yp - yieldDegrees));
  if (yieldDegrees > 0 && !(yieldDegrees < yp)) return NO_FLUID;
  return checked({
    index,
    consistency_Pasn: ((r300 - yieldDegrees) * PASCAL_PER_DEGREE_2006) / 511 ** index,
    yieldStress_Pa: yieldDegrees * PASCAL_PER_DEGREE_2006,
  });
}

const NO_FLUID: Fluid = {index: NaN, consistency_Pasn: NaN, yieldStress_Pa: NaN};

/** A fluid whose index or consistency is not a positive number flows by no law: all NaN. */
function checked(fluid: Fluid): Fluid {
  const {index, consistency_Pasn} = fluid;
  return index > 0 && index < Infinity && consistency_Pasn > 0 && consistency_Pasn < Infinity ? fluid : NO_FLUID;
}
