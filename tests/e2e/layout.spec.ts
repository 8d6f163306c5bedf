import {expect, read, test} from "./watched.ts";

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
