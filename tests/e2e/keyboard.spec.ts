import {expect, read, settled, strip, test} from "./watched.ts";

test("everything is done from the keyboard", async ({page}) => {
  await read(page);
  const focused = page.locator(":focus");

  await page.keyboard.press("Tab");
  await expect(focused).toHaveText("Skip to the answers");
  await expect(focused).toBeInViewport();
  await page.keyboard.press("Enter");
  await expect(page.getByRole("main")).toBeFocused();

  // a filter: open, choose, close; focus comes back to its button
  const fleet = strip(page).getByRole("button", {name: /^fleet/});
  await fleet.focus();
  await page.keyboard.press("Enter");
  await page.keyboard.press("Tab");
  await expect(focused).toHaveRole("checkbox");
  await page.keyboard.press("Space");
  await settled(page);
  expect(page.url()).toContain("fleet=");
  await page.keyboard.press("Escape");
  await expect(fleet).toBeFocused();
  await expect(fleet).toHaveAttribute("aria-expanded", "false");

  // to another page by its link; reading goes on at the top of the page
  const link = page.getByRole("navigation", {name: "contents"}).getByRole("link").nth(1);
  const name = await link.textContent();
  await link.focus();
  await page.keyboard.press("Enter");
  await expect(page.locator("h1")).toHaveText(name ?? "");
  await expect(page.getByRole("main")).toBeFocused();
  await settled(page);
});

test("a table is sorted by its headers, and says how", async ({page}) => {
  await read(page);
  const pages = page.getByRole("navigation", {name: "contents"}).getByRole("link");
  for (let at = 0; at < (await pages.count()) && (await page.locator("section.cell table").count()) === 0; at++) {
    await pages.nth(at).click();
    await settled(page);
  }
  const header = page.locator("section.cell th").first();
  await expect(header).toHaveAttribute("aria-sort", "none");
  await header.getByRole("button").focus();
  await page.keyboard.press("Enter");
  const way = await header.getAttribute("aria-sort");
  expect(["ascending", "descending"]).toContain(way);
  await page.keyboard.press("Enter");
  await expect(header).toHaveAttribute("aria-sort", way === "ascending" ? "descending" : "ascending");
  await page.keyboard.press("Enter");
  await expect(header).toHaveAttribute("aria-sort", "none");
});

test("Tab reaches every control once around and is never caught", async ({page}) => {
  await read(page);
  const all = page.locator("a[href], button:not(:disabled), input, select, summary, [tabindex='0']");
  // what is folded away waits for its summary
  const controls = await all.filter({visible: true}).count();
  const seen = new Set<string>();
  let steps = 0;
  for (; steps < controls * 2; steps++) {
    await page.keyboard.press("Tab");
    const place = await page.evaluate(() => {
      const active = document.activeElement;
      if (active === null || active === document.body) return null;
      const all = [...document.querySelectorAll("*")];
      return String(all.indexOf(active));
    });
    if (place === null) break; // past the last one, into the browser's own controls
    expect(seen.has(place), "focus goes forward").toBe(false);
    seen.add(place);
  }
  // the radio buttons of one group share one stop
  expect(seen.size).toBeGreaterThan(controls - 8);
});
