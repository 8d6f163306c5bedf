import {expect, read, test, turnTo} from "./watched.ts";

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

/** Sheets in a PDF: Chromium writes each as an object of its own, not packed. */
const sheetsOf = (pdf: Buffer): number => pdf.toString("latin1").match(/\/Type \/Page\b/g)?.length ?? 0;

test("a sheet to be signed is one sheet of either paper, whole pages are a few, and no control is printed", async ({
  page,
}) => {
  await read(page, "next-run");
  for (const format of ["A4", "Letter"]) expect(sheetsOf(await page.pdf({format})), format).toBe(1);
  for (const address of ["causes-and-cost", "logs-and-findings"]) {
    await turnTo(page, address);
    const sheets = sheetsOf(await page.pdf({format: "A4"}));
    expect(sheets, address).toBeGreaterThan(1);
    expect(sheets, address).toBeLessThan(12);
    await page.emulateMedia({media: "print"});
    // a head is repeated on the next sheet only if no button in it has a box of its own
    const controls = await page
      .locator("button, select, input, textarea")
      .evaluateAll((all) => all.filter((one) => one.checkVisibility()).map((one) => one.outerHTML.slice(0, 100)));
    expect(controls, address).toEqual([]);
    expect(await page.locator("thead button").count(), address).toBeGreaterThan(3);
    await page.emulateMedia({media: null});
  }
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
