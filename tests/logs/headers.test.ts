import {describe, expect, it} from "vitest";
import {HeaderIndex, REBUILD_SPECS, RUN_SPECS} from "../../src/logs/headers.ts";

const RUNS = new HeaderIndex(RUN_SPECS);
const REBUILDS = new HeaderIndex(REBUILD_SPECS);

describe("HeaderIndex.match(header)", () => {
  const headers: readonly (readonly [header: string, column: string, unit: string | null])[] = [
    ["circulating_h", "circulating_h", null],
    ["Circulating H", "circulating_h", "h"],
    ["CIRC-HRS", "circulating_h", null],
    ["Circ time (min)", "circulating_h", "min"],
    ["Flow rate [gpm]", "flow_lpm", "gal/min"],
    ["Flow Rate, gpm", "flow_lpm", "gal/min"],
    ["flow_gpm", "flow_lpm", "gal/min"],
    ["Pump rate L/min", "flow_lpm", "L/min"],
    ["MW ppg", "density_kgm3", "lb/gal"],
    ["Mud Weight (lb/gal)", "density_kgm3", "lb/gal"],
    ["MW (SG)", "density_kgm3", "SG"],
    ["YP (lb/100ft2)", "yp_Pa", "lbf/100 ft²"],
    ["YP [lbf/100 ft²]", "yp_Pa", "lbf/100 ft²"],
    ["Max Temp (degF)", "temperature_max_C", "°F"],
    ["temperature_max_F", "temperature_max_C", "°F"],
    ["T max [°C]", "temperature_max_C", "°C"],
    ["Sand %", "sand_pct", "%"],
    ["% sand", "sand_pct", "%"],
    ["Sand (vol%)", "sand_pct", "%"],
    ["LCM lb/bbl", "lcm_kgm3", "lb/bbl"],
    ["Collar bore (in)", "bore_mm", "in"],
    ["Depth ft", "depth_m", "ft"],
    ["Run #", "run", null],
    ["Tool S/N", "tool", null],
    ["Density (avg)", "density_kgm3", null],
  ];
  for (const [header, column, unit] of headers) {
    it(`takes "${header}" for ${column}${unit === null ? "" : ` in ${unit}`}`, () => {
      const match = RUNS.match(header);
      expect(match?.column).toBe(column);
      expect(match?.unit?.symbol ?? null).toBe(unit);
    });
  }

  it("takes the same words for other columns in the other log", () => {
    expect(REBUILDS.match("Measured (in)")).toMatchObject({column: "measured_mm", unit: {symbol: "in"}});
    expect(REBUILDS.match("Wait [days]")).toMatchObject({column: "wait_days", unit: {symbol: "d"}});
    expect(REBUILDS.match("Failure Mode")?.column).toBe("mode");
  });

  it("does not guess", () => {
    for (const header of ["weather", "", "customer", "x", "()", "[", "units"]) expect(RUNS.match(header)).toBeNull();
  });

  it("keeps what stands where a unit would", () => {
    expect(RUNS.match("Flow rate [buckets]")).toMatchObject({column: "flow_lpm", unit: null, unknownUnit: "buckets"});
  });
});
