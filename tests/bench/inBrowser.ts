/** The large logs of the load bench as files, and the built page in the browser of the tests, as `npm start` serves it. */
import {spawn} from "node:child_process";
import {mkdtempSync, rmSync, writeFileSync} from "node:fs";
import {tmpdir} from "node:os";
import {join} from "node:path";
import {fileURLToPath} from "node:url";
import {chromium, type Page} from "@playwright/test";
import {bigLogs} from "./bigLogs.ts";

export interface Bench {
  readonly page: Page;
  /** of the page on which files are chosen */
  readonly address: string;
  /** the logs */
  readonly paths: readonly string[];
  /** where they stand; it goes when the work is done */
  readonly folder: string;
}

/** @param share of the full size of the logs */
export async function inBrowser(share: number, port: number, work: (bench: Bench) => Promise<void>): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), "bench-"));
  const paths = bigLogs(share).map(({name, bytes}) => {
    writeFileSync(join(folder, name), bytes);
    return join(folder, name);
  });
  const serve = fileURLToPath(new URL("../../src/app/serve.ts", import.meta.url));
  const server = spawn(process.execPath, ["--import", "tsx", serve, "--port", String(port)]);
  try {
    // it may build the page first
    for await (const said of server.stdout) if (String(said).includes("http://")) break;
    // not through a server of Playwright's: that would send it the files over a socket, in as much time as the page needs
    const browser = await chromium.launch({
      executablePath: process.env.CHROMIUM_PATH ?? "/usr/bin/chromium",
      args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
    });
    try {
      const address = `http://127.0.0.1:${port}/#/logs-and-findings`;
      await work({page: await browser.newPage(), address, paths, folder});
    } finally {
      await browser.close();
    }
  } finally {
    server.kill();
    rmSync(folder, {recursive: true});
  }
}
