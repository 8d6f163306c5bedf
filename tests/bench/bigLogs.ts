/** Logs of 200,000 runs and 1,600,000 rebuild rows, as CSV; the same bytes every time. Invented, like all demo data. */
import type {LogFile} from "../../src/logs/index.ts";
import {seededRandom} from "../../src/statistics/index.ts";

const RUNS = 200_000;
const REBUILDS = 1_600_000;
const TOOLS = 2000;
const DAY = 86_400_000;

/** @param share of the full size, above 0 */
export function bigLogs(share: number): LogFile[] {
  return [runLog(Math.round(RUNS * share)), rebuildLog(Math.round(REBUILDS * share))];
}

/** 22 columns, about 36 MB in full. */
function runLog(rows: number): LogFile {
  const random = seededRandom(1);
  const muds = ["KCl polymer", "OBM", "brine", "WBM", "SBM"];
  const head =
    "run,tool,job,fleet,start,end,circulating_h,below_rotary_h,pulses,mud,density_kgm3,pv_mPas,yp_Pa,sand_pct,lcm_kgm3,flow_lpm,bore_mm,tool_od_mm,temperature_max_C,depth_m,outcome,comment";
  return fileOf("runs.csv", head, rows, (i) => {
    const tool = i % TOOLS;
    const end = Date.UTC(2010, 0, 1) + Math.floor(i / TOOLS) * 30 * DAY;
    const hours = hoursOf(i);
    const flow = (1500 + random.uniform() * 600).toFixed(0);
    return `${i},K${tool},J${i % 9000},F${tool % 7},${day(end - 5 * DAY)} 06:00,${day(end)} 12:00,${hours.toFixed(1)},${(hours * 1.3).toFixed(1)},${(hours * 900).toFixed(0)},${muds[i % 5]!},${(1100 + random.uniform() * 300).toFixed(0)},${(15 + random.uniform() * 20).toFixed(1)},${(4 + random.uniform() * 8).toFixed(1)},${(random.uniform() * 0.8).toFixed(2)},0,${flow},82.55,47.6,${(60 + random.uniform() * 70).toFixed(0)},${(1000 + random.uniform() * 4000).toFixed(0)},completed,trip ${i % 100} as planned with no remarks`;
  });
}

/**
 * 16 columns, about 205 MB in full: eight rows a rebuild, a rebuild after every run, each part with its serial and the
 * hours that the shop counted on it.
 */
function rebuildLog(rows: number): LogFile {
  const random = seededRandom(2);
  const parts = ["SEAL", "LINR", "BAND", "TIPP", "SPRG", "SHFT", "ORIF", "ORNG"];
  const slots = TOOLS * parts.length;
  const age = new Float64Array(slots);
  const serial = Int32Array.from({length: slots}, (_, slot) => slot);
  let serials = slots;
  const head =
    "rebuild,tool,date,shop,technician,component,position,part_number,lot,part_serial,found,mode,ended_run,action,hours_on_part,comment";
  return fileOf("rebuilds.csv", head, rows, (i) => {
    const rebuild = Math.floor(i / 8);
    const tool = rebuild % TOOLS;
    const slot = tool * parts.length + (i % 8);
    const date = Date.UTC(2010, 0, 8) + Math.floor(rebuild / TOOLS) * 30 * DAY;
    const part = parts[i % 8]!;
    const worn = random.uniform() < 0.3;
    const hours = (age[slot]! += hoursOf(rebuild));
    if (worn) {
      age[slot] = 0;
      serial[slot] = serials++;
    }
    return `R${rebuild},K${tool},${day(date)},north shop ${rebuild % 5},T${rebuild % 40},${part},,P-${part}-2207,LOT-${rebuild % 300},S-${part}-${serial[slot]!},${worn ? "worn" : "good"},${worn ? `${part}-GEN` : ""},no,${worn ? "renewed" : "kept"},${hours.toFixed(1)},${worn ? "renewed as found past limit" : "cleaned and measured within limit"}`;
  });
}

/** Circulating hours of a run, to the tenth; the shop counts the same. */
function hoursOf(run: number): number {
  return 30 + ((Math.imul(run, 0x9e3779b1) >>> 0) % 600) / 10;
}

function fileOf(name: string, head: string, rows: number, row: (i: number) => string): LogFile {
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
