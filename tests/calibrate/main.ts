/**
 * How far the statistics can be trusted, by simulation and against the references.
 *
 *   npm run calibrate                 2,000 sets each, some minutes
 *   npm run calibrate -- --sets 200   quicker and rougher
 *
 * Not part of npm test. Same seeds, same figures.
 */
import {conditions} from "./statistics/conditions.ts";
import {coverage} from "./statistics/coverage.ts";
import {references} from "./statistics/references.ts";

const flag = process.argv.indexOf("--sets");
const sets = flag < 0 ? 2000 : Number(process.argv[flag + 1]);
if (!(Number.isInteger(sets) && sets > 0)) {
  process.stderr.write(`calibrate --sets requires a whole number above 0, got ${process.argv[flag + 1]}\n`);
  process.exit(2);
}
const print = (text: string): void => {
  process.stdout.write(`${text}\n\n`);
};
references(print);
conditions(Math.ceil(sets / 10), print);
coverage(sets, print);
