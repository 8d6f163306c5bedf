import {expect, read, settled, test} from "./watched.ts";

test("the manager reads why the worst fleet is worst, and asks about another pair", async ({page}) => {
  test.setTimeout(90_000);
  await read(page, "fair-comparison");
  const gap = page.locator("section.cell").nth(1);
  // numbers stand by their units with a space that does not break
  await expect(gap).toContainText(/Cobalt has 1\.3\d failures per 1,000\sh more than Basalt/, {timeout: 30_000});
  await expect(gap).toContainText(/Damage done at service makes 6\d\s%/);
  await page.getByLabel("compared with").selectOption("Alder");
  await settled(page);
  await expect(gap).toContainText(/Cobalt has 2\.1\d failures per 1,000\sh more than Alder/, {timeout: 30_000});
  await expect(page).toHaveURL(/pick\.second=Alder/);
});
