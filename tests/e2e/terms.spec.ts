import {DEFAULT_SETTINGS} from "../../shared/settings.ts";
import {reportPage} from "../../src/report/index.ts";
import {expectAccessible} from "./accessible.ts";
import {expect, read, test} from "./watched.ts";

test("a term explains itself to the pointer and the keyboard, and Escape puts it away", async ({page}) => {
  await read(page, "reading-guide");
  const term = page.locator(".term", {hasText: "suspension"}).first();
  const tip = page.getByRole("tooltip");
  await term.hover();
  await expect(tip).toContainText("lived at least that long");
  await page.keyboard.press("Escape");
  await expect(tip).toBeHidden();
  await term.focus();
  await expect(tip).toBeVisible();
  await expect(term).toHaveAccessibleDescription(/lived at least that long/);
  await page.keyboard.press("Tab");
  await expect(term).not.toHaveAttribute("aria-describedby");
  await page.getByText("Words used on this page").click();
  await expect(page.locator("dt", {hasText: /^suspension$/})).toBeVisible();
});

test("a mark of a chart says which life and which rows stand behind it, to the pointer and to the arrow keys", async ({
  page,
}) => {
  await read(page, "reading-guide");
  const figure = page.locator("figure", {hasText: "One in ten seals"}).first();
  const chart = figure.getByRole("group", {name: /arrow keys/});
  const tip = page.locator(".mark-tip:not([hidden])");
  await chart.locator("[data-told]").nth(4).hover({force: true}); // marks may cover each other
  await expect(tip).toContainText(/tool .*(runs|rebuilds)\.\w+\.csv lines? \d+/s);
  await page.mouse.move(0, 0);
  await expect(tip).toHaveCount(0);
  await chart.focus();
  await page.keyboard.press("ArrowRight");
  const first = await tip.textContent();
  await page.keyboard.press("ArrowRight");
  await expect(tip).not.toHaveText(first ?? "");
  await page.keyboard.press("Escape");
  await expect(tip).toHaveCount(0);
});

test("a term of a headline and one of a table head explain themselves, and the meaning may be pointed at", async ({
  page,
}) => {
  await page.setViewportSize({width: 720, height: 900}); // a 1440 px window at 200 %
  await page.emulateMedia({reducedMotion: "reduce"});
  await read(page, "reading-guide");
  const tip = page.getByRole("tooltip");
  const term = page.locator("h2 .term", {hasText: "B10 life"}).first();
  await term.scrollIntoViewIfNeeded();
  const before = await term.boundingBox();
  await term.hover();
  await expect(tip).toContainText("one part in ten has failed");
  expect(await term.boundingBox(), "nothing moves").toEqual(before);
  await tip.hover();
  await expect(tip).toBeVisible();
  await expectAccessible(page, "an open meaning", "#term-tip, h2 .term");
  await page.keyboard.press("Escape");
  await expect(tip).toBeHidden();
  const head = page.locator("th button[data-term]").first();
  await head.focus();
  await expect(tip).toBeVisible();
  await expect(head).toHaveAccessibleDescription(/\.$/);
  const cell = page.locator("section.cell", {has: page.locator("h2 .term", {hasText: "B10 life"})}).first();
  await expect(cell.locator(".term", {hasText: /^limits$/})).toHaveCount(1);
});

const NOTHING_READ = {
  invented: true,
  files: [],
  counts: [],
  settings: DEFAULT_SETTINGS,
  runs: 0,
  rebuilds: 0,
  lives: 0,
  failures: 0,
  firstDay: null,
  lastDay: null,
  convention: "none",
};

test.describe("without script", () => {
  test.use({javaScriptEnabled: false});

  test("a term of a report explains itself as a strip, which Escape puts away", async ({page}) => {
    const headline = "One in ten seals has failed by 300 h (B10 life). Shape 2.";
    const answer = {headline, tables: [], cautions: []};
    await page.setContent(
      reportPage({
        title: "Seals",
        question: "When do we renew seals?",
        where: {},
        bench: false,
        contents: null,
        fonts: null,
        made: "2026-01-01",
        version: "0",
        basis: NOTHING_READ,
        blocks: [
          {type: "prose", markdown: "## Shape\n\nA suspension is a life."},
          {type: "answer", presentation: answer, figures: [], tableLinks: []},
        ],
      }),
    );
    const strip = page.locator("#term-b10-life");
    await expect(strip).toBeHidden();
    await page.getByRole("button", {name: "B10 life"}).click();
    await expect(strip).toBeVisible();
    await expect(strip).toContainText("one part in ten has failed");
    await page.keyboard.press("Escape");
    await expect(strip).toBeHidden();
    await page.getByRole("button", {name: "suspension"}).press("Enter");
    await expect(page.locator("#term-suspension")).toBeVisible();
    await expect(page.locator(".headline, .more").getByRole("button")).toHaveText(["B10 life", "Shape"]);
  });
});
