import type {Locator, Page} from "@playwright/test";
import {expectAccessible} from "./accessible.ts";
import {expect, read, settled, test} from "./watched.ts";

const tip = (page: Page): Locator => page.locator(".mark-tip:not([hidden])");
const rows = (page: Page): Locator => page.getByRole("dialog", {name: /^Rows of the log behind/});

test("a mark leads to the rows of the log behind it by mouse; the address keeps them, and back closes them", async ({
  page,
}) => {
  test.setTimeout(120_000);
  await read(page, "over-time");
  const mark = page.locator("[data-key]").nth(2);
  await mark.scrollIntoViewIfNeeded();
  await mark.hover({force: true});
  await expect(tip(page)).toContainText(/\d+ failures\n· .*of tool .* on 20\d\d/);
  await mark.click({force: true}); // held: the way to its button may lead over other marks
  await page.mouse.move(5, 5);
  await expect(tip(page)).toBeVisible();
  await expectAccessible(page, "an open tip", ".mark-tip:not([hidden])");
  await tip(page)
    .getByRole("button", {name: /show the \d+ rows of the log/})
    .click();
  await expect(rows(page)).toContainText(/\d+ failures: .* rows tell of them/);
  const sheet = rows(page).getByRole("table").first();
  await expect(sheet.getByRole("columnheader", {name: "what became of it"})).toBeVisible();
  await expectAccessible(page, "open rows", "dialog");

  const shared = page.url();
  expect(shared).toContain("rows=");
  await page.goBack();
  await expect(rows(page)).toHaveCount(0);
  expect(page.url()).not.toContain("rows=");
  await page.goto(shared);
  await page.reload();
  await expect(rows(page)).toContainText(/rows tell of them/, {timeout: 40_000});
  // opened from an address there is no page to go back to: it closes, and the page stays
  await page.keyboard.press("Escape");
  await expect(rows(page)).toHaveCount(0);
  await expect(page.locator("h1")).toHaveText("Over time");
});

test("a mark leads to its rows by keyboard alone, and the focus comes back", async ({page}) => {
  await page.setViewportSize({width: 720, height: 900}); // a 1440 px window at 200 %
  await page.emulateMedia({reducedMotion: "reduce"});
  await read(page, "reading-guide");
  const chart = page
    .locator("figure", {hasText: "One in ten seals"})
    .first()
    .getByRole("group", {name: /arrow keys/});
  await chart.focus();
  await page.keyboard.press("ArrowRight");
  await expect(page.locator("[aria-live]", {hasText: "Enter: show the"})).toHaveCount(1);
  await page.keyboard.press("Enter");
  await expect(rows(page)).toContainText(/Seal of tool .*\. \d+ rows? tells? of it/);
  const line = rows(page)
    .getByRole("button", {name: /^line \d+/})
    .first();
  await line.focus();
  const opened = await line.getAttribute("aria-expanded");
  await page.keyboard.press("Enter");
  await expect(line).toHaveAttribute("aria-expanded", opened === "true" ? "false" : "true");
  if (opened === "true") await page.keyboard.press("Enter");
  await expect(rows(page).locator("dl").first()).toContainText(", taken for component");
  expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
  expect(
    await rows(page).evaluate((node) => node.scrollWidth - node.clientWidth),
    "at 200 % the rows scroll within their own table",
  ).toBeLessThanOrEqual(0);
  await page.keyboard.press("Escape");
  await expect(rows(page)).toHaveCount(0);
  await expect(chart).toBeFocused();
});

test("the numbers of a figure name the rows and lead to them", async ({page}) => {
  await read(page, "over-time");
  const figure = page.locator("section.cell").first();
  await figure.getByRole("button", {name: /^more ways/}).click();
  await figure.getByRole("button", {name: "numbers as a table"}).click();
  const way = figure.getByRole("button", {name: /^show the \d+ rows of the log behind/}).first();
  await expect(way).toHaveText(/(runs|rebuilds)\.\w+\.csv lines? \d+/);
  await expectAccessible(page, "an open table of numbers", "section.cell .table");
  await way.click();
  await expect(rows(page)).toBeVisible();
  await page.getByRole("button", {name: "back to the page"}).click();
  await expect(rows(page)).toHaveCount(0);
  await expect(way).toBeFocused();
});

test("an address with a mark that is not there says so", async ({page}) => {
  await read(page, "over-time?rows=0:over-time:Nobody%2C%201999");
  await expect(rows(page)).toContainText("The figure has no mark of that name");
  await page.getByRole("button", {name: "back to the page"}).click();
  await settled(page);
  expect(page.url()).not.toContain("rows=");
});
