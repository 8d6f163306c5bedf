/** Pages as files: handed over, opened on other logs, and full of things that only look like programs. */
import type {Page} from "@playwright/test";
import {cellKeys} from "../../src/notebook/cellKeys.ts";
import {writeStands} from "../../src/notebook/stands.ts";
import {OWN_FILES} from "./ownFiles.ts";
import {expect, read, settled, test} from "./watched.ts";

const BODY = "rank: count\n";
const KEPT = `---
title: Handed over
---

Words with <script>window.hurt = 1</script> and <img src=x onerror="window.hurt = 1">.

~~~cell pareto
${BODY}~~~

~~~cell no such kind
~~~

~~~cell life
component: seals
at: [
~~~

${writeStands({
  kept: "2024-05-01",
  version: "0.0.1",
  units: "metric",
  files: [{name: "runs.old.csv", rows: 12, digest: "aaaa"}],
  settings: [],
  answers: [{cell: cellKeys([{kind: "pareto", body: BODY}])[0]!, says: "The old sentence --> leads.", numbers: "0"}],
})}`;

async function choose(page: Page, files: {name: string; mimeType: string; buffer: Buffer}[]): Promise<void> {
  await page.goto("/#/contents");
  await page.getByLabel("open a page from a file").setInputFiles(files);
}

test("a page from a file tells what changed since it was kept and which answers moved, and each mistake in its place", async ({
  page,
}) => {
  await read(page);
  await choose(page, [{name: "60-handed-over.md", mimeType: "text/markdown", buffer: Buffer.from(KEPT)}]);
  await expect(page.locator("h1")).toHaveText("Handed over");
  await settled(page);
  const moved = page.getByRole("region", {name: "Kept on 2024-05-01; 1 of 1 answer moved since"});
  await expect(moved).toContainText("The old sentence --> leads.");
  await expect(moved).toContainText("runs.old.csv gone, was 12 rows");
  const alerts = page.getByRole("alert");
  await expect(alerts.first()).toContainText("Line 11: no cell kind is called “no such kind”");
  await expect(alerts.last()).toContainText(/Line 1[4-7]: this cell's body is not YAML/);
  await expect(page.locator("section.cell h2")).toHaveCount(1);
  await moved.getByRole("button", {name: "keep today's answers instead"}).click();
  await expect(moved).toHaveCount(0);
  expect(await page.evaluate(() => "hurt" in window)).toBe(false);
});

test("a page kept under filters tells which answers moved once they are set again, by one press", async ({page}) => {
  await read(page);
  const kept = KEPT.replace("\nfiles:", '\nwhere: {"fleet":["Alder"]}\nfiles:');
  await choose(page, [{name: "60-under-filters.md", mimeType: "text/markdown", buffer: Buffer.from(kept)}]);
  await settled(page);
  const moved = page.getByRole("region", {name: /^Kept on 2024-05-01 with fleet Alder/});
  await expect(moved).toContainText("they must be asked as they were then: in metric units, with fleet Alder.");
  await moved.getByRole("button", {name: "ask them so"}).click();
  await settled(page);
  await expect(moved.getByRole("heading")).toHaveText("Kept on 2024-05-01 with fleet Alder; 1 of 1 answer moved since");
  expect(page.url()).toContain("fleet=Alder");
  await moved.getByRole("button", {name: "keep today's answers instead"}).click();
  await expect(moved).toHaveCount(0);
});

test("tags in the cells of a log are shown as they stand", async ({page}) => {
  await read(page);
  const hurting = `<img src=x onerror="window.hurt=1">`;
  const files = OWN_FILES.map((file) => ({
    ...file,
    buffer: Buffer.from(file.buffer.toString().replaceAll("North,", `"${hurting.replaceAll('"', '""')}",`)),
  }));
  await page.getByRole("link", {name: "Use your own logs"}).click();
  await page.getByLabel("Choose files").setInputFiles(files);
  await expect(page.getByText("Open now: rebuilds.csv, runs.csv.")).toBeVisible({timeout: 20_000});
  await choose(page, [
    {name: "60-lives.md", mimeType: "text/markdown", buffer: Buffer.from("# Lives\n\n~~~cell lives\n~~~\n")},
  ]);
  await expect(page.locator("section.cell table").getByText(hurting).first()).toBeVisible({timeout: 20_000});
  await expect(page.locator("section.cell img")).toHaveCount(0);
  expect(await page.evaluate(() => "hurt" in window)).toBe(false);
});
