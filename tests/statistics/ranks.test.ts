import {describe, expect, it} from "vitest";
import {lifeData} from "../../src/statistics/lifeData.ts";
import {benardRank, rankedFailures, rankOf, rankRegression} from "../../src/statistics/rankRegression.ts";
import {at, entry, expectQuantity, livesOf} from "./reference.ts";

describe("rankOf(rank, n)", () => {
  it("agrees with the printed tables of median-ranks", () => {
    const {expected} = entry("median-ranks");
    const all = (n: number, f: (rank: number, n: number) => number) => Array.from({length: n}, (_, i) => f(i + 1, n));
    for (const n of [3, 5, 10, 20]) expectQuantity(all(n, rankOf), at(expected, `n${n}_exact`));
    expectQuantity(
      all(10, (i, n) => rankOf(i, n, 0.05)),
      at(expected, "n10_rank_05"),
    );
    expectQuantity(
      all(10, (i, n) => rankOf(i, n, 0.95)),
      at(expected, "n10_rank_95"),
    );
    expectQuantity(all(5, benardRank), at(expected, "n5_benard"));
    expectQuantity(all(10, benardRank), at(expected, "n10_benard"));
    const off = all(10, (i, n) => Math.abs(rankOf(i, n) - benardRank(i, n)));
    expectQuantity(Math.max(...off), at(expected, "max_abs_error_benard_n10"));
    expectQuantity(rankOf(2.4375, 8), at(expected, "noninteger_rank_exact"));
  });
});

describe("rankedFailures and rankRegression(data)", () => {
  it("adjusted ranks agree with johnson-adjusted-ranks", () => {
    const {inputs, expected} = entry("johnson-adjusted-ranks");
    const {points, lives} = rankedFailures(livesOf(inputs));
    expect(lives).toBe(8);
    expectQuantity(
      points.map((p) => p.rank),
      at(expected, "adjusted_rank"),
    );
    expectQuantity(
      points.map((p) => benardRank(p.rank, lives)),
      at(expected, "benard"),
    );
    expectQuantity(
      points.map((p) => p.medianRank),
      at(expected, "exact_beta_median"),
    );
  });

  it("finds the line again when the points lie on one", () => {
    const shape = 2.5;
    const scale = 400;
    const failed = Array.from({length: 8}, (_, i) => scale * (-Math.log1p(-rankOf(i + 1, 8))) ** (1 / shape));
    for (const on of ["age", "rank"] as const) {
      const fit = rankRegression(lifeData({failed}), {on})!;
      expect(fit.shape).toBeCloseTo(shape, 9);
      expect(fit.scale).toBeCloseTo(scale, 7);
      expect(fit.rSquared).toBeCloseTo(1, 12);
    }
    const lognormal = rankRegression(lifeData({failed}), {family: "lognormal"})!;
    expect(lognormal.shape).toBeNull();
    expect(lognormal.rSquared).toBeLessThan(1);
  });

  it("counts a weight as that many lives, and says what ranks cannot do", () => {
    const rows = rankRegression(lifeData({failed: [10, 20, 20, 40], suspended: [30, 30]}))!;
    const counts = rankRegression(
      lifeData({lower: [10, 20, 40, 30], upper: [10, 20, 40, null], weight: [1, 2, 1, 2]}),
    )!;
    expect(counts.shape).toBeCloseTo(rows.shape!, 12);
    const late = rankRegression(lifeData({lower: [10, 20, 25], upper: [10, 20, 35], entry: [0, 5, 0]}))!;
    expect(late.cautions.join(" ")).toMatch(/middle.*late/);
    expect(rankRegression(lifeData({failed: [10, 10]}))).toBeNull();
    expect(rankRegression(lifeData({suspended: [10, 10]}))).toBeNull();
  });
});
