import {describe, expect, it} from "vitest";
import {convert, convertBack, shownUnit, unitOf, UNITS, type Quantity} from "../../shared/units.ts";

// Definitions of the international yard and pound agreement (NIST Handbook 44, appendix C; NIST SP 811, appendix B):
// inch 25.4 mm, foot 0.3048 m, pound 0.45359237 kg, US gallon 231 in³ = 3.785411784 L, barrel 42 gal, g 9.80665 m/s².
const DEFINED: readonly (readonly [Quantity, string, number, number])[] = [
  ["flow", "gpm", 1, 3.785411784],
  ["flow", "bbl/min", 1, 158.987294928],
  ["flow", "m3/min", 1, 1000],
  ["flow", "l/s", 1, 60],
  ["density", "ppg", 1, 119.82642731689663],
  ["density", "SG", 1, 1000],
  ["density", "lb/ft3", 1, 16.018463373960138],
  ["length", "in", 1, 25.4],
  ["length", "1/32", 1, 0.79375],
  ["depth", "ft", 1, 0.3048],
  ["temperature", "degF", 212, 100],
  ["temperature", "K", 373.15, 100],
  ["pressure", "psi", 1, 6.894757293168361],
  ["velocity", "ft/min", 60, 0.3048],
];

// Printed to the digits given in SP 811 appendix B.8 and in API RP 13B-1's conversion table (the latter from memory).
const PRINTED: readonly (readonly [Quantity, string, number, number, number])[] = [
  ["stress", "lbf/100ft2", 1, 0.478803, 6],
  ["concentration", "lb/bbl", 1, 2.853, 3],
  ["density", "psi/ft", 0.0519481, 119.8264, 3],
  ["viscosity", "cP", 1, 1, 12],
];

describe("convert(value, quantity, unit)", () => {
  for (const [quantity, unit, value, expected] of DEFINED) {
    it(`takes ${value} ${unit} of ${quantity} for ${expected}, by definition`, () => {
      expect(convert(value, quantity, unit) / expected).toBeCloseTo(1, 14);
    });
  }

  for (const [quantity, unit, value, expected, digits] of PRINTED) {
    it(`takes ${value} ${unit} of ${quantity} for ${expected}, as printed`, () => {
      expect(convert(value, quantity, unit)).toBeCloseTo(expected, digits);
    });
  }

  it("gives NaN for a unit the quantity does not have", () => {
    expect(convert(1, "flow", "ppg")).toBeNaN();
    expect(convert(1, "flow", "")).toBeNaN();
  });

  it("is undone by convertBack for every unit", () => {
    for (const quantity of Object.keys(UNITS) as Quantity[]) {
      for (const {symbol} of UNITS[quantity]) {
        if (symbol === "") continue;
        expect(convertBack(convert(12.5, quantity, symbol), quantity, symbol)).toBeCloseTo(12.5, 10);
      }
    }
  });
});

describe("unitOf(quantity, text)", () => {
  it("does not mind case, spaces, carets, brackets and raised figures", () => {
    for (const text of ["KG/M3", "kg / m^3", "kg/m³", "(kg/m3)"]) expect(unitOf("density", text)?.factor).toBe(1);
  });

  it("names no unit twice within a quantity", () => {
    for (const quantity of Object.keys(UNITS) as Quantity[]) {
      const names = UNITS[quantity].flatMap(({symbol, aliases}) => [...new Set([symbol.toLowerCase(), ...aliases])]);
      expect(new Set(names).size).toBe(names.length);
    }
  });
});

describe("shownUnit(quantity, system)", () => {
  it("gives units that convert", () => {
    for (const quantity of Object.keys(UNITS) as Quantity[]) {
      const unit = shownUnit(quantity, "oilfield");
      if (unit !== "") expect(unitOf(quantity, unit), `${quantity} ${unit}`).not.toBeNull();
    }
  });
});
