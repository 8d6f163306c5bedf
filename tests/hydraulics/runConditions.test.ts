import {describe, expect, it} from "vitest";
import {wordAt} from "../../shared/columnar.ts";
import {proposedBands, runConditions, velocityBandOf} from "../../src/hydraulics/index.ts";
import {runTable, type RunRow} from "../lives/logTables.ts";

const velocity = {flow_regime: {by: "velocity", bands_mps: [6, 9]}} as const;
const reynolds = {flow_regime: {by: "reynolds", bands_mps: null}} as const;
const logged = {flow_regime: {by: "logged", bands_mps: null}} as const;

/** a 6-1/2 in tool: 500 gpm of the mud PV 18, YP 14 lbf/100 ft², 9.8 ppg around a 1.875 in probe in a 3.25 in bore */
const usual: RunRow = {
  run: "1",
  tool: "T1",
  end: "2024-01-02",
  circulating_h: 50,
  mud: "KCL",
  flow_lpm: 1892.7,
  bore_mm: 82.55,
  tool_od_mm: 47.625,
  density_kgm3: 1174.3,
  pv_mPas: 18,
  yp_Pa: 6.703,
};

const regimeOf = (row: Partial<RunRow>, settings: Parameters<typeof runConditions>[1] = velocity): string | null =>
  wordAt(runConditions(runTable([{...usual, ...row}]), settings).regime, 0);
const classOf = (row: Partial<RunRow>): string | null =>
  wordAt(runConditions(runTable([{...usual, ...row}]), velocity).reynoldsClass, 0);

describe("runConditions(runs, settings)", () => {
  it("computes velocity and Reynolds number of a run", () => {
    const {velocity_mps, reynolds: re} = runConditions(runTable([usual]), velocity);
    expect(velocity_mps[0]).toBeCloseTo(8.835, 2);
    // 12,500 worked out by hand in field units for this mud and tool (2006 and later form), three figures
    expect(re[0]! / 12500).toBeCloseTo(1, 1);
    expect(classOf({})).toBe("turbulent");
  });

  it("gives band and Reynolds class of every run whatever the settings group by", () => {
    for (const settings of [velocity, reynolds, logged]) {
      const conditions = runConditions(runTable([usual]), settings);
      expect(wordAt(conditions.reynoldsClass, 0)).toBe("turbulent");
      expect(["low", "medium", "high"]).toContain(wordAt(conditions.velocityBand, 0));
    }
  });

  it("groups by what the settings name", () => {
    expect(regimeOf({})).toBe("medium");
    expect(regimeOf({}, reynolds)).toBe("turbulent");
    expect(regimeOf({flow_range: "Hi"}, logged)).toBe("high");
    expect(regimeOf({flow_range: "Range B"}, logged)).toBe("range b");
  });

  it.each(["flow_lpm", "bore_mm", "tool_od_mm"] as const)("answers unknown, not a guess, without %s", (column) => {
    expect(regimeOf({[column]: undefined})).toBe("unknown");
    expect(classOf({[column]: undefined})).toBe("unknown");
  });

  it.each(["density_kgm3", "pv_mPas", "yp_Pa"] as const)(
    "knows the band but not the Reynolds class without %s",
    (column) => {
      expect(regimeOf({[column]: undefined})).toBe("medium");
      expect(classOf({[column]: undefined})).toBe("unknown");
    },
  );

  it("takes readings before PV and YP, and PV and YP where the readings fit no law", () => {
    const readings = {pv_mPas: undefined, yp_Pa: undefined, r600: 50, r300: 32, r6: 4, r3: 3};
    expect(classOf(readings)).toBe("turbulent");
    expect(classOf({r600: 30, r300: 40})).toBe("turbulent");
    const conditions = runConditions(runTable([{...usual, ...readings, r600: 30}]), velocity);
    expect(wordAt(conditions.reynoldsClass, 0)).toBe("unknown");
    expect(conditions.findings.map((f) => f.rule)).toEqual(["rheology-no-law"]);
  });

  it("flags a run on air and gives it no regime", () => {
    const conditions = runConditions(runTable([{...usual, mud: "AIR"}]), velocity);
    expect(wordAt(conditions.mud, 0)).toBe("AIR");
    expect(wordAt(conditions.regime, 0)).toBe("unknown");
    expect(conditions.velocity_mps[0]).toBeNaN();
    expect(conditions.findings).toMatchObject([{rule: "mud-carries-no-pulse", line: 2, kind: "doubted"}]);
  });

  it("flags a bore that the tool would not fit", () => {
    expect(runConditions(runTable([{...usual, bore_mm: 40}]), velocity).findings).toMatchObject([
      {rule: "bore-not-above-tool", line: 2},
    ]);
  });

  it("calls a mud the log does not name UNK", () => {
    expect(wordAt(runConditions(runTable([{...usual, mud: undefined}]), velocity).mud, 0)).toBe("UNK");
  });

  it("names its convention, with the bands in force", () => {
    expect(runConditions(runTable([usual]), velocity).convention).toContain("low below 6 m/s, high from 9 m/s up");
    expect(runConditions(runTable([usual]), reynolds).convention).toContain("API RP 13D (2006 and later form)");
    expect(runConditions(runTable([usual]), logged).convention).toBe("flow range as the shop logged it");
  });

  it("takes an empty table", () => {
    expect(runConditions(runTable([]), velocity).velocity_mps).toHaveLength(0);
  });
});

describe("bands", () => {
  it("velocityBandOf(v, bands) takes each edge into the band above it", () => {
    expect([5.99, 6, 8.99, 9, NaN].map((v) => velocityBandOf(v, [6, 9]))).toEqual([
      "low",
      "medium",
      "medium",
      "high",
      "unknown",
    ]);
  });

  it("proposedBands(velocities) are the terciles to a tenth, unknown ones left out", () => {
    expect(proposedBands(Float64Array.from([4, NaN, 5, 6, 7, 8, 9, 10]))).toEqual([6, 8]);
    expect(proposedBands(Float64Array.from([7, 7, 7, 7, 7, 7, 7]))).toBeNull();
    expect(proposedBands(Float64Array.from([7, 8, 9]))).toBeNull();
  });

  it("fall back on trade practice where neither settings nor log give any, and say so", () => {
    const conditions = runConditions(runTable([usual]), {flow_regime: {by: "velocity", bands_mps: null}});
    expect(conditions.bands).toEqual([6, 9]);
    expect(conditions.bandsFrom).toBe("trade practice");
  });
});
