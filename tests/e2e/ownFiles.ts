/** A small fleet of the reader's own, to choose on the page. */
import type {Page} from "@playwright/test";
import {expect, settled} from "./watched.ts";

const RUNS = [
  "run,tool,fleet,start,end,circulating_h,mud,flow_lpm,bore_mm,tool_od_mm,outcome,failed_at_h",
  ...Array.from({length: 24}, (_, i) => {
    const month = String((i % 12) + 1).padStart(2, "0");
    const year = 2023 + Math.floor(i / 12);
    const failed = i % 5 === 4;
    return `R${i},T${i % 4},North,${year}-${month}-02,${year}-${month}-09,${60 + i},KCL,1500,68,47.6,${failed ? "failed downhole,40" : "completed,"}`;
  }),
].join("\n");
const REBUILDS = [
  "tool,date,component,found,mode,ended_run,action",
  ...Array.from({length: 24}, (_, i) => {
    const month = String((i % 12) + 1).padStart(2, "0");
    const year = 2023 + Math.floor(i / 12);
    const failed = i % 5 === 4;
    return `T${i % 4},${year}-${month}-15,seal,${failed ? "failed,SEAL-ABR,yes" : "good,,no"},renewed`;
  }),
].join("\n");

export const OWN_FILES = [
  {name: "runs.csv", mimeType: "text/csv", buffer: Buffer.from(RUNS)},
  {name: "rebuilds.csv", mimeType: "text/csv", buffer: Buffer.from(REBUILDS)},
];

/** Opens the small fleet from whatever page is shown. */
export async function openOwn(page: Page): Promise<void> {
  await page.getByRole("link", {name: "Use your own logs"}).click();
  await page.getByLabel("Choose files").setInputFiles(OWN_FILES);
  await expect(page.getByText("Open now: rebuilds.csv, runs.csv.")).toBeVisible({timeout: 20_000});
  await settled(page);
}
