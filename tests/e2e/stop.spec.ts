import {expect, settled, test} from "./watched.ts";

const TOKEN = "/slow-token";

/**
 * Put before the worker's own code: the first of all workers that has an answer asks for the token, takes its time with
 * that answer and tells how far it is, by counts that no other cell shows. The token is given once, whichever worker asks.
 */
const SLOW = `
const post = self.postMessage.bind(self);
let asked = false;
function first() {
  if (asked) return false;
  asked = true;
  const request = new XMLHttpRequest();
  request.open("GET", "${TOKEN}", false);
  request.send();
  return request.responseText === "yours";
}
self.postMessage = (message) => {
  if (message.type === "answer" && message.answer.presentation && first()) {
    post({type: "progress", id: message.id, done: 37, of: 91});
    for (const end = Date.now() + 90000; Date.now() < end; );
  }
  post(message);
};
`;

test("a slow cell shows its progress, blocks no other, and is stopped and taken up again", async ({page}) => {
  let given = false;
  await page.route(TOKEN, async (route) => {
    const body = given ? "gone" : "yours";
    given = true;
    await route.fulfill({body});
  });
  await page.route(/\/assets\/logWorker-[\w-]+\.js$/, async (route) => {
    const response = await route.fetch();
    await route.fulfill({response, body: SLOW + (await response.text())});
  });
  await page.goto("/");
  const slowOne = page.locator("section.cell").filter({hasText: /computing for \d+ s, 37 of 91/});
  await expect(slowOne).toBeVisible({timeout: 40_000});
  const cells = page.locator("section.cell");
  await expect(page.locator('section.cell[aria-busy="true"]')).toHaveCount(1, {timeout: 40_000});
  expect(await cells.locator("h2").count()).toBe((await cells.count()) - 1);

  await slowOne.getByRole("button", {name: "stop"}).click();
  await expect(page.getByText("Stopped.")).toBeVisible();
  await page.getByRole("button", {name: "compute it"}).click();
  await expect(page.getByText("Stopped.")).toHaveCount(0);
  await settled(page);
  await expect(cells.locator("h2")).toHaveCount(await cells.count());
});
