/**
 * Bulk velocity: flow over area. The flow that wears the tool is the one between the tool and the bore of its collar;
 * the velocity in the open hole is another number and says nothing about wear.
 */

/** L/min into m³/s, mm² into m²: v [m/s] = 1000 / 60 · Q [L/min] / A [mm²]. */
const MPS_PER_LPM_PER_MM2 = 1000 / 60;

/**
 * Velocity in a round bore, m/s.
 *
 * @param flow_lpm flow rate, L/min, >= 0
 * @param bore_mm inside diameter, mm, > 0
 * @returns NaN where an input is missing or cannot be
 */
export function boreVelocity(flow_lpm: number, bore_mm: number): number {
  return annulusVelocity(flow_lpm, {bore_mm, tool_od_mm: 0});
}

/**
 * Velocity in the annulus between a bore and what stands in it, m/s.
 *
 * @param flow_lpm flow rate, L/min, >= 0
 * @param annulus bore and outside diameter of the inner body, mm, 0 <= tool_od_mm < bore_mm
 * @returns NaN where an input is missing or cannot be
 * @example annulusVelocity(946.35, {bore_mm: 222.25, tool_od_mm: 114.3}) // ≈ 0.553
 */
export function annulusVelocity(
  flow_lpm: number,
  {bore_mm, tool_od_mm}: {readonly bore_mm: number; readonly tool_od_mm: number},
): number {
  if (!(flow_lpm >= 0 && flow_lpm < Infinity && tool_od_mm >= 0 && bore_mm > tool_od_mm && bore_mm < Infinity))
    return NaN;
  return (MPS_PER_LPM_PER_MM2 * flow_lpm) / ((Math.PI / 4) * (bore_mm ** 2 - tool_od_mm ** 2));
}
