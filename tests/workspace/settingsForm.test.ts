import {describe, expect, it} from "vitest";
import {
  COMPONENT_SPECS,
  FLOW_REGIME_SPECS,
  parseSettings,
  SERVICE_SPECS,
  SETTING_SPECS,
} from "../../shared/settings.ts";
import {readTyped, shownAt, withSetting} from "../../src/workspace/settingsForm.ts";

const FILE = `# of our shop
level: 0.9 # two-sided
wether: fine
components:
  Seals: {planned_cost: 290, current_interval_h: 400}
`;
const settingsOf = (text: string | null) => parseSettings(text ?? "", "settings.yaml").settings;

describe("withSetting(text, path, value)", () => {
  it("changes one value and keeps comments and keys that nobody knows", () => {
    expect(withSetting(FILE, ["level"], 0.8)).toBe(FILE.replace("0.9", "0.8"));
  });

  it("finds a component under the shop's own word", () => {
    const changed = withSetting(FILE, ["components", "SEAL", "planned_cost"], 77);
    expect(settingsOf(changed).components.SEAL).toMatchObject({planned_cost: 77, current_interval_h: 400});
    expect(changed).toContain("# of our shop");
    expect(changed).toContain("wether: fine");
    expect(changed?.match(/Seals|SEAL/g)).toHaveLength(1);
  });

  it("none is a value of its own, apart from the default", () => {
    const none = withSetting(FILE, ["components", "SEAL", "current_interval_h"], null);
    expect(settingsOf(none).components.SEAL?.current_interval_h).toBeNull();
    expect(shownAt(none ?? "", ["components", "SEAL", "current_interval_h"])).toBe("none");
    const gone = withSetting(FILE, ["level"], undefined);
    expect(gone).not.toContain("level");
  });

  it("makes a fleet's section where there is none, in an empty file too", () => {
    for (const text of ["", FILE]) {
      const changed = withSetting(text, ["fleets", "Alder", "components", "ORNG", "current_interval_h"], null);
      expect(settingsOf(changed).fleets.Alder?.components.ORNG).toEqual({current_interval_h: null});
    }
  });

  it("leaves a text alone that is no YAML map", () => {
    expect(withSetting("a: [", ["level"], 0.8)).toBeNull();
    expect(withSetting("a: [", ["level"], null)).toBeNull();
  });
});

describe("readTyped(spec, text)", () => {
  it.each([
    [SETTING_SPECS.level, "0.95", 0.95],
    [SETTING_SPECS.level, " ", undefined],
    [SETTING_SPECS.currency, "NOK", "NOK"],
    [SETTING_SPECS.next_run_h, "none", null],
    [FLOW_REGIME_SPECS.bands_mps, "5, 8.5", [5, 8.5]],
    [FLOW_REGIME_SPECS.bands_mps, "[6, 9]", [6, 9]],
    [SERVICE_SPECS.minor, "seal, O-ring", ["seal", "O-ring"]],
    [COMPONENT_SPECS.current_interval_h, "0", 0],
  ])("takes what the setting accepts: %#", (spec, typed, value) => {
    expect(readTyped(spec!, typed)).toEqual({value, wrong: null});
  });

  it.each([
    [SETTING_SPECS.level, "95"],
    [SETTING_SPECS.level, "none"],
    [FLOW_REGIME_SPECS.bands_mps, "9, 6"],
    [COMPONENT_SPECS.planned_cost, "-5"],
    [COMPONENT_SPECS.planned_cost, "cheap"],
  ])("says what it accepts otherwise: %#", (spec, typed) => {
    expect(readTyped(spec!, typed)).toEqual({wrong: `“${typed}” cannot stand here: give ${spec!.accepts}.`});
  });
});
