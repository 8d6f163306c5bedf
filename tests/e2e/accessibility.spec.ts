import AxeBuilder from "@axe-core/playwright";
import {expect, pagesOf, read, strip, test, turnTo} from "./watched.ts";

// what depends on the theme is contrast; every other rule is asked once
for (const [colorScheme, rules] of [
  ["light", null],
  ["dark", ["color-contrast"]],
] as const) {
  test(`no page breaks an accessibility rule (${colorScheme})`, async ({page}) => {
    test.setTimeout(180_000);
    await page.emulateMedia({colorScheme});
    await read(page);
    for (const [at, address] of (await pagesOf(page)).entries()) {
      if (at > 0) await turnTo(page, address);
      const axe = new AxeBuilder({page});
      const {violations} = await (rules === null ? axe : axe.withRules([...rules])).analyze();
      const told = violations.map(
        ({id, help, nodes}) => `${id}: ${help}: ${nodes[0]?.html.slice(0, 160)} (${nodes.length})`,
      );
      expect(told, address).toEqual([]);
    }
  });
}

test("an open filter breaks no accessibility rule", async ({page}) => {
  await read(page);
  await strip(page).getByRole("button", {name: /^mud/}).click();
  const {violations} = await new AxeBuilder({page}).include("form").analyze();
  expect(violations.map(({id}) => id)).toEqual([]);
});
