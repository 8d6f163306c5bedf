/**
 * How long the page takes to load 200,000 runs and 1,600,000 rebuild rows, from the choice of the files to the open
 * logs, and what it holds and blocks meanwhile:
 * `node --import tsx tests/bench/loadBrowser.ts [share of the full size, default 1]`. Reads the built page as `npm start`
 * serves it, in the browser of the tests. Linux only, since memory is read from /proc. Nothing is asserted.
 */
import {readdirSync, readFileSync} from "node:fs";
import {inBrowser, type Bench} from "./inBrowser.ts";

const [share = "1"] = process.argv.slice(2);
const PORT = 4871;
/** ms between two looks at the memory */
const LOOK_EVERY = 50;
/** ms for which the page is watched after its logs are open: keeping and drawing come then */
const WATCH_AFTER = 3000;

/** Of processor time on Linux, on every machine that this runs on. */
const TICKS_A_SECOND = 100;

await inBrowser(Number(share), PORT, (bench) => load(bench, browserUse));

async function load({page, address, paths}: Bench, use: () => Use): Promise<void> {
  await page.goto(address, {waitUntil: "load"});
  await page.getByLabel("Choose files").waitFor();
  // the demo's own answers must not count
  await page.waitForTimeout(4000);
  const before = use();
  await page.evaluate(watchTasks);
  const most = {page: 0, all: 0};
  const watch = setInterval(() => {
    const now = use();
    most.page = Math.max(most.page, now.page);
    most.all = Math.max(most.all, now.all);
  }, LOOK_EVERY);
  const worked = use().seconds;
  const from = performance.now();
  await page.getByLabel("Choose files").setInputFiles([...paths]);
  while (!(await page.evaluate(areOpen))) await page.waitForTimeout(LOOK_EVERY);
  const seconds = (performance.now() - from) / 1000;
  const busy = use().seconds - worked;
  await page.waitForTimeout(WATCH_AFTER);
  clearInterval(watch);
  const tasks = await page.evaluate(tasksSeen);
  const print = (what: string, value: string): void => void process.stdout.write(`${what.padEnd(58)}${value}\n`);
  print("files chosen to logs open", `${seconds.toFixed(1)} s`);
  print("processor time of all the browser's processes meanwhile", `${busy.toFixed(1)} s`);
  print("most memory of the page's process (before)", `${megabytes(most.page)} (${megabytes(before.page)})`);
  print("most memory of all the browser's processes (before)", `${megabytes(most.all)} (${megabytes(before.all)})`);
  print(
    "tasks over 50 ms on the page's own thread, longest first",
    tasks.map((ms) => `${ms.toFixed(0)} ms`).join(", ") || "none",
  );
}

/** In the page: a look that costs it next to nothing, since tests that search its text would count as its own tasks. */
function areOpen(): boolean {
  return [...document.querySelectorAll("strong")].some(({textContent}) =>
    textContent.startsWith("Open now: rebuilds.csv, runs.csv"),
  );
}

/** In the page: notes what the browser calls a long task. */
function watchTasks(): void {
  const seen: number[] = [];
  Object.assign(window, {tasksSeen: seen});
  new PerformanceObserver((list) => seen.push(...list.getEntries().map(({duration}) => duration))).observe({
    type: "longtask",
  });
}

/** In the page: what was noted. */
function tasksSeen(): number[] {
  return [...(window as unknown as {tasksSeen: number[]}).tasksSeen].sort((a, b) => b - a).slice(0, 8);
}

interface Use {
  /** bytes of the largest process, which is that of the page and its workers */
  readonly page: number;
  readonly all: number;
  /** processor time of all so far */
  readonly seconds: number;
}

/** What the browser's processes use: those of its name that this process started, by whatever way. */
function browserUse(): Use {
  const processes = new Map<
    number,
    {
      readonly parent: number;
      readonly isBrowser: boolean;
      readonly bytes: number;
      readonly ticks: number;
    }
  >();
  for (const pid of readdirSync("/proc")) {
    if (!/^\d+$/.test(pid)) continue;
    try {
      const status = readFileSync(`/proc/${pid}/status`, "utf8");
      const of = (name: string): number => Number(new RegExp(`^${name}:\\s+(\\d+)`, "m").exec(status)?.[1] ?? 0);
      // user and system time are the 14th and 15th fields, the 12th and 13th behind the command in brackets
      const fields = readFileSync(`/proc/${pid}/stat`, "utf8")
        .replace(/^.*\) /s, "")
        .split(" ");
      const ticks = Number(fields[11]) + Number(fields[12]);
      const isBrowser = /^Name:\s+chrom/m.test(status);
      processes.set(Number(pid), {parent: of("PPid"), isBrowser, bytes: of("VmRSS") * 1024, ticks});
    } catch {
      // it ended meanwhile
    }
  }
  const isUnder = (pid: number): boolean =>
    pid === process.pid || (processes.has(pid) && isUnder(processes.get(pid)!.parent));
  const own = [...processes].flatMap(([pid, use]) => (use.isBrowser && isUnder(pid) ? [use] : []));
  return {
    page: Math.max(0, ...own.map(({bytes}) => bytes)),
    all: own.reduce((sum, {bytes}) => sum + bytes, 0),
    seconds: own.reduce((sum, {ticks}) => sum + ticks, 0) / TICKS_A_SECOND,
  };
}

function megabytes(bytes: number): string {
  return `${(bytes / 1e6).toFixed(0)} MB`;
}
