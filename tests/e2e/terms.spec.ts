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
