import {bootstrapLife, runToEnd} from "../../../src/statistics/bootstrapLife.ts";
import {fitLife} from "../../../src/statistics/fitLife.ts";
import {ageLimits, shapeLimits, type LimitOptions} from "../../../src/statistics/lifeLimits.ts";
import {seededRandom} from "../../../src/statistics/random.ts";
import {quantile} from "../../../src/statistics/weibull.ts";
import {DESIGNS, TRUTH} from "./designs.ts";
import {table, Tally} from "./tally.ts";

const FAILURES = [5, 10, 20, 50];
const METHODS = ["likelihood", "adjusted", "normal"] as const;
/** resampled sets behind one bootstrap limit, and how many times fewer sets get one */
const RESAMPLES = 300;
const FEWER = 10;

/** Coverage of 90 % limits of shape and B10, by design, failures and method. */
export function coverage(sets: number, print: (text: string) => void): void {
  const b10 = quantile(0.1, TRUTH);
  print(
    `Coverage of 90 % limits in percent (truth below the lower limit / above the upper limit), ${sets} sets each, ` +
      `bootstrap ${Math.ceil(sets / FEWER)} sets of ${RESAMPLES} resamples. ` +
      `Standard deviation of a figure near 90: ${(100 * Math.sqrt(0.09 / sets)).toFixed(1)}, bootstrap ${(100 * Math.sqrt((0.09 * FEWER) / sets)).toFixed(1)}.`,
  );
  const rows: string[][] = [["design", "failures", "no fit", "figure", ...METHODS, "bootstrap"]];
  for (const design of DESIGNS) {
    for (const failures of FAILURES) {
      const random = seededRandom(failures * 1000 + design.name.length);
      const shape = new Map<string, Tally>();
      const age = new Map<string, Tally>();
      let lost = 0;
      const count = (by: string, options: LimitOptions, data: ReturnType<typeof design.draw>): void => {
        const fit = fitLife(data);
        if (!fit.fitted) return;
        for (const tallies of [shape, age]) if (!tallies.has(by)) tallies.set(by, new Tally());
        shape.get(by)!.add(shapeLimits(data, fit, options).limits, TRUTH.shape);
        age.get(by)!.add(ageLimits(data, fit, 0.1, options).limits, b10);
      };
      for (let s = 0; s < sets; s++) {
        const data = design.draw(failures, random);
        const fit = fitLife(data);
        if (!fit.fitted) {
          lost++;
          continue;
        }
        for (const by of METHODS) count(by, {by}, data);
        if (s % FEWER === 0) {
          const replicates = runToEnd(bootstrapLife(data, fit, {count: RESAMPLES, seed: s}))!;
          count("bootstrap", {by: "bootstrap", replicates}, data);
        }
      }
      const methods = [...METHODS, "bootstrap"];
      const of = (tallies: Map<string, Tally>): string[] => methods.map((by) => String(tallies.get(by)));
      rows.push([design.name, String(failures), String(lost), "shape", ...of(shape)]);
      rows.push(["", "", "", "B10", ...of(age)]);
    }
  }
  print(table(rows));
}
