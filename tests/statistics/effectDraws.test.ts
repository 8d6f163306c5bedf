import {describe, expect, it} from "vitest";
import {conditionDraws, effectDraws} from "../../src/statistics/conditionDraws.ts";
import {fitConditions} from "../../src/statistics/fitConditions.ts";
import {conditionFleet} from "./simulate.ts";

const data = conditionFleet({
  lives: 120,
  seed: 3,
  first: [0, 0.3, -0.2],
  second: [0, 0.5],
  shape: 2,
  scale: 300,
  loyalty: 0.7,
  removal: 250,
  exact: 0.5,
});

describe("effectDraws(fit, {count, seed})", () => {
  it("are the draws of conditionDraws, effect by effect", () => {
    const fit = fitConditions(data);
    if (!fit.fitted) throw new Error(fit.sentence);
    const cells = conditionDraws(fit, {count: 20, seed: 5});
    const effects = effectDraws(fit, {count: 20, seed: 5});
    expect(effects.shape).toEqual(cells.shape);
    for (let d = 0; d < 20; d++)
      for (let cell = 0; cell < data.cells; cell++) {
        const speed = data.factors.reduce((sum, factor) => {
          const level = factor.levels[factor.levelOf[cell]!]!;
          const e = fit.effects.findIndex((effect) => effect.factor === factor.name && effect.level === level);
          return sum + effects.effect[d * effects.effects + e]!;
        }, 0);
        expect(effects.scale[d]! * Math.exp(-speed)).toBeCloseTo(cells.scale[d * data.cells + cell]!, 6);
      }
  });
});
