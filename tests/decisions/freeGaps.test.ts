import {describe, expect, it} from "vitest";
import {alwaysEndsRun, endsRunAt, endsRunCurves, meanEndsRun, type EndsRun} from "../../src/decisions/endsRun.ts";
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

describe("endsRunCurves(failures)", () => {
  const seen = (count: number, ended: (i: number) => boolean, age: (i: number) => number) => ({
    ages: Array.from({length: count}, (_, i) => age(i)),
    ended: Array.from({length: count}, (_, i) => (ended(i) ? 1 : 0)),
  });
  const spread = (i: number): number => 200 + ((i * 37) % 1000);

  it("gives a component with many failures its own share, and one with none the shop's", () => {
    const curves = endsRunCurves(
      new Map([
        ["SEAL", seen(200, (i) => i % 5 !== 0, spread)],
        ["TIPP", seen(200, (i) => i % 5 === 0, spread)],
        ["SPRG", seen(0, () => false, spread)],
        [
          "BAND",
          seen(
            1,
            () => true,
            () => 600,
          ),
        ],
      ]),
    );
    expect(
      meanEndsRun(
        curves.get("SEAL")!,
        seen(200, () => true, spread),
      ),
    ).toBeCloseTo(0.8, 1);
    expect(
      meanEndsRun(
        curves.get("TIPP")!,
        seen(200, () => true, spread),
      ),
    ).toBeCloseTo(0.2, 1);
    const shop = meanEndsRun(curves.get("SPRG")!, {ages: [], ended: []});
    expect(shop).toBeCloseTo(0.5, 1);
    const one = endsRunAt(curves.get("BAND")!, 600);
    expect(one).toBeGreaterThan(shop);
    expect(one).toBeLessThan(0.7);
  });

  it("sees that old parts are found and young ones are not", () => {
    const curve = endsRunCurves(new Map([["LINR", seen(300, (i) => spread(i) < 600 || i % 4 === 0, spread)]])).get(
      "LINR",
    )!;
    expect(endsRunAt(curve, 300)).toBeGreaterThan(0.8);
    expect(endsRunAt(curve, 1100)).toBeLessThan(0.45);
  });

  it("recovers the curve that made the data", () => {
    const truth: EndsRun = {level: 0.4, slope: -1.2, centre: 600};
    const ages = Array.from({length: 20000}, (_, i) => 100 + ((i * 7919) % 1500));
    const ended = ages.map((age, i) => ((i * 0.6180339887) % 1 < endsRunAt(truth, age) ? 1 : 0));
    const curve = endsRunCurves(new Map([["SEAL", {ages, ended}]])).get("SEAL")!;
    for (const age of [200, 600, 1400]) expect(endsRunAt(curve, age)).toBeCloseTo(endsRunAt(truth, age), 1);
    expect(curve.slope).toBeCloseTo(-1.2, 1);
  });

  it("is one half where nobody has failed, and a constant when told so", () => {
    expect(
      meanEndsRun(endsRunCurves(new Map([["SEAL", {ages: [], ended: []}]])).get("SEAL")!, {ages: [], ended: []}),
    ).toBe(0.5);
    expect(endsRunAt(alwaysEndsRun(0.7), 0)).toBeCloseTo(0.7, 12);
    expect(endsRunAt(alwaysEndsRun(1), 900)).toBeCloseTo(1, 5);
  });
});
