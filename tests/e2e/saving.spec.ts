import {readFile} from "node:fs/promises";
import type {Download, Page} from "@playwright/test";
import {parseHTML} from "linkedom";
import {expect, read, test} from "./watched.ts";

async function saved(page: Page, press: () => Promise<void>): Promise<{download: Download; bytes: Buffer}> {
  const [download] = await Promise.all([page.waitForEvent("download"), press()]);
  return {download, bytes: await readFile(await download.path())};
}

test("a figure saves as SVG that stands alone", async ({page}) => {
  await read(page);
  const figure = page.locator("figure").first();
  const title = (await figure.locator("h3").textContent()) ?? "";
  const {download, bytes} = await saved(page, () => figure.getByRole("button", {name: /as SVG$/}).click());
  const svg = bytes.toString("utf8");
  expect(download.suggestedFilename()).toMatch(/^[a-z0-9-]+\.svg$/);
  // parsed here: a parser in the page would apply the page's policy to the picture
  const root = parseHTML(svg).document.querySelector("svg");
  const words = [...(root?.querySelectorAll("text") ?? [])].map((node) => node.textContent).join(" ");
  expect(svg.startsWith('<svg xmlns="http://www.w3.org/2000/svg"')).toBe(true);
  expect(words.replace(/\s+/g, " ")).toContain(title.split(" ").slice(0, 3).join(" "));
  expect(words).toContain("invented demo fleet");
  expect(svg, "no colour is left to the page").not.toMatch(/var\(|currentColor"?\)/);
  expect(svg).toContain("@font-face");
  expect(svg).not.toMatch(/https?:\/\/(?!www\.w3\.org)/);
});

test("a figure saves as PNG at twice its size", async ({page}) => {
  await read(page);
  const {download, bytes} = await saved(page, () =>
    page
      .getByRole("button", {name: /as PNG$/})
      .first()
      .click(),
  );
  expect(download.suggestedFilename()).toMatch(/\.png$/);
  // PNG (ISO/IEC 15948), 5.2 and 11.2.2: signature, then width and height in IHDR
  expect([...bytes.subarray(0, 8)]).toEqual([137, 80, 78, 71, 13, 10, 26, 10]);
  expect(bytes.readUInt32BE(16)).toBe(2 * (860 + 32));
  expect(bytes.readUInt32BE(20)).toBeGreaterThan(400);
  expect(bytes.length).toBeGreaterThan(10_000);
});

test("a figure saves the numbers it draws as CSV", async ({page}) => {
  await read(page);
  const {download, bytes} = await saved(page, () =>
    page
      .getByRole("button", {name: /figure|as CSV$/})
      .first()
      .click(),
  );
  expect(download.suggestedFilename()).toMatch(/\.csv$/);
  expect([...bytes.subarray(0, 3)], "byte order mark").toEqual([0xef, 0xbb, 0xbf]);
  const lines = bytes.toString("utf8").slice(1).trimEnd().split("\r\n");
  expect(lines.length).toBeGreaterThan(2);
  expect(lines.every((line) => line.includes(","))).toBe(true);
});

test("a table saves all its rows, narrowed and sorted as it stands", async ({page}) => {
  await read(page, "logs-and-findings");
  const opener = page.getByRole("button", {name: /^show all [\d,]{3,} rows/}).last();
  const title = ((await opener.getAttribute("aria-label")) ?? "").replace(/.*“|”.*/g, "");
  const table = page
    .locator("div.table")
    .filter({has: page.getByRole("heading", {name: title, exact: true})})
    .last();
  await expect(table.locator("tbody tr:not(.remark)")).toHaveCount(8);
  await opener.click();
  const said = (await table.locator("[aria-live]").textContent()) ?? "";
  const rows = Number(said.replace(/.* of /, "").replace(/\D/g, ""));
  expect(rows).toBeGreaterThan(30);
  expect(await table.locator("tbody tr:not(.remark)").count()).toBe(30);
  const {bytes} = await saved(page, () => table.getByRole("button", {name: /as CSV$/}).click());
  const text = bytes.toString("utf8");
  // line ends inside quotes belong to a cell
  expect(
    text
      .replace(/"[^"]*"/g, "x")
      .trimEnd()
      .split("\r\n"),
  ).toHaveLength(rows + 1);
  await table.getByRole("button", {name: "next 30"}).click();
  await expect(table.locator("[aria-live]")).toHaveText(/^31–/);
});

test("a figure for a slide is 16:9; its picture and its numbers go to the clipboard, or the page says why not", async ({
  page,
  context,
}) => {
  await context.grantPermissions(["clipboard-read", "clipboard-write"]);
  await read(page);
  const figure = page.locator("figure").first();
  await figure.getByRole("button", {name: /^more ways/}).click();
  await figure.getByLabel("picture for").selectOption("slide");
  const {download, bytes} = await saved(page, () => figure.getByRole("button", {name: /as PNG$/}).click());
  expect(download.suggestedFilename()).toMatch(/-slide\.png$/);
  expect([bytes.readUInt32BE(16), bytes.readUInt32BE(20)]).toEqual([2560, 1440]);
  await figure.getByRole("button", {name: "copy numbers"}).click();
  await expect(figure.locator("[role=status]:not(:empty)")).toHaveText(/clipboard\.$/);
  expect(await page.evaluate(() => navigator.clipboard.readText())).toMatch(/^name\t.*\r?\n.*\t/);
  await figure.getByRole("button", {name: "copy picture"}).click();
  await expect(figure.locator("[role=status]:not(:empty)")).toHaveText("The picture is on the clipboard.");
  await page.evaluate(() => {
    navigator.clipboard.writeText = () => Promise.reject(new Error("no permission"));
  });
  await figure.getByRole("button", {name: "copy numbers"}).click();
  await expect(figure.locator("[role=status]:not(:empty)")).toContainText("Save it as a file instead");
  const rows = figure.locator("xpath=..").getByRole("table");
  await expect(rows).toHaveCount(0);
  await figure.getByRole("button", {name: "numbers as a table"}).click();
  await expect(rows).toHaveCount(1);
});

test("a page saves as one file that opens from disk without script or network and says what the page says", async ({
  page,
  browser,
}, testInfo) => {
  await read(page, "seals");
  const headlines = await page.locator(".answer .words h2").allTextContents();
  const {download} = await saved(page, () => page.getByRole("button", {name: "save this page"}).click());
  expect(download.suggestedFilename()).toBe("seals.html");
  const path = testInfo.outputPath("seals.html");
  await download.saveAs(path);
  const context = await browser.newContext({javaScriptEnabled: false, offline: true});
  const copy = await context.newPage();
  await copy.goto(`file://${path}`);
  await expect(copy.getByRole("heading", {level: 1})).toHaveText("Seals");
  await expect(copy.getByText("Demo fleet, invented.")).toBeVisible();
  expect(await copy.locator(".headline").allTextContents()).toEqual(headlines);
  await expect(copy.locator("figure svg")).toHaveCount(await page.locator("figure svg").count());
  await context.close();
});
