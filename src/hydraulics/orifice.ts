/**
 * Pressure and jet at a throat: Δp = ρ v² / 2 Cd².
 *
 * The coefficients 0.95 (usual), 0.98 and 1.03 of the literature belong to bit nozzles; a poppet gap needs its own,
 * calibrated one. Sources: Guo & Liu (2011) p. 53 for 0.95 to 0.98; field coefficient 10,858 at 0.95 in the Standard
 * Handbook of Petroleum & Natural Gas Engineering p. 839; 1.03 in AADE-10-DF-HO-26.
 */

export interface Throat {
  readonly flow_lpm: number;
  readonly density_kgm3: number;
  readonly area_mm2: number;
}

/** Velocity of the jet, m/s; NaN without an area. */
export function jetVelocity({flow_lpm, area_mm2}: Omit<Throat, "density_kgm3">): number {
  return area_mm2 > 0 ? ((1000 / 60) * flow_lpm) / area_mm2 : NaN;
}

/**
 * Pressure drop over a throat, kPa.
 *
 * @param throat flow (L/min), density (kg/m³) and area (mm², > 0)
 * @param dischargeCoefficient of this throat, > 0; there is no default, since it is the least known of the four
 */
export function orificePressure_kPa(throat: Throat, dischargeCoefficient: number): number {
  if (!(dischargeCoefficient > 0)) return NaN;
  return (throat.density_kgm3 * jetVelocity(throat) ** 2) / (2 * dischargeCoefficient ** 2) / 1000;
}

/** Area of round nozzles together, mm², from their diameters in mm. */
export function nozzleArea_mm2(diameters_mm: Iterable<number>): number {
  let sum = 0;
  for (const diameter of diameters_mm) sum += diameter ** 2;
  return (Math.PI / 4) * sum;
}

/** Area left between a round orifice and the tip that stands in it, mm²; NaN when the tip does not fit. */
export function gapArea_mm2({orifice_mm, tip_mm}: {readonly orifice_mm: number; readonly tip_mm: number}): number {
  return orifice_mm > tip_mm && tip_mm >= 0 ? (Math.PI / 4) * (orifice_mm ** 2 - tip_mm ** 2) : NaN;
}
