/** The process in which damaged files are opened, one after the other, until time is up. */
import {seededRandom} from "../../src/statistics/index.ts";
import {damaged} from "./damage.ts";
import {tried} from "./tried.ts";

export type Told = {readonly begins: number} | TrialOver;

export interface TrialOver {
  readonly seed: number;
  readonly way: string;
  readonly files: number;
  readonly rows: number;
  /** ms */
  readonly took: number;
  /** MB that the process has held at most */
  readonly memory: number;
  readonly wrong: string | null;
}

/** MB; a browser gives a page twice that. */
const MOST_MEMORY = 2000;

const [from = "1", until = "0", way = ""] = process.argv.slice(2);
const memoryNow = (): number => Math.round(process.resourceUsage().maxRSS / 1024);
const tell = (told: Told): Promise<void> => new Promise((resolve) => process.send!(told, () => resolve()));
let high = memoryNow();

for (let seed = Number(from); Date.now() < Number(until); ++seed) {
  await tell({begins: seed});
  const {files, ...damage} = damaged(seededRandom(seed), way);
  const {rows, took, wrong} = await tried({...damage, files});
  const memory = memoryNow();
  const grown = memory > Math.max(high, MOST_MEMORY) ? `it took ${memory} MB of memory` : null;
  high = Math.max(high, memory);
  await tell({seed, way: damage.way, files: files.length, rows, took, memory, wrong: wrong ?? grown});
}
process.disconnect();
