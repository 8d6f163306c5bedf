/**
 * How long 200,000 runs and 1,600,000 rebuild rows take to load, beside general CSV readers on the same bytes:
 * `node --import tsx tests/bench/load.ts [share of the full size, default 1]`. Each reader has a process of its own, so
 * that its memory is its own. The ratios are what to look at; nothing is asserted.
 */
import {spawnSync} from "node:child_process";
import {fileURLToPath} from "node:url";
import {fromCSV} from "arquero";
import {csvParseRows} from "d3";
import Papa from "papaparse";
import {DEFAULT_SETTINGS} from "../../shared/settings.ts";
import {runConditions} from "../../src/hydraulics/index.ts";
import {buildLives} from "../../src/lives/index.ts";
import {importLogs, type LogFile} from "../../src/logs/index.ts";
import {bigLogs} from "./bigLogs.ts";

const [share = "1", reader] = process.argv.slice(2);

const READERS: Readonly<Record<string, (files: readonly LogFile[]) => unknown>> = {
  "papaparse: cells only": (files) => files.map(({bytes}) => Papa.parse<string[]>(text(bytes)).data.length),
  "d3-dsv: cells only": (files) => files.map(({bytes}) => csvParseRows(text(bytes)).length),
  "arquero fromCSV: cells only": (files) => files.map(({bytes}) => fromCSV(text(bytes), {autoType: false}).numRows()),
  "importLogs: matched, converted, checked": (files) => importLogs(files),
  "importLogs and lives": async (files) => {
    const logs = await importLogs(files);
    return buildLives(logs, runConditions(logs.runs, DEFAULT_SETTINGS), DEFAULT_SETTINGS).lives.rows;
  },
};

if (reader !== undefined) {
  const files = bigLogs(Number(share));
  const from = performance.now();
  await READERS[reader]?.(files);
  const seconds = (performance.now() - from) / 1000;
  process.stdout.write(JSON.stringify({seconds, megabytes: process.resourceUsage().maxRSS / 1024}));
} else {
  let first: number | null = null;
  for (const name of Object.keys(READERS)) {
    const {stdout, stderr, status} = spawnSync(
      process.execPath,
      ["--max-old-space-size=6000", "--import", "tsx", fileURLToPath(import.meta.url), share, name],
      {encoding: "utf8"},
    );
    if (status !== 0) throw new Error(`${name} failed: ${stderr}`);
    const {seconds, megabytes} = JSON.parse(stdout) as {seconds: number; megabytes: number};
    first ??= seconds;
    process.stdout.write(
      `${(seconds / first).toFixed(2).padStart(8)} ×  ${seconds.toFixed(2).padStart(7)} s  ${megabytes.toFixed(0).padStart(6)} MB  ${name}\n`,
    );
  }
}

function text(bytes: Uint8Array): string {
  return new TextDecoder().decode(bytes);
}
