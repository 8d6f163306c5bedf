import {expect, read, test} from "./watched.ts";

/** Put before the worker's own code: the first cell it answers takes its time and tells how far it is. */
const SLOW = `
const post = self.postMessage.bind(self);
self.postMessage = (message) => {
  if (message.type === "answer" && message.answer.presentation && !self.slowed && message.id % 2 === 0) {
    self.slowed = true;
    post({type: "progress", id: message.id, done: 3, of: 9});
    for (const end = Date.now() + 25000; Date.now() < end; );
  }
  post(message);
};
`;

test("a slow cell shows its progress, blocks no other, and is stopped and taken up again", async ({page}) => {
  let slow = true;
  await page.route(/\/assets\/logWorker-[\w-]+\.js$/, async (route) => {
    const response = await route.fetch();
    await route.fulfill({response, body: (slow ? SLOW : "") + (await response.text())});
    slow = false; // one worker of the pool is slow, and its replacement is not
  });
  await page.goto("/");
  const stop = page.getByRole("button", {name: "stop"});
  await expect(stop).toBeVisible({timeout: 15_000});
  await expect(page.getByText(/computing for \d+ s, 3 of 9/)).toBeVisible();
  const cells = page.locator("section.cell");
  await expect(page.locator('section.cell[aria-busy="true"]')).toHaveCount(1);
  expect(await cells.locator("h2").count()).toBe((await cells.count()) - 1);

  await stop.click();
  await expect(page.getByText("Stopped.")).toBeVisible();
  await expect(page.locator('section.cell[aria-busy="true"]')).toHaveCount(0);
  await page.getByRole("button", {name: "compute it"}).click();
  await expect(page.getByText("Stopped.")).toHaveCount(0);
  await expect(cells.locator("h2")).toHaveCount(await cells.count());
  await read(page);
});
