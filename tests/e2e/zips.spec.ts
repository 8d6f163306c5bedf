/** Zip files chosen as they come: a folder that a computer packed, before any logs are open, and one that holds no log. */
import {strToU8, zipSync} from "fflate";
import {OWN_FILES} from "./ownFiles.ts";
import {expect, read, settled, test} from "./watched.ts";

const zipped = (name: string, files: Readonly<Record<string, Buffer | string>>) => ({
  name,
  mimeType: "application/zip",
  buffer: Buffer.from(
    zipSync(
      Object.fromEntries(
        Object.entries(files).map(([path, content]) => [
          path,
          typeof content === "string" ? strToU8(content) : new Uint8Array(content),
        ]),
      ),
    ),
  ),
});
const [RUNS, REBUILDS] = OWN_FILES.map(({buffer}) => buffer) as [Buffer, Buffer];

test("a zip of logs is opened though no logs could be: nested folders and what a computer adds do not matter", async ({
  page,
}) => {
  // what stands beside the page is no list of logs: nothing is open, and nothing will be
  await page.route("**/logs.json", (route) => route.fulfill({json: {}}));
  await page.goto("/#/logs-and-findings");
  await expect(page.getByRole("alert")).toBeVisible({timeout: 40_000});
  await page.getByLabel("Choose files").setInputFiles([
    zipped("from the shop.zip", {
      "Export 2024/logs/Field runs.csv": RUNS,
      "Export 2024/teardowns/Bench.csv": REBUILDS,
      "Export 2024/photo.png": "not a picture",
      "Export 2024/.DS_Store": "x",
      "__MACOSX/Export 2024/._photo.png": "x",
    }),
  ]);
  await expect(page.getByText("Open now: Bench.csv, Field runs.csv.")).toBeVisible({timeout: 30_000});
  await expect(page.getByText("24 runs and 24 rebuild rows")).toBeVisible();
  await expect(page.getByText("Left out, since they are no logs: photo.png.")).toBeVisible();
});

test("a zip without a log, and one that is none, get a sentence each", async ({page}) => {
  await read(page, "logs-and-findings");
  await page.getByLabel("Choose files").setInputFiles([zipped("photos.zip", {"a.png": "x", "b.png": "y"})]);
  await expect(page.getByRole("alert")).toContainText(/photos\.zip .*no log/i, {timeout: 30_000});
  await page
    .getByLabel("Choose files")
    .setInputFiles([{name: "broken.zip", mimeType: "application/zip", buffer: Buffer.from("PK nothing")}]);
  await expect(page.getByRole("alert")).toContainText("broken.zip cannot be opened", {timeout: 30_000});
  await expect(page.getByText("The logs that were open before are still open.")).toBeVisible();
  await settled(page);
});
