import {describe, expect, it} from "vitest";
import {
  ageBand,
  ageLimits,
  checkFit,
  compareFamilies,
  compareGroups,
  conditionalReliabilityLimits,
  coxSnellResiduals,
  fitLife,
  fitThreshold,
  fixedShapeBound,
  kaplanMeier,
  lifeData,
  likelihoodContour,
  meanLimits,
  rankRegression,
  reliabilityLimits,
  runToEnd,
  scaleLimits,
  shapeLimits,
  turnbull,
  type LifeData,
} from "../../src/statistics/index.ts";
import {seededRandom, type Random} from "../../src/statistics/random.ts";

/** Few lives of every kind, some at one age, some a billionth apart, on scales from 1e-15 to 1e15. */
function anyLives(random: Random): {data: LifeData; scale: number} {
  const scale = random.below(4) === 0 ? 10 ** (30 * random.uniform() - 15) : 100;
  const age = (): number => {
    const kind = random.below(6);
    if (kind === 0) return scale;
    if (kind === 1) return scale * (1 + 1e-9 * random.uniform());
    if (kind === 2) return scale * (1 + random.below(3));
    return scale * random.exponential() ** (random.below(2) === 0 ? 3 : 0.5);
  };
  const n = 1 + random.below(10);
  const rows = Array.from({length: n}, () => {
    const a = age();
    const entry = random.below(4) === 0 ? a * 0.9 * random.uniform() : 0;
    const kind = random.below(4);
    if (kind === 0) return {lower: a, upper: a, entry};
    if (kind === 1) return {lower: a, upper: Infinity, entry};
    if (kind === 2) return {lower: a, upper: a * (1 + random.exponential()), entry};
    return {lower: 0, upper: a, entry: 0};
  });
  const data = lifeData({
    lower: rows.map((r) => r.lower),
    upper: rows.map((r) => r.upper),
    entry: rows.map((r) => r.entry),
    weight: rows.map(() => (random.below(5) === 0 ? 1 + random.below(40) : 1)),
  });
  return {data, scale};
}

/** Where a NaN hides in a result, or null. */
function hiddenNaN(value: unknown, path = ""): string | null {
  if (typeof value === "number") return Number.isNaN(value) ? path : null;
  if (value === null || typeof value !== "object") return null;
  for (const [key, inner] of Object.entries(value)) {
    const found = hiddenNaN(inner, `${path}.${key}`);
    if (found !== null) return found;
  }
  return null;
}

describe("whatever lives lifeData lets through", () => {
  it("every estimate, limit, curve and check ends in figures or in a reason, never in NaN", () => {
    for (let seed = 1; seed <= 24; seed++) {
      const {data, scale} = anyLives(seededRandom(seed));
      const results: Record<string, unknown> = {
        kaplanMeier: kaplanMeier(data),
        turnbull: turnbull(data),
        ranks: rankRegression(data),
        families: compareFamilies(data),
        groups: compareGroups(
          data,
          Array.from(data.lower, (_, i) => i % 2),
          ["a", "b"],
        ),
        threshold: seed % 5 === 0 ? fitThreshold(data) : null,
        bound: fixedShapeBound(data, {shape: 2, confidence: 0.9}),
      };
      for (const family of ["weibull", "lognormal", "loglogistic", "exponential"] as const) {
        const fit = fitLife(data, {family});
        if (!fit.fitted) continue;
        for (const by of ["likelihood", "adjusted", "normal"] as const) {
          results[`${family} ${by}`] = [
            shapeLimits(data, fit, {by}),
            scaleLimits(data, fit, {by}),
            ageLimits(data, fit, 0.1, {by}),
            reliabilityLimits(data, fit, scale, {by}),
            conditionalReliabilityLimits(data, fit, {age: scale, mission: scale / 3}, {by}),
            meanLimits(data, fit, {by}),
          ];
        }
        results[`${family} curves`] = [
          likelihoodContour(data, fit),
          ageBand(data, fit, [0.01, 0.5, 0.99]),
          coxSnellResiduals(data, fit),
          runToEnd(checkFit(data, fit, {count: 4, seed})),
        ];
      }
      for (const [name, result] of Object.entries(results)) {
        expect(hiddenNaN(result), `seed ${seed}, ${name}`).toBeNull();
      }
    }
  });
});
