/** Fanning friction factors and the pressure they cost. SI: kg/m³, m/s, m, Pa. */
import {criticalReynolds, turbulentCoefficients} from "./criticalNumbers.ts";

/** Smooth pipe, turbulent, Newtonian: 0.0791 / Re^0.25 (Blasius), as the textbook example E4 uses it. */
export function blasiusFriction(reynolds: number): number {
  return 0.0791 / reynolds ** 0.25;
}

/** Turbulent power law, RP 13D 1995 and 2003: a / Re^b with the coefficients of the index. From memory. */
export function powerLawFriction(reynolds: number, index: number): number {
  const {a, b} = turbulentCoefficients(index);
  return a / reynolds ** b;
}

/**
 * RP 13D 2006 and later: laminar 16/Re, transitional 16 Re/Rc² and turbulent A/Re^B blended without an edge.
 * Source: the standard from memory, its algebra read in two open programs.
 *
 * @param reynolds generalized Reynolds number after reynolds2006
 * @param index flow-behaviour index of the fluid, for the critical number
 * @param turbulentIndex index of the power law through R600 and R300, for the turbulent branch
 */
export function friction2006(
  reynolds: number,
  {index, turbulentIndex}: {readonly index: number; readonly turbulentIndex: number},
): number {
  const laminar = 16 / reynolds;
  const transitional = (16 * reynolds) / criticalReynolds(index).laminarBelow ** 2;
  const turbulent = powerLawFriction(reynolds, turbulentIndex);
  const between = (transitional ** -8 + turbulent ** -8) ** (-1 / 8);
  return (between ** 12 + laminar ** 12) ** (1 / 12);
}

/** Pressure lost along a passage, Pa: 2 f ρ v² L / width. */
export function frictionLoss_Pa(
  friction: number,
  flow: {
    readonly density_kgm3: number;
    readonly velocity_mps: number;
    readonly width_m: number;
    readonly length_m: number;
  },
): number {
  return (2 * friction * flow.density_kgm3 * flow.velocity_mps ** 2 * flow.length_m) / flow.width_m;
}
