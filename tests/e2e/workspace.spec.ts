import {readFile} from "node:fs/promises";
import {unzipSync} from "fflate";
import {openOwn} from "./ownFiles.ts";
import {expect, read, settled, test} from "./watched.ts";

test("one's own logs are still open after the page is loaded again, apart from the demo, and pack into one file", async ({
  page,
}) => {
  await read(page);
  await openOwn(page);
  await page.reload();
  await settled(page);
  await expect(page.getByText("Open now: rebuilds.csv, runs.csv.")).toBeVisible({timeout: 20_000});
  await expect(page.getByText(/invented/i)).toHaveCount(0);

  const saved = page.waitForEvent("download");
  await page.getByRole("button", {name: "Save everything as one file"}).click();
  const download = await saved;
  expect(download.suggestedFilename()).toMatch(/^wearbook-\d{4}-\d\d-\d\d\.zip$/);
  expect(Object.keys(unzipSync(await readFile(await download.path())))).toEqual(["rebuilds.csv", "runs.csv"]);

  await page.getByRole("button", {name: "Open the demo fleet"}).click();
  await expect(page.getByText("Demo fleet, invented.")).toBeVisible({timeout: 20_000});
  await page.getByRole("button", {name: "Open your own logs"}).click();
  await expect(page.getByText("Open now: rebuilds.csv, runs.csv.")).toBeVisible({timeout: 20_000});

  await page.getByRole("button", {name: "Forget my logs"}).click();
  await page.getByRole("button", {name: "Forget them"}).click();
  await expect(page.getByText("Demo fleet, invented.")).toBeVisible({timeout: 20_000});
  await expect(page.getByRole("button", {name: "Open your own logs"})).toHaveCount(0);
});

test("a setting changed by the form stands in the file, counts on the pages, and is kept apart from what is served", async ({
  page,
}) => {
  await page.goto("/#/settings");
  const level = page.getByLabel("Confidence level");
  await expect(level).toHaveValue("0.9", {timeout: 40_000});
  await level.fill("80");
  await expect(page.getByText("cannot stand here: give a number above 0 and below 1")).toBeVisible();
  await level.fill("0.8");
  await level.blur();
  const file = page.getByRole("textbox", {name: "The same as text: settings.yaml"});
  await expect(file).toHaveValue(/^level: 0\.8$/m);
  await expect(file).toHaveValue(/^# Settings of the demo fleets\. INVENTED/);
  await page.reload();
  await expect(level).toHaveValue("0.8", {timeout: 40_000});
  await page.getByRole("link", {name: "Use your own logs"}).click();
  await settled(page);
  await page.getByText("What this page stands on").click();
  await expect(page.getByText("two-sided, 80 % confidence")).toBeVisible();
  await page.getByRole("button", {name: "Throw away my changes to the demo fleet"}).click();
  await page.getByRole("button", {name: "Throw them away"}).click();
  await expect(page.getByText("two-sided, 90 % confidence")).toBeVisible({timeout: 40_000});
});
