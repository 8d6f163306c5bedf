import AxeBuilder from "@axe-core/playwright";
import {expect, pagesOf, read, strip, test, turnTo} from "./watched.ts";

// what depends on the theme is contrast; every other rule is asked once
const ROUNDS = [
  {name: "light, every second page from the first", colorScheme: "light", from: 0, step: 2, rules: null},
  {name: "light, every second page from the second", colorScheme: "light", from: 1, step: 2, rules: null},
  {name: "dark", colorScheme: "dark", from: 0, step: 1, rules: ["color-contrast"]},
] as const;

for (const {name, colorScheme, from, step, rules} of ROUNDS) {
  test(`no page breaks an accessibility rule (${name})`, async ({page}) => {
    test.setTimeout(300_000);
    await page.emulateMedia({colorScheme});
    await read(page);
    const pages = (await pagesOf(page)).filter((_, at) => at % step === from);
    for (const address of pages) {
      await turnTo(page, address);
      const axe = new AxeBuilder({page}).options({resultTypes: ["violations"]});
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
