/**
 * What keeping, packing and unpacking the large logs of the load bench costs in the page:
 * `node --import tsx tests/bench/keepBrowser.ts [share of the full size, default 1]`. For each step: how long it takes,
 * and the tasks over 50 ms on the page's own thread, which keep a reader waiting. Nothing is asserted.
 */
import {statSync} from "node:fs";
import {join} from "node:path";
import type {Page} from "@playwright/test";
import {inBrowser, type Bench} from "./inBrowser.ts";

const [share = "1"] = process.argv.slice(2);
const PORT = 4872;
const MOST_MS = 300_000;

await inBrowser(Number(share), PORT, measure);

async function measure({page, address, paths, folder}: Bench): Promise<void> {
  page.setDefaultTimeout(MOST_MS);
  const size = paths.reduce((sum, path) => sum + statSync(path).size, 0);
  process.stdout.write(`${(size / 1e6).toFixed(0)} MB of logs\n`);
  const open = page.getByText(/^Open now: rebuilds.csv, runs.csv/);
  await page.goto(address);
  // the demo's own answers must not count
  await page.waitForTimeout(4000);
  await step(page, "choose, read, keep", async () => {
    await page.getByLabel("Choose files").setInputFiles([...paths]);
    await open.waitFor();
    await page.getByText("are kept in this browser on this machine").waitFor();
  });
  await page.waitForTimeout(3000);
  const pack = join(folder, "packed.zip");
  await step(page, "pack into one file", async () => {
    const saved = page.waitForEvent("download");
    await page.getByRole("button", {name: "Save everything as one file"}).click();
    await (await saved).saveAs(pack);
  });
  process.stdout.write(`${"".padEnd(24)}${(statSync(pack).size / 1e6).toFixed(0)} MB packed\n`);
  await page.getByRole("button", {name: "Forget my logs"}).click();
  await page.getByRole("button", {name: "Forget them"}).click();
  await page.getByText("Demo fleet, invented.").waitFor();
  await page.waitForTimeout(4000);
  await step(page, "unpack, read, keep", async () => {
    await page.getByLabel("Choose files").setInputFiles([pack]);
    await open.waitFor();
    await page.getByText("are kept in this browser on this machine").waitFor();
  });
  await page.waitForTimeout(3000);
  await page.addInitScript(watchTasks);
  await step(page, "open again after reload", async () => {
    await page.reload();
    await open.waitFor();
  });
}

async function step(page: Page, name: string, work: () => Promise<void>): Promise<void> {
  await page.evaluate(watchTasks);
  const from = performance.now();
  await work();
  const seconds = (performance.now() - from) / 1000;
  const tasks = await page.evaluate(() =>
    [...(window as unknown as {tasksSeen: number[]}).tasksSeen].sort((a, b) => b - a).slice(0, 8),
  );
  const told = tasks.map((ms) => `${ms.toFixed(0)} ms`).join(", ") || "none";
  process.stdout.write(`${name.padEnd(24)}${seconds.toFixed(1)} s; tasks over 50 ms: ${told}\n`);
}

/** In the page: notes what the browser calls a long task. */
function watchTasks(): void {
  const seen: number[] = [];
  Object.assign(window, {tasksSeen: seen});
  new PerformanceObserver((list) => seen.push(...list.getEntries().map(({duration}) => duration))).observe({
    type: "longtask",
  });
}
