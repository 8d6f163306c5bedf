import {expectAccessible} from "./accessible.ts";
import {expect, read, strip, test} from "./watched.ts";

test("an open filter breaks no accessibility rule", async ({page}) => {
  await read(page, "open-actions");
  await strip(page).getByRole("button", {name: /^mud/}).click();
  await expectAccessible(page, "an open filter", "form");
});

test("the accessibility check finds what is wrong in a late row, and what is wrong in the dark only", async ({
  page,
}) => {
  await read(page, "fix-list");
  await expectAccessible(page, "as it is");
  await page.evaluate(() => {
    const late = [...document.querySelectorAll("tbody")].map((body) => body.lastElementChild!).at(0)!;
    late.lastElementChild!.append(document.createElement("button"));
    const sheet = new CSSStyleSheet();
    sheet.replaceSync("@media (prefers-color-scheme: dark) { .question {color: #444 !important} }");
    document.adoptedStyleSheets.push(sheet);
  });
  await expect(expectAccessible(page, "with faults")).rejects.toThrow(/button-name/);
  await page.locator("tbody button:empty").evaluate((button) => button.remove());
  await expect(expectAccessible(page, "with faults")).rejects.toThrow(/with faults, dark[\s\S]*color-contrast/);
});
