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
