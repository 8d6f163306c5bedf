import type {Page} from "@playwright/test";
import {openOwn} from "./ownFiles.ts";
import {expect, read, settled, strip, test} from "./watched.ts";

/** Drops files on the page as a hand would: the browser's own events, built in the page. */
async function drop(page: Page, files: readonly {name: string; text: string; type: string}[]): Promise<void> {
  await page.evaluate((given) => {
    const dataTransfer = new DataTransfer();
    for (const {name, text, type} of given) dataTransfer.items.add(new File([text], name, {type}));
    for (const kind of ["dragover", "drop"]) {
      document
        .querySelector("main")
        ?.dispatchEvent(new DragEvent(kind, {bubbles: true, cancelable: true, dataTransfer}));
    }
  }, files);
}

test("files of another kind get a sentence, and the logs that were open stay open", async ({page}) => {
  await read(page);
  await drop(page, [{name: "holiday.pdf", text: "%PDF-1.7\n%âãÏÓ\n1 0 obj\n<<>>\nendobj", type: "application/pdf"}]);
  await expect(page.getByRole("alert")).toContainText("holiday.pdf", {timeout: 20_000});
  await expect(page.getByText("The logs that were open before are still open.")).toBeVisible();
  await expect(page.getByText("Demo fleet, invented.")).toBeVisible();
  await page.getByRole("link", {name: "Wearbook"}).click();
  await settled(page);
  expect(await page.locator("section.cell h2").count()).toBeGreaterThan(1);
});

for (const [what, text] of [
  ["an empty file", ""],
  ["a file with only headers", "run,tool,end,circulating_h\n"],
  ["a file without the columns it needs", "name,age\nBob,44\n"],
] as const) {
  test(`${what} gets a sentence and leaves the page alive`, async ({page}) => {
    await read(page);
    await drop(page, [{name: "runs.csv", text, type: "text/csv"}]);
    await expect(page.getByRole("alert")).toContainText("runs.csv", {timeout: 20_000});
    await expect(page.getByText("Demo fleet, invented.")).toBeVisible();
  });
}

test("one's own logs replace the demo, and nothing says invented any more", async ({page}) => {
  await read(page);
  await openOwn(page);
  await expect(page.getByText(/invented/i)).toHaveCount(0);
  await page.getByRole("link", {name: "Wearbook"}).click();
  await settled(page);
  await expect(page.getByText("This cell cannot be answered")).toHaveCount(0);
  await strip(page)
    .getByRole("button", {name: /^fleet/})
    .click();
  await expect(page.getByRole("checkbox", {name: /North/})).toBeVisible();
  await expect(page.getByRole("checkbox", {name: /Alder/})).toHaveCount(0);
});
