import {describe, expect, it} from "vitest";
import {
  fixedShapeBound,
  meanTimeLimits,
  successRunCount,
  successRunReliability,
} from "../../src/statistics/fixedShape.ts";
import {lifeData} from "../../src/statistics/lifeData.ts";
import {quantile, survival} from "../../src/statistics/weibull.ts";
import {at, entry, expectQuantity, number, numbers} from "./reference.ts";

describe("fixedShapeBound(data, {shape, confidence})", () => {
  it("agrees with zero-failure-given-shape", () => {
    const {inputs, expected} = entry("zero-failure-given-shape");
    const data = lifeData({suspended: numbers(inputs, "ages")});
    const bound = (confidence: number) => fixedShapeBound(data, {shape: 2, confidence})!;
    const total = numbers(inputs, "ages").reduce((sum, t) => sum + t * t, 0);
    expectQuantity(total, at(expected, "sum_t_pow_shape"));
    expectQuantity(bound(0.95).scale, at(expected, "scale_lower_95"));
    expectQuantity(bound(0.9).scale, at(expected, "scale_lower_90"));
    expectQuantity(bound(0.5).scale, at(expected, "scale_lower_50"));
    expectQuantity(quantile(0.1, bound(0.95)), at(expected, "B10_lower_95"));
    expectQuantity(survival(500, bound(0.95)), at(expected, "R500_lower_95"));
    expect(bound(0.95).cautions[0]).toContain("taken to be 2");
  });

  it("is null when nothing was lived, and refuses what cannot be", () => {
    expect(fixedShapeBound(lifeData({suspended: []}), {shape: 2, confidence: 0.9})).toBeNull();
    expect(fixedShapeBound(lifeData({suspended: [0]}), {shape: 2, confidence: 0.9})).toBeNull();
    expect(() => fixedShapeBound(lifeData({suspended: [1]}), {shape: -2, confidence: 0.9})).toThrow("got -2");
  });

  it("takes less than full credit for a late entry", () => {
    const whole = fixedShapeBound(lifeData({suspended: [100, 100]}), {shape: 3, confidence: 0.9})!;
    const late = fixedShapeBound(lifeData({lower: [100, 100], upper: [null, null], entry: [50, 0]}), {
      shape: 3,
      confidence: 0.9,
    })!;
    expect(late.scale ** 3 / whole.scale ** 3).toBeCloseTo((2 - 0.125) / 2, 10);
  });
});

describe("success run and mean time", () => {
  it("agree with success-run", () => {
    const {inputs, expected} = entry("success-run");
    const cases = at(inputs, "cases") as readonly (readonly [number, number])[];
    const counts = cases.map(([reliability, confidence]) => successRunCount({reliability, confidence}));
    expectQuantity(counts, at(expected, "n"));
    const exact = cases.map(([reliability, confidence]) => Math.log(1 - confidence) / Math.log(reliability));
    expectQuantity(exact, at(expected, "exact_real_n"));
    expectQuantity(successRunReliability({lives: 22, confidence: 0.9}), at(expected, "R_lower_n22_C90"));
    expect(successRunCount({reliability: 0.5, confidence: 0.875})).toBe(3); // 0.5³ = 0.125 exactly
  });

  it("meanTimeLimits agree with mtbf-limits, ended by the clock or by a failure", () => {
    const {inputs, expected} = entry("mtbf-limits");
    const exposure = number(inputs, "T");
    const limits = (level: number, endedBy: "clock" | "failure" = "clock") =>
      meanTimeLimits({failures: 2, exposure, endedBy}, level).map((end) => end!);
    expectQuantity(exposure / 2, number(expected, "mtbf"));
    expectQuantity(limits(0.9), at(expected, "limits_90"));
    expectQuantity(limits(0.95), at(expected, "limits_95"));
    expectQuantity(
      limits(0.9).map((end) => end / 400),
      at(expected, "factor_90"),
    );
    expectQuantity(limits(0.9, "failure"), at(expected, "failure_terminated_limits_90"));
    const [none, above] = meanTimeLimits({failures: 0, exposure: 1000}, 0.9);
    expectQuantity(none, at(expected, "zero_failures_95_one_sided_lower_T1000"));
    expect(above).toBeNull();
    expectQuantity(
      meanTimeLimits({failures: 1, exposure: 1000}, 0.9)[0],
      at(expected, "one_failure_95_one_sided_lower_T1000"),
    );
    expect(() => meanTimeLimits({failures: 0, exposure: 5, endedBy: "failure"}, 0.9)).toThrow("requires a failure");
  });
});
