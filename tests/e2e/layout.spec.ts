import {expect, pagesOf, read, test, turnTo} from "./watched.ts";

const overflow = (): number => document.documentElement.scrollWidth - document.documentElement.clientWidth;

// 720 px is a 1440 px window at 200 %, 512 px a 1024 px one
const WIDTHS = [1024, 720, 512];

test("no page scrolls sideways at 1024 px, nor at 200 %", async ({page}) => {
  test.setTimeout(120_000);
  await page.setViewportSize({width: 1024, height: 768});
  await read(page);
  for (const [at, address] of (await pagesOf(page)).entries()) {
    if (at > 0) await turnTo(page, address);
    for (const width of WIDTHS) {
      await page.setViewportSize({width, height: 768});
      await expect.poll(() => page.evaluate(overflow), {message: `${address} at ${width} px`}).toBeLessThanOrEqual(0);
    }
  }
});

test("paper shows the answers, the filters as words and the dates of the data, not the controls", async ({page}) => {
  await read(page, "?fleet=Alder");
  await page.emulateMedia({media: "print"});
  const head = page.locator(".on-paper-only").first();
  await expect(head).toBeVisible();
  await expect(head).toHaveText(
    /invented demo fleet · runs 20\d\d-\d\d-\d\d to 20\d\d-\d\d-\d\d · filters: fleet Alder/,
  );
  await expect(page.getByRole("navigation", {name: "contents", includeHidden: true})).toBeHidden();
  await expect(page.locator("form.strip")).toBeHidden();
  await expect(page.getByRole("button", {name: /as SVG$/}).first()).toBeHidden();
  await expect(page.locator("section.cell h2").first()).toBeVisible();
});

test("nothing moves for a reader who asked for stillness", async ({page}) => {
  await page.emulateMedia({reducedMotion: "reduce"});
  await read(page);
  const moving = await page.evaluate(
    () =>
      [...document.querySelectorAll("*")].filter((node) => {
        const {transitionDuration, animationName} = getComputedStyle(node);
        return transitionDuration.split(", ").some((time) => time !== "0s") || animationName !== "none";
      }).length,
  );
  expect(moving).toBe(0);
});
