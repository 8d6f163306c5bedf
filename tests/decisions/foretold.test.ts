/** Failures foretold for an exposure: against a slow simulation of parts that fail openly or hidden, and by closed form. */
import {describe, expect, it} from "vitest";
import {expectedFailures} from "../../src/decisions/foretold.ts";
import {foretoldBands, foretoldInAll} from "../../src/decisions/index.ts";
import {seededRandom} from "../../src/statistics/random.ts";

describe("expectedFailures(hazard, endsRun, inspected)", () => {
  it("is the hazard where every failure shows, and the chance of failing where none does", () => {
    expect(expectedFailures(0.3, 1, false)).toBeCloseTo(0.3, 12);
    expect(expectedFailures(0.3, 1, true)).toBeCloseTo(0.3, 12);
    expect(expectedFailures(0.3, 0, true)).toBeCloseTo(1 - Math.exp(-0.3), 12);
    expect(expectedFailures(0.3, 0, false)).toBe(0);
  });

  it("adds up to the failures of parts that end their own exposure, are hidden, and are cut short by others", () => {
    const random = seededRandom(3);
    const [shape, scale, endsRun] = [2.2, 300, 0.6];
    let seen = 0;
    let foreseen = 0;
    const parts = 40_000;
    for (let i = 0; i < parts; i++) {
      const fails = scale * (-Math.log(random.uniform())) ** (1 / shape);
      const open = random.uniform() < endsRun;
      // the tool is opened at 200 h, or when something else fails; some are not opened before the log ends
      const other = -150 * Math.log(random.uniform());
      const opened = Math.min(200, other);
      const until = random.uniform() < 0.2 ? 90 : Infinity;
      const stop = Math.min(opened, until);
      const failsOpenly = open && fails <= stop;
      const inspected = !failsOpenly && opened <= until;
      if (failsOpenly || (inspected && !open && fails <= stop)) seen += 1;
      foreseen += expectedFailures(
        (Math.min(stop, failsOpenly ? fails : Infinity) / scale) ** shape,
        endsRun,
        inspected,
      );
    }
    expect(Math.abs(seen - foreseen)).toBeLessThan(4 * Math.sqrt(seen));
  });
});

describe("foretoldBands(found, level)", () => {
  const found = {
    component: ["SEAL", "SEAL", "SEAL", "LINR"],
    life: [4, 7, 8, 9],
    survival: [0.85, 0.87, 0.96, 0.999],
    expected: [0.2, 0.3, 0.1, 0],
    seen: [1, 0, 0, 0],
  };

  it("counts band by band, with exact limits, and says nothing where nothing was foretold", () => {
    const bands = foretoldBands(found, 0.9);
    expect(bands.map(({parts}) => parts)).toEqual([2, 1, 1]);
    expect(bands[0]).toMatchObject({failures: 1, ratio: 2, lives: [4, 7]});
    // as many as twice the hazard: 0.86 squared
    expect(bands[0]!.seen).toBeCloseTo(0.86 ** 2, 12);
    expect(bands[1]).toMatchObject({failures: 0, ratio: 0, seen: 1});
    expect(bands[2]).toMatchObject({ratio: null, seen: null});
    expect(foretoldInAll(found, 0.9)).toMatchObject({parts: 4, failures: 1});
  });
});
