/**
 * How often the true shape and scale of the invented scenario lie inside their limits: grows many scenarios, takes each
 * through the whole path (CSV text → tables → lives → condition effects) and counts.
 *
 *   node --import tsx tests/calibrate/recovery.ts [--scenarios 50]
 *
 * Only modes whose true law is exactly the fitted model are counted: Weibull on a clock that mud and flow speed up by
 * fixed factors (seeds/truth.ts). Under RECOVERABLE nobody renews a part because of how far its wear has gone, which
 * would make the end of a life depend on what is being estimated.
 */
import {MODE_LAWS} from "../../seeds/scenario.ts";
import {growScenario, RECOVERABLE} from "../../seeds/grow.ts";
import {acceleration} from "../../seeds/truth.ts";
import {writeLogs} from "../../seeds/writeLogs.ts";
import {DEFAULT_SETTINGS} from "../../shared/settings.ts";
import {runConditions} from "../../src/hydraulics/index.ts";
import {buildLives, conditionDataFor, type LifeTable} from "../../src/lives/index.ts";
import {importLogs} from "../../src/logs/index.ts";
import {fitConditions, normalQuantile} from "../../src/statistics/index.ts";

const LEVEL = 0.9;
/** fewer failures than this, and the fit is not asked */
const FEWEST = 10;
const z = normalQuantile((1 + LEVEL) / 2);

export interface Tally {
  mode: string;
  fits: number;
  failures: number;
  shapeInside: number;
  scaleInside: number;
  shapeError: number;
  scaleError: number;
}

/** The scenario's erosion modes: their clock is speeded up by mud and flow alone. */
const LAWS = MODE_LAWS.filter((law) => law.wear === "ero");

export async function recovery(scenarios: number, say: (text: string) => void): Promise<Tally[]> {
  const tallies = LAWS.map(({mode}) => ({
    mode,
    fits: 0,
    failures: 0,
    shapeInside: 0,
    scaleInside: 0,
    shapeError: 0,
    scaleError: 0,
  }));
  for (let seed = 1; seed <= scenarios; seed++) {
    const lives = await livesOf(seed);
    LAWS.forEach((law, i) => tally(lives, law, tallies[i]!));
    if (seed % 10 === 0) say(`${seed} of ${scenarios} scenarios`);
  }
  return tallies;
}

async function livesOf(seed: number): Promise<LifeTable> {
  const files = writeLogs(growScenario({seed, ...RECOVERABLE}), {clean: true});
  const encoder = new TextEncoder();
  const logs = await importLogs(files.map(({name, text}) => ({name, bytes: encoder.encode(text)})));
  const conditions = runConditions(logs.runs, DEFAULT_SETTINGS);
  return buildLives(logs, conditions, DEFAULT_SETTINGS).lives;
}

function tally(lives: LifeTable, law: (typeof LAWS)[number], into: Tally): void {
  const component = law.mode.slice(0, 4);
  const {data, muds, regimes} = conditionDataFor(lives, {component, modes: [law.mode]});
  const fit = fitConditions(data, {level: LEVEL});
  if (!fit.fitted || fit.failures < FEWEST) return;
  // judged in the condition with most exposure, where the answer matters most
  const cell = fit.cells.reduce((best, {exposure}, k) => (exposure > fit.cells[best]!.exposure ? k : best), 0);
  const {weibull, covariance} = fit.cells[cell]!;
  const speed = acceleration("ero", {
    mud: muds[cell] as Parameters<typeof acceleration>[1]["mud"],
    regime: regimes[cell] as Parameters<typeof acceleration>[1]["regime"],
    temperature: 110,
  });
  const shape = Math.log(weibull.shape / law.shape);
  const scale = Math.log(weibull.scale / (law.scale / speed));
  into.fits += 1;
  into.failures += fit.failures;
  into.shapeError += shape;
  into.scaleError += scale;
  if (Math.abs(shape) <= z * Math.sqrt(covariance[1][1])) into.shapeInside += 1;
  if (Math.abs(scale) <= z * Math.sqrt(covariance[0][0])) into.scaleInside += 1;
}

function print(tallies: readonly Tally[], scenarios: number): void {
  const out = process.stdout;
  out.write(`Truth inside its ${LEVEL * 100} % limits, ${scenarios} scenarios, condition with most exposure\n`);
  out.write("mode        fits  failures  shape in  scale in  mean log error of shape, scale\n");
  const total = {fits: 0, shape: 0, scale: 0};
  for (const {mode, fits, failures, shapeInside, scaleInside, shapeError, scaleError} of tallies) {
    total.fits += fits;
    total.shape += shapeInside;
    total.scale += scaleInside;
    const share = (count: number): string => (fits === 0 ? "–" : `${((100 * count) / fits).toFixed(0)} %`);
    const mean = (sum: number): string => (fits === 0 ? "–" : (sum / fits).toFixed(3));
    out.write(
      `${mode.padEnd(10)}  ${String(fits).padStart(4)}  ${(fits === 0 ? "–" : (failures / fits).toFixed(0)).padStart(8)}  ` +
        `${share(shapeInside).padStart(8)}  ${share(scaleInside).padStart(8)}  ${mean(shapeError)}, ${mean(scaleError)}\n`,
    );
  }
  const {fits, shape, scale} = total;
  out.write(`all: shape ${shape} of ${fits}, scale ${scale} of ${fits}\n`);
}

if (import.meta.url === `file://${process.argv[1]}`) {
  const at = process.argv.indexOf("--scenarios");
  const scenarios = at < 0 ? 50 : Number(process.argv[at + 1]);
  if (!(Number.isInteger(scenarios) && scenarios > 0)) {
    process.stderr.write("--scenarios takes a whole number above 0\n");
    process.exit(2);
  }
  print(await recovery(scenarios, (text) => process.stderr.write(`${text}\n`)), scenarios);
}
