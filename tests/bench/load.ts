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
import {seededRandom} from "../../src/statistics/index.ts";
import {DEFAULT_SETTINGS} from "../../shared/settings.ts";
import {runConditions} from "../../src/hydraulics/index.ts";
import {buildLives} from "../../src/lives/index.ts";
import {importLogs} from "../../src/logs/index.ts";

const RUNS = 200_000;
const REBUILDS = 1_600_000;
const TOOLS = 2000;
const DAY = 86_400_000;

const [share = "1", reader] = process.argv.slice(2);

const READERS: Readonly<Record<string, (files: readonly File[]) => unknown>> = {
  "papaparse: cells only": (files) => files.map(({bytes}) => Papa.parse<string[]>(text(bytes)).data.length),
  "d3-dsv: cells only": (files) => files.map(({bytes}) => csvParseRows(text(bytes)).length),
  "arquero fromCSV: cells only": (files) => files.map(({bytes}) => fromCSV(text(bytes), {autoType: false}).numRows()),
  "importLogs: matched, converted, checked": (files) => importLogs(files),
  "importLogs and lives": async (files) => {
    const logs = await importLogs(files);
    return buildLives(logs, runConditions(logs.runs, DEFAULT_SETTINGS), DEFAULT_SETTINGS).lives.rows;
  },
};

interface File {
  readonly name: string;
  readonly bytes: Uint8Array;
}

if (reader !== undefined) {
  const files = [runLog(Math.round(RUNS * Number(share))), rebuildLog(Math.round(REBUILDS * Number(share)))];
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

/** 22 columns, about 36 MB in full. */
function runLog(rows: number): File {
  const random = seededRandom(1);
  const muds = ["KCl polymer", "OBM", "brine", "WBM", "SBM"];
  const head =
    "run,tool,job,fleet,start,end,circulating_h,below_rotary_h,pulses,mud,density_kgm3,pv_mPas,yp_Pa,sand_pct,lcm_kgm3,flow_lpm,bore_mm,tool_od_mm,temperature_max_C,depth_m,outcome,comment";
  return fileOf("runs.csv", head, rows, (i) => {
    const tool = i % TOOLS;
    const end = Date.UTC(2010, 0, 1) + Math.floor(i / TOOLS) * 30 * DAY;
    const hours = 30 + random.uniform() * 60;
    const flow = (1500 + random.uniform() * 600).toFixed(0);
    return `${i},K${tool},J${i % 9000},F${tool % 7},${day(end - 5 * DAY)} 06:00,${day(end)} 12:00,${hours.toFixed(1)},${(hours * 1.3).toFixed(1)},${(hours * 900).toFixed(0)},${muds[i % 5]!},${(1100 + random.uniform() * 300).toFixed(0)},${(15 + random.uniform() * 20).toFixed(1)},${(4 + random.uniform() * 8).toFixed(1)},${(random.uniform() * 0.8).toFixed(2)},0,${flow},82.55,47.6,${(60 + random.uniform() * 70).toFixed(0)},${(1000 + random.uniform() * 4000).toFixed(0)},completed,trip ${i % 100}`;
  });
}

/** 16 columns, about 150 MB in full: eight rows a rebuild, a rebuild after every run. */
function rebuildLog(rows: number): File {
  const random = seededRandom(2);
  const parts = ["SEAL", "LINR", "BAND", "TIPP", "SPRG", "SHFT", "ORIF", "ORNG"];
  const head =
    "rebuild,tool,date,shop,technician,component,position,part_number,lot,part_serial,found,mode,ended_run,action,hours_on_part,comment";
  return fileOf("rebuilds.csv", head, rows, (i) => {
    const rebuild = Math.floor(i / 8);
    const date = Date.UTC(2010, 0, 8) + Math.floor(rebuild / TOOLS) * 30 * DAY;
    const part = parts[i % 8]!;
    const worn = random.uniform() < 0.3;
    return `R${rebuild},K${rebuild % TOOLS},${day(date)},shop ${rebuild % 5},T${rebuild % 40},${part},,P-${part},L${rebuild % 300},,${worn ? "worn" : "good"},${worn ? `${part}-GEN` : ""},no,${worn ? "renewed" : "kept"},,`;
  });
}

function fileOf(name: string, head: string, rows: number, row: (i: number) => string): File {
  const chunks: Buffer[] = [Buffer.from(`${head}\n`)];
  for (let from = 0; from < rows; from += 10_000) {
    const lines: string[] = [];
    for (let i = from; i < Math.min(rows, from + 10_000); i++) lines.push(row(i));
    chunks.push(Buffer.from(`${lines.join("\n")}\n`));
  }
  return {name, bytes: Buffer.concat(chunks)};
}

function day(ms: number): string {
  return new Date(ms).toISOString().slice(0, 10);
}

function text(bytes: Uint8Array): string {
  return new TextDecoder().decode(bytes);
}
