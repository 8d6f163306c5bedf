/**
 * Whether the chances of the next-run check come true: simulated fleets of known truth (seeds/), each looked back on as the
 * page does, and counted together.
 *
 *   npm run calibrate:foretold                  20 fleets of each kind and size
 *   npm run calibrate:foretold -- --fleets 6    fewer
 *
 * Not part of npm test. Same seeds, same figures.
 */
import {FLEET_NAMES} from "../../seeds/scenario.ts";
import {foretold, foretoldBands, foretoldInAll, type Foretold, type ForetoldBand} from "../../src/decisions/index.ts";
import {runConditions} from "../../src/hydraulics/index.ts";
import {buildLives} from "../../src/lives/index.ts";
import {simulatedFleet, WORLDS, type World} from "../bench/decisions/fleets.ts";

const LEVEL = 0.9;
const SEED = 7000;

async function foretoldOf(fleets: number, tools: number, world: World): Promise<Foretold> {
  const all: Foretold = {component: [], life: [], survival: [], expected: [], seen: []};
  for (let i = 0; i < fleets; i++) {
    const {logs, settings} = await simulatedFleet(FLEET_NAMES[i % FLEET_NAMES.length]!, tools, SEED + i, world);
    const conditions = runConditions(logs.runs, settings);
    const {lives} = buildLives(logs, conditions, settings);
    const one = foretold({...logs, lives, conditions, settings});
    for (const key of ["component", "survival", "expected", "seen"] as const) (all[key] as unknown[]).push(...one[key]);
  }
  return all;
}

const percent = (value: number | null): string => (value === null ? "–" : `${(100 * value).toFixed(1)} %`);

function row(
  name: string,
  {parts, foretold: said, expected, failures, ratio, ratioLimits, seen, seenLimits}: ForetoldBand,
): string {
  return (
    `| ${name} | ${parts} | ${percent(said)} | ${percent(seen)} (${percent(seenLimits?.[0] ?? null)} to ${percent(seenLimits?.[1] ?? null)}) | ` +
    `${expected.toFixed(1)} | ${failures} | ${ratio === null ? "–" : ratio.toFixed(2)} (${ratioLimits === null ? "–" : ratioLimits.map((limit) => limit.toFixed(2)).join(" to ")}) |`
  );
}

const flag = process.argv.indexOf("--fleets");
const fleets = flag < 0 ? 20 : Number(process.argv[flag + 1]);
if (!(Number.isInteger(fleets) && fleets > 0)) {
  process.stderr.write("--fleets takes a whole number above 0\n");
  process.exit(2);
}
for (const world of WORLDS) {
  for (const tools of [10, 30, 60]) {
    const found = await foretoldOf(fleets, tools, world);
    const bands = foretoldBands(found, LEVEL);
    process.stdout.write(
      [
        `${world.name}; ${fleets} fleets of ${tools} tools`,
        "| chance foretold | parts | foretold, mean | seen (90 % limits) | failures foretold | seen | seen to foretold |",
        "|---|---|---|---|---|---|---|",
        ...bands.map((band) =>
          row(band.from === 0 ? `below ${percent(band.to)}` : `${percent(band.from)} to ${percent(band.to)}`, band),
        ),
        row("all", foretoldInAll(found, LEVEL)),
        "",
        "",
      ].join("\n"),
    );
  }
}
