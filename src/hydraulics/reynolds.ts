/**
 * Reynolds numbers in the conventions the trade uses, each by name, and the numbers they are held against.
 *
 * All are k · ρ v² / τw, τw the shear stress at the wall. In a pipe every convention has k = 8. In an annulus (a slot
 * of width `gap`) they part: 12 after RP 13D of 1995 and 2003 (laminar f = 24 / Re), 12 · √(2/3) ≈ 9.8 in the textbooks
 * (equivalent diameter 0.816 · gap), 8 after RP 13D of 2006 and later (laminar f = 16 / Re). The same flow so reads
 * 1 : 0.816 : 0.667 against the same limits and may change its class with the edition: one comparison, one convention.
 *
 * SI throughout: density kg/m³, velocity m/s, diameters and gaps m, stress Pa. Missing or impossible input gives NaN.
 */
import type {Bingham, Fluid} from "./rheology.ts";

/** Where the mud flows. `width_m` is the diameter of a pipe, the difference of the diameters of an annulus. */
export interface Passage {
  readonly kind: "pipe" | "annulus";
  readonly width_m: number;
}

export interface Flow {
  readonly density_kgm3: number;
  readonly velocity_mps: number;
  readonly passage: Passage;
}

export type AnnulusConvention = "RP 13D 1995" | "textbook" | "RP 13D 2006";

/** Ratio of the equivalent diameter of a narrow slot to its gap, textbook convention; printed as 0.816. */
const SLOT_RATIO = Math.sqrt(2 / 3);

const ANNULUS_FACTOR: Readonly<Record<AnnulusConvention, number>> = {
  "RP 13D 1995": 12,
  textbook: 12 * SLOT_RATIO,
  "RP 13D 2006": 8,
};

/** Newtonian Reynolds number; the annulus in the textbook convention (coefficients 928 and 757 in field units). */
export function newtonianReynolds({density_kgm3, velocity_mps, passage}: Flow, viscosity_Pas: number): number {
  return positive((density_kgm3 * velocity_mps * equivalentDiameter(passage)) / viscosity_Pas);
}

/**
 * Viscosity that a Bingham plastic shows in this flow: PV + YP·d / 6v in a pipe, PV + YP·gap / 8v in an annulus
 * (6.66 and 5 in field units). Use with newtonianReynolds and the limits 2,100 and 4,000.
 * Source: Guo & Liu (2011) eqs 2.23–2.28.
 */
export function binghamApparentViscosity(
  {velocity_mps, passage}: Flow,
  {plasticViscosity_Pas, yieldPoint_Pa}: Bingham,
): number {
  const factor = passage.kind === "pipe" ? 6 : 8;
  return plasticViscosity_Pas + (yieldPoint_Pa * passage.width_m) / (factor * velocity_mps);
}

/**
 * Generalized Reynolds number of a power law (Metzner & Reed), the annulus in the named convention.
 * Sources: RP 13D 1995/2003 and 2006, from memory; textbook form Guo & Liu (2011) eqs 2.31–2.36.
 */
export function powerLawReynolds(flow: Flow, fluid: Fluid, convention: AnnulusConvention): number {
  return generalizedReynolds(flow, {...fluid, yieldStress_Pa: 0}, convention);
}

/**
 * Generalized Reynolds number after RP 13D 2006 and later, for a Herschel–Bulkley fluid or a power law, pipe or annulus:
 * one shear rate, one wall stress and laminar f = 16 / Re for both. Source: the standard from memory, its algebra read
 * in two open programs; the field coefficients 1.6 and 19.36 are 8 and 8 in SI.
 */
export function reynolds2006(flow: Flow, fluid: Fluid): number {
  return generalizedReynolds(flow, fluid, "RP 13D 2006");
}

function generalizedReynolds(flow: Flow, fluid: Fluid, convention: AnnulusConvention): number {
  const factor = flow.passage.kind === "pipe" ? 8 : ANNULUS_FACTOR[convention];
  return positive((factor * flow.density_kgm3 * flow.velocity_mps ** 2) / wallStress(flow, fluid));
}

