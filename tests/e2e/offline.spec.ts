import {expect, read, settled, test} from "./watched.ts";

test.use({serviceWorkers: "allow"});

test("after the first load the page opens and answers without a network, and saves a page there", async ({
  page,
  context,
}) => {
  await read(page);
  const headline = await page.locator(".words h2").first().textContent();
  await expect(page.getByText("opens without a network, too")).toBeVisible({timeout: 40_000});
  await context.setOffline(true);
  await page.reload();
  await settled(page);
  await expect(page.locator(".words h2").first()).toHaveText(headline ?? "");
  await expect(page.locator("figure svg").first()).toBeVisible();
  // parts of the program that this page had not needed before
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", {name: "save this page"}).click(),
  ]);
  expect(download.suggestedFilename()).toBe("fleet-overview.html");
});
