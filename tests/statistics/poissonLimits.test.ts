import {describe, expect, it} from "vitest";
import {poissonLimits, rateLimits} from "../../src/statistics/poissonLimits.ts";
import {at, entry, expectQuantity, number} from "./reference.ts";

describe("poissonLimits(count, level)", () => {
  it("agrees with the printed table of poisson-limits", () => {
    const {expected} = entry("poisson-limits");
    for (const x of [1, 2, 3, 5, 10]) expectQuantity(poissonLimits(x, 0.95), at(expected, `x${x}_95`));
    expectQuantity(poissonLimits(5, 0.9), at(expected, "x5_90"));
    expectQuantity(poissonLimits(0, 0.95)[1], at(expected, "x0_95_upper"));
    expectQuantity(poissonLimits(0, 0.9)[1], at(expected, "x0_90_upper_two_sided"));
    expectQuantity(poissonLimits(0, 0.9)[1], at(expected, "x0_95_one_sided_upper"));
    expect(poissonLimits(0, 0.9)[0]).toBe(0);
  });

  it("rateLimits agrees with poisson-nickel-smr", () => {
    const {inputs, expected} = entry("poisson-nickel-smr");
    const exposure = number(inputs, "T");
    expectQuantity(137 / exposure, at(expected, "rate"));
    expectQuantity(rateLimits({count: 137, exposure}, 0.95), at(expected, "limits_95"));
  });

  it("rateLimits gives the time-terminated bounds of mtbf-limits", () => {
    const {inputs, expected} = entry("mtbf-limits");
    const exposure = number(inputs, "T");
    const meanLimits = (count: number, hours: number, level: number) => {
      const [low, high] = rateLimits({count, exposure: hours}, level);
      return [1 / high, 1 / low];
    };
    expectQuantity(meanLimits(2, exposure, 0.9), at(expected, "limits_90"));
    expectQuantity(meanLimits(2, exposure, 0.95), at(expected, "limits_95"));
    expectQuantity(
      meanLimits(2, exposure, 0.9).map((m) => m / 400),
      at(expected, "factor_90"),
    );
    expectQuantity(meanLimits(0, 1000, 0.9)[0]!, at(expected, "zero_failures_95_one_sided_lower_T1000"));
    expectQuantity(meanLimits(1, 1000, 0.9)[0]!, at(expected, "one_failure_95_one_sided_lower_T1000"));
  });

  it("refuses a level or a count that cannot be, and answers no exposure with no knowledge", () => {
    expect(() => poissonLimits(3, 90)).toThrow("level in (0, 1), got 90");
    expect(() => poissonLimits(-1, 0.9)).toThrow("count >= 0, got -1");
    expect(() => rateLimits({count: 1, exposure: NaN}, 0.9)).toThrow("exposure");
    expect(rateLimits({count: 0, exposure: 0}, 0.9)).toEqual([0, Infinity]);
  });
});