/**
 * Shear stress at the wall, Pa: [(4 − a) / (3 − a)]ⁿ·τy + K·γwⁿ, a = 0 in a pipe and 1 in an annulus; without yield
 * stress it is the exact laminar one.
 */
export function wallStress(flow: Flow, {index, consistency_Pasn, yieldStress_Pa}: Fluid): number {
  const a = flow.passage.kind === "pipe" ? 0 : 1;
  return ((4 - a) / (3 - a)) ** index * yieldStress_Pa + consistency_Pasn * wallShearRate(flow, index) ** index;
}

/** Shear rate at the wall of a power law, 1/s: 8v/d · (3n + 1)/4n in a pipe, 12v/gap · (2n + 1)/3n in an annulus. */
export function wallShearRate({velocity_mps, passage}: Flow, index: number): number {
  return passage.kind === "pipe"
    ? ((8 * velocity_mps) / passage.width_m) * ((3 * index + 1) / (4 * index))
    : ((12 * velocity_mps) / passage.width_m) * ((2 * index + 1) / (3 * index));
}

/** Viscosity, Pa·s, that makes ρ v d / μ the Reynolds number of RP 13D 1995. */
export function effectiveViscosity(flow: Flow, fluid: Fluid): number {
  const nominalRate = ((flow.passage.kind === "pipe" ? 8 : 12) * flow.velocity_mps) / flow.passage.width_m;
  return wallStress(flow, {...fluid, yieldStress_Pa: 0}) / nominalRate;
}

/**
 * Reynolds number of a Herschel–Bulkley fluid in the textbook form, with the plug of unsheared mud allowed for.
 * Source: Guo & Liu (2011) eqs 2.38–2.44.
 *
 * @param flow of which `passage.width_m` is the pipe's diameter or the annulus's gap
 * @returns the number, and the share C of the shear that the plug leaves (Cc in a pipe, Ca in an annulus)
 */
export function herschelBulkleyReynolds(flow: Flow, fluid: Fluid): {readonly reynolds: number; readonly plug: number} {
  const {index: n, consistency_Pasn: k, yieldStress_Pa: yieldStress} = fluid;
  const {density_kgm3, velocity_mps: v, passage} = flow;
  const half = passage.width_m / 2;
  const pipe = passage.kind === "pipe";
  // flow over π r³ is v/r in a pipe; flow over π (r2 − r1)(r2² − r1²) is v / (r2 − r1) in an annulus
  const rate = pipe ? ((3 * n + 1) * v) / (n * half) : (2 * (2 * n + 1) * v) / (n * half);
  const plug = 1 - (1 / ((pipe ? 2 * n : n) + 1)) * (yieldStress / (yieldStress + k * rate ** n));
  const shear = pipe ? (3 * n + 1) / (n * plug) : (2 * (2 * n + 1)) / (n * plug);
  const lead = pipe ? (2 * (3 * n + 1)) / n : (4 * (2 * n + 1)) / n;
  const below = yieldStress * (half / v) ** n + k * shear ** n;
  return {reynolds: positive((lead * density_kgm3 * v ** (2 - n) * half ** n) / below), plug};
}

/** Hedstrom number ρ·YP·d²/PV², the annulus with its equivalent diameter (37,100 and 24,700 in field units, rounded). */
export function hedstrom({density_kgm3, passage}: Flow, {plasticViscosity_Pas, yieldPoint_Pa}: Bingham): number {
  const ratio = equivalentDiameter(passage) / plasticViscosity_Pas;
  return density_kgm3 * yieldPoint_Pa * ratio ** 2;
}

function equivalentDiameter({kind, width_m}: Passage): number {
  return kind === "pipe" ? width_m : SLOT_RATIO * width_m;
}

function positive(reynolds: number): number {
  return reynolds >= 0 && reynolds < Infinity ? reynolds : NaN;
}
