import {describe, expect, it} from "vitest";
import {endsRunShares} from "../../src/decisions/endsRunShare.ts";
import {freeGaps} from "../../src/decisions/freeGaps.ts";

describe("freeGaps(hours, cut)", () => {
  // Kaplan–Meier by hand: 100 (1/5), 150 cut, 200 (4/5 · 1/3 = 4/15), 250 cut, 300 (what is left: 8/15)
  it("gives gaps the weights of the Kaplan–Meier estimate", () => {
    const {hours, weights} = freeGaps([300, 100, 250, 200, 150], [0, 0, 1, 0, 1]);
    expect([...hours]).toEqual([100, 150, 200, 250, 300]);
    [1 / 5, 0, 4 / 15, 0, 8 / 15].forEach((weight, i) => expect(weights[i]).toBeCloseTo(weight, 12));
  });

  it("keeps a cut gap where none is longer, and leaves out gaps without exposure", () => {
    const {hours, weights} = freeGaps([0, 100, 400, NaN, Infinity], [0, 0, 1, 0, 0]);
    expect([...hours]).toEqual([100, 400]);
    expect([...weights]).toEqual([0.5, 0.5]);
    expect(freeGaps([], []).hours.length).toBe(0);
  });
});

describe("endsRunShares(counts)", () => {
  it("is near the component's own share when failures are many, near the overall one when few", () => {
    const shares = endsRunShares({
      SEAL: {ended: 80, all: 100},
      TIPP: {ended: 0, all: 100},
      SPRG: {ended: 0, all: 0},
      BAND: {ended: 1, all: 1},
    });
    const overall = 82 / 203;
    expect(shares["SEAL"]).toBeCloseTo((80 + 4 * overall) / 104, 12);
    expect(shares["SPRG"]).toBeCloseTo(overall, 12);
    expect(shares["BAND"]).toBeCloseTo((1 + 4 * overall) / 5, 12);
    expect(shares["TIPP"]).toBeGreaterThan(0);
    expect(endsRunShares({SEAL: {ended: 0, all: 0}})["SEAL"]).toBe(0.5);
  });
});
