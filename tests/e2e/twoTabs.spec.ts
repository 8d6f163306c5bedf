/** Two tabs of one browser with one page. */
import type {Page} from "@playwright/test";
import {expectAccessible} from "./accessible.ts";
import {expect, settled, test} from "./watched.ts";

const PAGE =
  "# Trial of two\n\nFirst words.\n\n~~~cell pareto\nrank: count\n~~~\n\nLast words.\n\n~~~cell lives\n~~~\n";
const bar = (page: Page) => page.getByRole("region", {name: "changing this page"});
const words = (page: Page, text: string) => page.locator(".prose").filter({hasText: text});

async function begin(page: Page): Promise<void> {
  await page.goto("/#/contents");
  await page
    .getByLabel("open a page from a file")
    .setInputFiles([{name: "60-two.md", mimeType: "text/markdown", buffer: Buffer.from(PAGE)}]);
  await expect(page.locator("h1")).toHaveText("Trial of two");
  await settled(page);
}

/** Puts a text in place of one of the page's words. */
async function rewrite(page: Page, place: number, text: string): Promise<void> {
  await page
    .getByRole("group", {name: /^words/})
    .nth(place)
    .getByRole("button", {name: "change"})
    .click();
  await page.getByLabel("words, as Markdown").fill(text);
}

test("two tabs change different places of a page, then the same: nothing is lost, and only of the same it is asked", async ({
  page,
  context,
}) => {
  await begin(page);
  const other = await context.newPage();
  // it hears nothing of the first tab: whatever it keeps comes upon what that one has kept meanwhile
  await other.addInitScript(() => Reflect.deleteProperty(window, "BroadcastChannel"));
  await other.goto(page.url());
  await settled(other);
  for (const tab of [page, other]) await tab.keyboard.press("F2");

  await rewrite(page, 0, "# Trial of two\n\nOne wrote this.\n");
  await expect(bar(page)).toContainText("; kept");
  await rewrite(other, 1, "Other wrote that.\n");
  await expect(bar(other)).toContainText("Another tab changed this page; its changes stand here now.");
  await expect(words(other, "One wrote this.")).toBeVisible();
  await expect(words(other, "Other wrote that.")).toBeVisible();

  await page.getByLabel("words, as Markdown").fill("# Trial of two\n\nOne says so.\n");
  await expect(bar(page)).toContainText("; kept");
  await rewrite(other, 0, "# Trial of two\n\nOther says no.\n");
  const asked = other.getByRole("alert").filter({hasText: "One place of this page was changed in another tab too"});
  await expect(asked.getByLabel("words in this tab")).toHaveText("Other says no.");
  await expect(asked.getByLabel("words in the other tab")).toHaveText("One says so.");
  await expectAccessible(other, "a place that both changed", "[role=alert]");
  await asked.getByRole("button", {name: "keep both, one below the other"}).click();
  await expect(asked).toHaveCount(0);
  for (const said of ["Other says no.", "One says so.", "Other wrote that."])
    await expect(words(other, said)).toBeVisible();

  // so it stands after both were loaded again
  await expect(bar(other)).toContainText("Another tab changed this page; its changes stand here now.");
  // the other tab keeps its change a moment after it is made
  await expect(async () => {
    await page.reload();
    await settled(page);
    for (const said of ["Other says no.", "One says so.", "Other wrote that."])
      await expect(words(page, said)).toBeVisible({timeout: 1000});
  }).toPass({timeout: 40_000});
});
