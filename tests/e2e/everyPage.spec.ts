/** What holds for every page of the contents, asked in one visit to each: turning to a page is the dear part. */
import type {Page} from "@playwright/test";
import {expectAccessible} from "./accessible.ts";
import {expect, pagesOf, read, test, turnTo} from "./watched.ts";

/** Every second page, so that two visits go on side by side. */
const VISITS = [
  {name: "every second page from the first", from: 0},
  {name: "every second page from the second", from: 1},
] as const;

// 720 px is a 1440 px window at 200 %, 512 px a 1024 px one
const WIDTHS = [1024, 720, 512];
const WHOLE = {width: 1440, height: 900};

for (const {name, from} of VISITS) {
  test(`${name} answers whole, fits narrow windows and breaks no accessibility rule, light or dark`, async ({page}) => {
    test.setTimeout(300_000);
    await page.emulateMedia({colorScheme: "light"});
    await read(page);
    const pages = await pagesOf(page);
    expect(pages.length).toBeGreaterThanOrEqual(20);
    for (const address of pages.filter((_, at) => at % 2 === from)) {
      await turnTo(page, address);
      await isWhole(page, address);
      await fits(page, address);
      await expectAccessible(page, address);
    }
  });
}

/** Every cell is answered, and no sentence or figure has a hole. */
async function isWhole(page: Page, address: string): Promise<void> {
  await expect(page.getByText("This cell cannot be answered"), address).toHaveCount(0);
  await expect(page.getByText("could not be drawn"), address).toHaveCount(0);
  for (const headline of await page.locator("section.cell h2").allTextContents()) {
    expect(headline.length, address).toBeGreaterThan(15);
  }
  expect(await page.locator("main").innerText(), address).not.toMatch(/\b(NaN|undefined|null|Infinity)\b|\[object/);
  const empty = await page
    .locator("figure svg")
    .evaluateAll((all) => all.filter((svg) => /NaN|undefined/.test(svg.outerHTML)).length);
  expect(empty, `figures with holes on ${address}`).toBe(0);
  // the paper ends where the figure does
  const cut = await page.locator("figure svg").evaluateAll((all) =>
    all.flatMap((svg) => {
      const {left, right} = svg.getBoundingClientRect();
      const texts = [...svg.querySelectorAll("text")].map((text) => ({text, at: text.getBoundingClientRect()}));
      const outside = texts.filter(({at}) => at.width > 0 && (at.left < left - 2 || at.right > right + 2));
      return outside.map(({text}) => text.textContent);
    }),
  );
  expect(cut, `words that leave their figure on ${address}`).toEqual([]);
}

const overflow = (): number => document.documentElement.scrollWidth - document.documentElement.clientWidth;

/** Nothing scrolls sideways at 1024 px, nor at 200 %. */
async function fits(page: Page, address: string): Promise<void> {
  for (const width of WIDTHS) {
    await page.setViewportSize({width, height: 768});
    await expect.poll(() => page.evaluate(overflow), {message: `${address} at ${width} px`}).toBeLessThanOrEqual(0);
  }
  await page.setViewportSize(WHOLE);
}
