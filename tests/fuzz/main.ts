/**
 * `npm run fuzz -- --seconds 600 --seed 1`: damages what a reader may give for as long as it is told, and stops at the
 * first file that crashes whatever opens it, takes longer than anybody waits, fills the memory, leaves a row unaccounted
 * for or a hole on a page. A file is told again by its seed; `--way` stays with one way of damage, `--all` goes on.
 *
 * The files are opened in a process of their own: one that never comes back, or ends the process, is told by its seed too.
 */
import {fork} from "node:child_process";
import {fileURLToPath} from "node:url";
import {parseArgs} from "node:util";
import type {Told, TrialOver} from "./trials.ts";

const {values} = parseArgs({
  options: {
    seconds: {type: "string", default: "60"},
    seed: {type: "string", default: "1"},
    way: {type: "string", default: ""},
    all: {type: "boolean", default: false},
  },
});
/** Nothing is heard for so long: it hangs. */
const SILENCE_MS = 60_000;
const TRIALS = fileURLToPath(new URL("./trials.ts", import.meta.url));

const until = Date.now() + 1000 * Number(values.seconds);
const counts = new Map<string, {files: number; rows: number; slowest: number}>();
let wrong = 0;
let most = 0;
let seed = Number(values.seed);
while (Date.now() < until && (wrong === 0 || values.all)) seed = await openedFrom(seed);
for (const [way, {files, rows, slowest}] of [...counts].sort(([a], [b]) => (a < b ? -1 : 1)))
  process.stdout.write(
    `${String(files).padStart(8)} files ${String(rows).padStart(9)} rows, slowest ${(slowest / 1000).toFixed(2)} s: ${way}\n`,
  );
const all = [...counts.values()].reduce((sum, {files}) => sum + files, 0);
const said = wrong === 0 ? "no crash, no hang, no row unaccounted for, no hole" : `${wrong} went wrong`;
process.stdout.write(`seeds ${values.seed} to ${seed - 1}, ${all} files: ${said}; at most ${most} MB of memory\n`);
process.exit(wrong === 0 ? 0 : 1);

/** Lets a process open files from a seed on until time is up or one is too much for it; gives the next seed. */
function openedFrom(from: number): Promise<number> {
  let at = from;
  const child = fork(TRIALS, [String(from), String(until), values.way], {execArgv: ["--import", "tsx"]});
  return new Promise((resolve) => {
    const hang = (): void => {
      tell(at, `hangs: nothing was heard for ${SILENCE_MS / 1000} s`);
      child.kill("SIGKILL");
    };
    let timer = setTimeout(hang, SILENCE_MS);
    child.on("message", (told: Told) => {
      clearTimeout(timer);
      timer = setTimeout(hang, SILENCE_MS);
      if ("begins" in told) at = told.begins;
      else if (count(told) && !values.all) child.kill("SIGKILL");
    });
    child.on("exit", (code, signal) => {
      clearTimeout(timer);
      if (code !== 0 && signal !== "SIGKILL") tell(at, `the process ended with ${code ?? signal ?? "nothing"}`);
      resolve(at + 1);
    });
  });
}

/** @returns whether something went wrong */
function count({seed: of, way, files, rows, took, memory, wrong: sentence}: TrialOver): boolean {
  const before = counts.get(way) ?? {files: 0, rows: 0, slowest: 0};
  counts.set(way, {
    files: before.files + files,
    rows: before.rows + rows,
    slowest: Math.max(before.slowest, took),
  });
  most = Math.max(most, memory);
  if (sentence !== null) tell(of, `${way}: ${sentence}`);
  return sentence !== null;
}

function tell(of: number, sentence: string): void {
  wrong += 1;
  process.stderr.write(`seed ${of}: ${sentence}\n`);
}
