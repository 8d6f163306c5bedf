/**
 * How long the page takes to load 200,000 runs and 1,600,000 rebuild rows, from the choice of the files to the open
 * logs, and what it holds and blocks meanwhile:
 * `node --import tsx tests/bench/loadBrowser.ts [share of the full size, default 1]`. Reads the built page as `npm start`
 * serves it, in the browser of the tests. Linux only, since memory is read from /proc. Nothing is asserted.
 */
import {spawn} from "node:child_process";
import {once} from "node:events";
import {mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync} from "node:fs";
import {tmpdir} from "node:os";
import {join} from "node:path";
import {fileURLToPath} from "node:url";
import {chromium, type Page} from "@playwright/test";
import {bigLogs} from "./bigLogs.ts";

const [share = "1"] = process.argv.slice(2);
const PORT = 4871;
/** ms between two looks at the memory */
const LOOK_EVERY = 50;
/** ms for which the page is watched after its logs are open: keeping and drawing come then */
const WATCH_AFTER = 3000;

const folder = mkdtempSync(join(tmpdir(), "bench-"));
const paths = bigLogs(Number(share)).map(({name, bytes}) => {
  writeFileSync(join(folder, name), bytes);
  return join(folder, name);
});
const serve = fileURLToPath(new URL("../../src/app/serve.ts", import.meta.url));
const server = spawn(process.execPath, ["--import", "tsx", serve, "--port", String(PORT)]);
try {
  await once(server.stdout, "data");
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM_PATH ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
  });
  try {
    await load(await browser.newPage(), browserMemory);
  } finally {
    await browser.close();
  }
} finally {
  server.kill();
  rmSync(folder, {recursive: true});
}

async function load(page: Page, memory: () => Memory): Promise<void> {
  await page.goto(`http://127.0.0.1:${PORT}/#/logs-and-findings`, {waitUntil: "load"});
  await page.getByLabel("Choose files").waitFor();
  // the demo's own answers must not count
  await page.waitForTimeout(4000);
  const before = memory();
  await page.evaluate(watchTasks);
  const most = {page: 0, all: 0};
  const watch = setInterval(() => {
    const now = memory();
    most.page = Math.max(most.page, now.page);
    most.all = Math.max(most.all, now.all);
  }, LOOK_EVERY);
  const from = performance.now();
  await page.getByLabel("Choose files").setInputFiles(paths);
  await page.getByText("Open now: rebuilds.csv, runs.csv.").waitFor({timeout: 600_000});
  const seconds = (performance.now() - from) / 1000;
  await page.waitForTimeout(WATCH_AFTER);
  clearInterval(watch);
  const tasks = await page.evaluate(tasksSeen);
  const print = (what: string, value: string): void => void process.stdout.write(`${what.padEnd(58)}${value}\n`);
  print("files chosen to logs open", `${seconds.toFixed(1)} s`);
  print("most memory of the page's process (before)", `${megabytes(most.page)} (${megabytes(before.page)})`);
  print("most memory of all the browser's processes (before)", `${megabytes(most.all)} (${megabytes(before.all)})`);
  print(
    "tasks over 50 ms on the page's own thread, longest first",
    tasks.map((ms) => `${ms.toFixed(0)} ms`).join(", ") || "none",
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

interface Memory {
  /** bytes of the largest process, which is that of the page and its workers */
  readonly page: number;
  readonly all: number;
}

/** Resident memory of the browser's processes. */
function browserMemory(): Memory {
  let page = 0;
  let all = 0;
  for (const pid of readdirSync("/proc")) {
    if (!/^\d+$/.test(pid)) continue;
    try {
      const command = readFileSync(`/proc/${pid}/cmdline`, "utf8");
      if (!command.includes("chrom")) continue;
      const kilobytes = Number(/^VmRSS:\s+(\d+)/m.exec(readFileSync(`/proc/${pid}/status`, "utf8"))?.[1] ?? 0);
      all += kilobytes * 1024;
      if (command.includes("--type=renderer")) page = Math.max(page, kilobytes * 1024);
    } catch {
      // it ended meanwhile
    }
  }
  return {page, all};
}

function megabytes(bytes: number): string {
  return `${(bytes / 1e6).toFixed(0)} MB`;
}
