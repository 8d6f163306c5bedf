/**
 * `npm run fuzz -- --seconds 600 --seed 1`: damages good logs for as long as it is told, and stops at the first file that
 * crashes the import, takes longer than anybody waits, or leaves a row unaccounted for. A file is told again by its seed.
 */
import {parseArgs} from "node:util";
import {seededRandom} from "../../src/statistics/index.ts";
import {damaged} from "./damage.ts";
import {tried} from "./tried.ts";

const {values} = parseArgs({options: {seconds: {type: "string", default: "60"}, seed: {type: "string", default: "1"}}});
const until = performance.now() + 1000 * Number(values.seconds);
const counts = new Map<string, {files: number; rows: number; slowest: number}>();
let seed = Number(values.seed);
for (; performance.now() < until; ++seed) {
  const {way, files} = damaged(seededRandom(seed));
  const {rows, took, wrong} = await tried(files);
  if (wrong !== null) {
    process.stderr.write(`seed ${seed} (${way}): ${wrong}\n`);
    process.exit(1);
  }
  const count = counts.get(way) ?? {files: 0, rows: 0, slowest: 0};
  counts.set(way, {
    files: count.files + files.length,
    rows: count.rows + rows,
    slowest: Math.max(count.slowest, took),
  });
}
for (const [way, {files, rows, slowest}] of counts)
  process.stdout.write(
    `${String(files).padStart(8)} files ${String(rows).padStart(9)} rows, slowest ${(slowest / 1000).toFixed(2)} s: ${way}\n`,
  );
process.stdout.write(`seeds ${values.seed} to ${seed - 1}: no crash, no hang, no row unaccounted for\n`);
