import AxeBuilder from "@axe-core/playwright";
import {expect, read, strip, test} from "./watched.ts";

test("an open filter breaks no accessibility rule", async ({page}) => {
  await read(page, "open-actions");
  await strip(page).getByRole("button", {name: /^mud/}).click();
  const {violations} = await new AxeBuilder({page}).include("form").analyze();
  expect(violations.map(({id}) => id)).toEqual([]);
});
