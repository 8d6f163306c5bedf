/**
 * `npm run bench`: how long each step takes, beside something that does comparable work on the same data in the same run.
 * The ratios are what to look at: seconds belong to a machine and a day, and nothing here is asserted.
 */
import {spawnSync} from "node:child_process";
import {readdirSync, readFileSync} from "node:fs";
import {fileURLToPath} from "node:url";
import {fromCSV} from "arquero";
import {csvParseRows, median} from "d3";
import Papa from "papaparse";
import {parseSettings} from "../../shared/settings.ts";
import {renewalIntervals} from "../../src/decisions/index.ts";
import {runConditions} from "../../src/hydraulics/index.ts";
import {buildLives, conditionDataFor, lifeDataFor} from "../../src/lives/index.ts";
import {importLogs} from "../../src/logs/index.ts";
import {fitConditions, fitLife, lifeData, seededRandom, shapeLimits} from "../../src/statistics/index.ts";

interface Step {
  readonly name: string;
  work(): unknown;
}

const TITLES: Readonly<Record<string, string>> = {
  "load.ts":
    "200,000 runs and 1,600,000 rebuild rows from bytes to lives, beside general CSV readers on the same bytes",
  "loadBrowser.ts": "the same files in the page, from their choice to the open logs",
};

const data = fileURLToPath(new URL("../../data/", import.meta.url));
const files = readdirSync(data)
  .filter((name) => /^(runs|rebuilds)\..*\.csv$/.test(name))
  .map((name) => ({name, bytes: new Uint8Array(readFileSync(data + name))}));
const {settings} = parseSettings(readFileSync(`${data}settings.yaml`, "utf8"), "settings.yaml");
const logs = await importLogs(files);
const conditions = runConditions(logs.runs, settings);
const {lives} = buildLives(logs, conditions, settings);

await sideBySide(
  `read the demo's ${files.length} files, ${(sum(files.map(({bytes}) => bytes.length)) / 1e6).toFixed(1)} MB`,
  [
    {
      name: "papaparse: cells only, nothing checked",
      work: () => files.map(({bytes}) => Papa.parse<string[]>(text(bytes))),
    },
    {name: "d3-dsv: cells only", work: () => files.map(({bytes}) => csvParseRows(text(bytes)))},
    {name: "arquero fromCSV: cells only", work: () => files.map(({bytes}) => fromCSV(text(bytes), {autoType: false}))},
    {name: "importLogs: matched, converted, checked", work: () => importLogs(files)},
  ],
);

await sideBySide(`from ${logs.runs.rows} runs and ${logs.rebuilds.rows} rebuild rows to ${lives.rows} lives`, [
  {name: "importLogs", work: () => importLogs(files)},
  {name: "runConditions", work: () => runConditions(logs.runs, settings)},
  {name: "buildLives", work: () => buildLives(logs, conditions, settings)},
]);

const seals = lifeDataFor(lives, {component: "SEAL"}).data;
const conditionsOfSeals = conditionDataFor(lives, {component: "SEAL"}).data;
const big = simulated(10_000);
await sideBySide(`life models; ${seals.lower.length} seals of the demo`, [
  {name: "fitLife, one Weibull", work: () => fitLife(seals)},
  {name: "shapeLimits by likelihood", work: () => fitted(fitLife(seals), (fit) => shapeLimits(seals, fit))},
  {name: "fitConditions, mud and flow effects", work: () => fitConditions(conditionsOfSeals)},
  {name: "fitLife, 10,000 simulated lives", work: () => fitLife(big)},
]);

await sideBySide("decisions on the whole demo", [
  {name: "fitConditions, one component", work: () => fitConditions(conditionsOfSeals)},
  {name: "renewalIntervals, every component and condition", work: () => renewalIntervals({...logs, lives, settings})},
]);

// each measures in processes of its own, whose memory is its own
for (const bench of ["load.ts", "loadBrowser.ts"]) {
  process.stdout.write(`\n${TITLES[bench]}\n`);
  const path = fileURLToPath(new URL(bench, import.meta.url));
  const {status} = spawnSync(process.execPath, ["--import", "tsx", path], {stdio: "inherit"});
  if (status !== 0) process.exitCode = 1;
}

/** Medians of at least five rounds, the steps in turn, so that a busy moment hits them all. */
async function sideBySide(title: string, steps: readonly Step[]): Promise<void> {
  const times = steps.map((): number[] => []);
  for (let round = 0; round < 7; round++) {
    for (const [i, step] of steps.entries()) {
      const from = performance.now();
      await step.work();
      if (round > 1) times[i]!.push(performance.now() - from); // the first two rounds warm up
    }
  }
  const first = median(times[0]!)!;
  process.stdout.write(`\n${title}\n`);
  steps.forEach(({name}, i) => {
    const typical = median(times[i]!)!;
    process.stdout.write(
      `  ${(typical / first).toFixed(2).padStart(8)} ×  ${typical.toFixed(2).padStart(9)} ms  ${name}\n`,
    );
  });
}

function simulated(n: number) {
  const random = seededRandom(7);
  const failed: number[] = [];
  const suspended: number[] = [];
  for (let i = 0; i < n; i++) {
    const age = 1000 * (-Math.log(1 - random.uniform())) ** (1 / 2);
    if (age < 600) failed.push(age);
    else suspended.push(600);
  }
  return lifeData({failed, suspended});
}

function fitted<T>(outcome: ReturnType<typeof fitLife>, use: (fit: Extract<typeof outcome, {fitted: true}>) => T): T {
  if (!outcome.fitted) throw new Error(outcome.sentence);
  return use(outcome);
}

function text(bytes: Uint8Array): string {
  return new TextDecoder().decode(bytes);
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
