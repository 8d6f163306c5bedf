import {cellAge} from "../../../src/statistics/cellLimits.ts";
import {cellChecks} from "../../../src/statistics/cellChecks.ts";
import {fitConditions, type ConditionFit} from "../../../src/statistics/fitConditions.ts";
import {fitLife} from "../../../src/statistics/fitLife.ts";
import {seededRandom} from "../../../src/statistics/random.ts";
import {quantile} from "../../../src/statistics/weibull.ts";
import {conditionFleet} from "../../statistics/simulate.ts";
import {table, Tally} from "./tally.ts";

/** Mean and root mean square of errors. */
class Errors {
  n = 0;
  sum = 0;
  squares = 0;

  add(error: number): void {
    this.n++;
    this.sum += error;
    this.squares += error * error;
  }

  get mean(): string {
    return this.n === 0 ? "–" : (this.sum / this.n).toFixed(3);
  }

  get size(): string {
    return this.n === 0 ? "–" : Math.sqrt(this.squares / this.n).toFixed(3);
  }
}

const SCALE = 300;
const SHAPE = 2.2;

/**
 * Fleets of two factors (5 × 3 levels), true effects normal with standard deviation 0.4, half of each life spent outside its own
 * cell, half of the failures found at a look. Three ways to say the B10 life of each of the 15 cells.
 */
export function conditions(fleets: number, print: (text: string) => void): void {
  print(
    `Condition effects, ${fleets} fleets each: bias and coverage of effects (90 % limits); root mean square error of log B10 per cell by ` +
      "shrunken effects, effects without shrinkage, all lives pooled, and separate fits of the lives at home in a cell " +
      "(scored, with the shrunken error on those same cells, only where a separate fit exists).",
  );
  const rows = [
    [
      "lives",
      "failures",
      "effect bias",
      "effect coverage",
      "cell B10 coverage",
      "shrunken",
      "unshrunken",
      "pooled",
      "separate",
      "shrunken, same cells",
      "cells with a separate fit",
    ],
  ];
  for (const lives of [60, 200, 800]) {
    const random = seededRandom(lives);
    const bias = new Errors();
    const effects = new Tally();
    const b10 = new Tally();
    const errors = {
      shrunken: new Errors(),
      unshrunken: new Errors(),
      pooled: new Errors(),
      separate: new Errors(),
      same: new Errors(),
    };
    let failures = 0;
    let fitted = 0;
    for (let f = 0; f < fleets; f++) {
      const first = Array.from({length: 5}, () => 0.4 * random.normal());
      const second = Array.from({length: 3}, () => 0.4 * random.normal());
      const data = conditionFleet({
        lives,
        seed: f + 7,
        first,
        second,
        shape: SHAPE,
        scale: SCALE,
        loyalty: 0.5,
        removal: 240,
        exact: 0.5,
      });
      const fit = fitConditions(data);
      if (!fit.fitted) continue;
      fitted++;
      failures += fit.failures;
      const truth = [first, second];
      data.factors.forEach(({name, levels}, index) => {
        const own = fit.effects.filter((e) => e.factor === name);
        const base = levels.indexOf(own.find((e) => e.reference)!.level!);
        for (const e of own) {
          if (e.reference) continue;
          const real = truth[index]![levels.indexOf(e.level!)]! - truth[index]![base]!;
          // toward zero is negative: what shrinkage costs
          bias.add((e.estimate - real) * Math.sign(real));
          effects.add(e.limits, real);
        }
      });
      const free = fitConditions(data, {widths: [50, 50]});
      const all = fitLife(data);
      const checks = cellChecks(data, fit);
      for (let c = 0; c < data.cells; c++) {
        const real = quantile(0.1, {
          shape: SHAPE,
          scale: SCALE * Math.exp(-first[Math.floor(c / 3)]! - second[c % 3]!),
        });
        const age = cellAge(fit.cells[c]!, 0.1);
        b10.add(age.limits, real);
        const error = Math.log(age.estimate / real);
        errors.shrunken.add(error);
        if (free.fitted) errors.unshrunken.add(Math.log(b10Of(free, c) / real));
        if (all.fitted) errors.pooled.add(Math.log(quantile(0.1, {shape: all.shape!, scale: all.scale!}) / real));
        const {own} = checks[c]!;
        if (own.fitted) {
          errors.separate.add(Math.log(quantile(0.1, {shape: own.shape!, scale: own.scale!}) / real));
          errors.same.add(error);
        }
      }
    }
    rows.push([
      String(lives),
      (failures / fitted).toFixed(0),
      bias.mean,
      String(effects),
      String(b10),
      errors.shrunken.size,
      errors.unshrunken.size,
      errors.pooled.size,
      errors.separate.size,
      errors.same.size,
      `${((100 * errors.separate.n) / (15 * fitted)).toFixed(0)} %`,
    ]);
  }
  print(table(rows));
}

const b10Of = (fit: ConditionFit, cell: number): number => quantile(0.1, fit.cells[cell]!.weibull);
