import {describe, expect, it} from "vitest";
import {
  COMPONENT_SPECS,
  componentSettings,
  DEFAULT_SETTINGS,
  parseSettings,
  SETTING_SPECS,
} from "../../shared/settings.ts";
import {dataDictionary} from "../../shared/dataDictionary.ts";
import {MODES} from "../../shared/vocabulary/index.ts";
import {REBUILD_COLUMNS, RUN_COLUMNS} from "../../shared/columns.ts";

const FULL = `
currency: EUR
exposure: below-rotary hours
flow_regime: { by: reynolds, bands_mps: [5, 8] }
reliability_target: 0.9
level: 0.8
next_run_h: 60
service_unit_h: 5
lost_in_hole: failed
components:
  seal: { planned_cost: 300, failure_cost: 42000, current_interval_h: 140 }
  Wear band: { current_interval_h: null }
fleets:
  Offshore: { components: { seal: { failure_cost: 90000 } } }
units: oilfield
`;

describe("parseSettings(yaml, file)", () => {
  it("reads every key and leaves the rest at its default", () => {
    const {settings, findings} = parseSettings(FULL, "settings.yaml");
    expect(findings).toEqual([]);
    expect(settings).toMatchObject({
      currency: "EUR",
      exposure: "below-rotary hours",
      flow_regime: {by: "reynolds", bands_mps: [5, 8]},
      reliability_target: 0.9,
      level: 0.8,
      next_run_h: 60,
      service_unit_h: 5,
      lost_in_hole: "failed",
      units: "oilfield",
    });
    expect(settings.components["SEAL"]).toEqual({
      planned_cost: 300,
      failure_cost: 42000,
      teardown_failure_cost: 0,
      current_interval_h: 140,
    });
    expect(settings.components["LINR"]).toEqual(DEFAULT_SETTINGS.components["LINR"]);
  });

  it("reads how the assembly is serviced, components by shop words too, and names what it does not know", () => {
    const {settings, findings} = parseSettings(
      "service: { opening_cost: 900, minor: [seals, O-ring, SEAL] }\n",
      "settings.yaml",
    );
    expect(findings).toEqual([]);
    expect(settings.service).toEqual({
      opening_cost: 900,
      major_cost: DEFAULT_SETTINGS.service.major_cost,
      minor: ["SEAL", "ORNG"],
    });
    const odd = parseSettings("service: { opening_cost: -1, minor: [gizmo], oil: 3 }\n", "settings.yaml");
    expect(odd.settings.service).toEqual(DEFAULT_SETTINGS.service);
    expect(odd.findings.map(({column}) => column)).toEqual(["service.opening_cost", "service.minor", "service.oil"]);
  });

  it("lets a fleet differ from the shop", () => {
    const {settings} = parseSettings(FULL, "settings.yaml");
    expect(componentSettings(settings, "SEAL", "Offshore")?.failure_cost).toBe(90000);
    expect(componentSettings(settings, "SEAL", "Onshore")?.failure_cost).toBe(42000);
    expect(componentSettings(settings, "SEAL", null)?.planned_cost).toBe(300);
    expect(componentSettings(settings, "GIZMO", null)).toBeNull();
  });

  const mistakes: readonly (readonly [yaml: string, line: number, column: string, message: RegExp])[] = [
    ["levell: 0.9", 1, "levell", /did you mean level\?/],
    ["currency: USD\nlevel: 90", 2, "level", /cannot be 90/],
    ["exposure: hours", 1, "exposure", /cannot be hours/],
    ["flow_regime: velocity", 1, "flow_regime", /is a section/],
    ["flow_regime: { bands_mps: [9, 6] }", 1, "flow_regime.bands_mps", /cannot be \[9,6\]/],
    ["components:\n  gizmo: { planned_cost: 1 }", 2, "components.gizmo", /no component "gizmo"/],
    ["components:\n  seal:\n    planned_cost: lots", 3, "components.seal.planned_cost", /cannot be lots/],
    ["components:\n  seal: { planned_cost: -1 }", 2, "components.seal.planned_cost", /cannot be -1/],
    ["components:\n  seal: { planed_cost: 1 }", 2, "components.seal.planed_cost", /did you mean planned_cost\?/],
    ["level: 0.9\nlevel: 0.8", 2, "level", /given twice/],
    ["next_run_h: .nan", 1, "next_run_h", /cannot be NaN/],
    ["service_unit_h: .inf", 1, "service_unit_h", /cannot be Infinity/],
  ];
  for (const [yaml, line, column, message] of mistakes) {
    it(`tells ${JSON.stringify(yaml)} with its line and what is accepted`, () => {
      const {findings} = parseSettings(yaml, "settings.yaml");
      expect(findings).toHaveLength(1);
      expect(findings[0]).toMatchObject({kind: "set aside", rule: "settings", file: "settings.yaml", line, column});
      expect(findings[0]!.message).toMatch(message);
      expect(findings[0]!.remedy).not.toBe("");
    });
  }

  for (const [what, yaml] of [
    ["broken YAML", "components: [1, 2"],
    ["a list", "- 1\n- 2"],
    ["a word", "hello"],
  ] as const) {
    it(`gives one finding and the defaults for ${what}`, () => {
      const {settings, findings} = parseSettings(yaml, "settings.yaml");
      expect(settings).toEqual(DEFAULT_SETTINGS);
      expect(findings).toHaveLength(1);
    });
  }

  it("gives the defaults for an empty file without a finding", () => {
    expect(parseSettings("# nothing yet\n", "settings.yaml")).toEqual({settings: DEFAULT_SETTINGS, findings: []});
  });

  it("does not expand an alias bomb", () => {
    const bomb = [
      "a: &a [x,x,x,x,x,x,x,x,x]",
      ...["b", "c", "d", "e", "f", "g"].map(
        (key, i) => `${key}: &${key} [${Array(9).fill(`*${"abcdef"[i]!}`).join(",")}]`,
      ),
      "level: *g",
    ].join("\n");
    const {settings, findings} = parseSettings(bomb, "settings.yaml");
    expect(settings.level).toBe(DEFAULT_SETTINGS.level);
    expect(findings.length).toBeGreaterThan(0);
  });
});

describe("dataDictionary()", () => {
  it("names every column, mode and setting", () => {
    const text = dataDictionary();
    for (const name of [
      ...Object.keys(RUN_COLUMNS),
      ...Object.keys(REBUILD_COLUMNS),
      ...Object.keys(MODES),
      ...Object.keys(SETTING_SPECS),
      ...Object.keys(COMPONENT_SPECS),
    ])
      expect(text).toContain(`\`${name}\``);
  });
});
