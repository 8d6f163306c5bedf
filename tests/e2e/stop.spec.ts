import {expect, settled, test} from "./watched.ts";

/** Put before the worker's own code: the first cell it answers takes its time and tells how far it is. */
const SLOW = `
const post = self.postMessage.bind(self);
self.postMessage = (message) => {
  if (message.type === "answer" && message.answer.presentation && !self.slowed && message.id % 2 === 0) {
    self.slowed = true;
    post({type: "progress", id: message.id, done: 3, of: 9});
    for (const end = Date.now() + 90000; Date.now() < end; );
  }
  post(message);
};
`;

test("a slow cell shows its progress, blocks no other, and is stopped and taken up again", async ({page}) => {
  let slow = true;
  await page.route(/\/assets\/logWorker-[\w-]+\.js$/, async (route) => {
    const before = slow ? SLOW : "";
    slow = false; // one worker of the pool is slow, and its replacement is not
    const response = await route.fetch();
    await route.fulfill({response, body: before + (await response.text())});
  });
  await page.goto("/");
  const slowOne = page.locator("section.cell").filter({hasText: /computing for \d+ s, 3 of 9/});
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
