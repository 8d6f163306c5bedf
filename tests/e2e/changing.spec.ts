/** A page under the reader's hands: changed by form, text and keyboard, taken back, kept, and never run as a program. */
import type {Locator, Page} from "@playwright/test";
import {expectAccessible} from "./accessible.ts";
import {expect, settled, test} from "./watched.ts";

const block = (page: Page, name: RegExp): Locator => page.getByRole("group", {name});
const bar = (page: Page): Locator => page.getByRole("region", {name: "changing this page"});
const headline = (page: Page): Locator => page.locator("section.cell h2");
const text = (page: Page): Locator => page.getByRole("textbox", {name: "the same as text"});

/** Counts the questions about cells that the page asks of its workers. */
async function countQuestions(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const asked = window as unknown as {cellsAsked: number};
    asked.cellsAsked = 0;
    const post = Worker.prototype.postMessage;
    Worker.prototype.postMessage = function (this: Worker, message: unknown, ...rest: unknown[]) {
      const {type, question} = message as {type?: string; question?: {kind: string; ask: {kind: string}}};
      if (type === "question" && question?.kind === "cell" && question.ask.kind === "pareto") asked.cellsAsked += 1;
      return (post as (...args: unknown[]) => void).call(this, message, ...rest);
    } as typeof post;
  });
}

const asked = (page: Page): Promise<number> =>
  page.evaluate(() => (window as unknown as {cellsAsked: number}).cellsAsked);

/** A new page with one quick cell on it, under change. */
async function begin(page: Page, title: string): Promise<void> {
  await page.goto("/#/contents");
  await expect(page.locator("form[aria-label=filters]")).toBeVisible({timeout: 40_000});
  await page.getByLabel("a new page called").fill(title);
  await page.getByRole("button", {name: "begin it"}).click();
  await expect(page.locator("h1")).toHaveText(title);
  await page.getByRole("button", {name: "add here"}).first().click();
  await page.keyboard.type("fails most");
  const found = page.getByRole("button", {name: /^pareto/});
  await expect(found).toBeVisible({timeout: 30_000});
  await found.focus();
  await page.keyboard.press("Enter");
  await expect(headline(page)).toContainText("costs most", {timeout: 30_000});
  await settled(page);
}

test("a cell is changed by form and by text, step by step and back, and asks only when it must", async ({page}) => {
  await countQuestions(page);
  await begin(page, "Trial of changes");

  // the form writes the text and keeps the remark in it; one change, one question
  await text(page).fill("# for the fleet manager\nrank: money");
  await expect(bar(page)).toContainText("kept");
  const before = await asked(page);
  await page.getByLabel("rank", {exact: true}).selectOption("count");
  await expect(headline(page)).toContainText("leads");
  await expect(text(page)).toHaveValue("# for the fleet manager\nrank: count");
  expect(await asked(page)).toBe(before + 1);

  // the text shows in the form, and a mistake in it is told with its line, the answer before still in view
  await text(page).fill("# for the fleet manager\nrank: monay");
  await expect(page.getByRole("alert")).toContainText(/Line \d+: .*did you mean money\?/);
  await expect(headline(page)).toContainText("leads");
  await text(page).fill("rank: [");
  await expect(page.getByText("the form waits until it can")).toBeVisible();
  await text(page).fill("rank: rate");
  await expect(page.getByLabel("rank", {exact: true})).toHaveValue("rate");
  await expect(page.getByRole("alert")).toHaveCount(0);

  // words, moves and copies ask nothing
  await settled(page);
  const quiet = await asked(page);
  await page.getByRole("button", {name: "add here"}).last().click();
  await page.getByRole("button", {name: /^words/}).click();
  await page
    .getByLabel("words, as Markdown")
    .fill(
      '## Why\n\n<img src=x onerror="window.hurt=1"><script>window.hurt=1</script> *because* <b onclick="hurt">so</b>',
    );
  await expect(page.locator(".prose em")).toHaveText("because");
  await block(page, /^pareto cell/)
    .getByRole("button", {name: "copy"})
    .click();
  await expect(headline(page)).toHaveCount(2);
  await block(page, /^words/)
    .getByRole("button", {name: "move up"})
    .click();
  await expect(bar(page)).toContainText("moved words; kept");
  expect(await asked(page)).toBe(quiet);
  expect(await page.evaluate(() => "hurt" in window)).toBe(false);
  await expect(page.locator("article script, article img, .prose [onclick]")).toHaveCount(0);
  await expect(page.locator(".prose").last()).toContainText('<img src=x onerror="window.hurt=1">');

  // back and forth from the keyboard
  for (let step = 0; step < 3; step++) await page.keyboard.press("Control+z");
  await expect(headline(page)).toHaveCount(1);
  await page.keyboard.press("Control+Shift+z");
  await page.keyboard.press("Control+y");
  await expect(headline(page)).toHaveCount(2);

  // kept over a reload, half a word too
  await page.getByLabel("words, as Markdown").pressSequentially(" unsett");
  await page.reload();
  await settled(page);
  await expect(page.locator("h1")).toHaveText("Trial of changes");
  await expect(page.locator(".prose").filter({hasText: "unsett"})).toBeVisible();
  await expect(headline(page)).toHaveCount(2);
});

test("a page is taken out, put back and copied, and one that came with Wearbook goes back to its text", async ({
  page,
}) => {
  await page.goto("/#/contents");
  const nav = page.getByRole("navigation", {name: "contents"});
  await expect(page.locator("form[aria-label=filters]")).toBeVisible({timeout: 40_000});
  const row = page.getByRole("group", {name: "Fleets", exact: true});
  await row.getByRole("button", {name: "take out"}).click();
  await expect(nav.getByRole("link", {name: "Fleets", exact: true})).toHaveCount(0);
  await page.getByRole("button", {name: "put it back"}).click();
  await expect(nav.getByRole("link", {name: "Fleets", exact: true})).toBeVisible();
  await row.getByRole("button", {name: "copy"}).click();
  await expect(nav.getByRole("link", {name: "Fleets, copy"})).toBeVisible();
  await row.getByRole("button", {name: "up"}).click();
  const order = await nav.getByRole("link").allTextContents();
  expect(order.indexOf("Fleets")).toBeLessThan(order.indexOf("Interval sheet"));

  await nav.getByRole("link", {name: "Fleets", exact: true}).click();
  await page.keyboard.press("F2");
  await bar(page).getByRole("button", {name: "title and filters"}).click();
  await page.getByLabel("title", {exact: true}).fill("Fleets of ours");
  await expect(nav.getByRole("link", {name: "Fleets of ours"})).toBeVisible();
  await bar(page).getByRole("button", {name: "back to the text that comes with Wearbook"}).click();
  await expect(page.locator("h1")).toHaveText("Fleets");
  await page.keyboard.press("F2");
  await expect(page.getByRole("button", {name: "change this page"})).toBeFocused();
});

test("an answer is held, and the next one stands beside it with what lies between", async ({page}) => {
  await begin(page, "Trial of comparing");
  await bar(page).getByRole("button", {name: "done"}).click();
  await page.getByRole("button", {name: "hold this answer to compare"}).click();
  await expect(page.getByText("This answer is held.")).toBeVisible();
  const held = await page.getByRole("group", {name: "held answer"}).locator("h2").textContent();
  const fleet = page.getByRole("form", {name: "filters"}).getByRole("button", {name: /^fleet/});
  await fleet.click();
  await page.getByRole("checkbox", {name: /Alder/}).check();
  await page.keyboard.press("Escape");
  await expect(page.getByRole("row", {name: "filters everything in the logs fleet Alder"})).toBeVisible();
  await expect(page.getByRole("group", {name: "answer now"}).locator("h2")).not.toHaveText(held ?? "");
  await expect(page.getByRole("group", {name: "held answer"}).locator("h2")).toHaveText(held ?? "");
  await page.getByRole("button", {name: "let the held answer go"}).click();
  await expect(page.getByRole("group", {name: "held answer"})).toHaveCount(0);
});

test("change mode breaks no accessibility rule, light or dark", async ({page}) => {
  await begin(page, "Trial for everyone");
  await bar(page).getByRole("button", {name: "title and filters"}).click();
  await page.getByRole("button", {name: "add here"}).last().click();
  await expectAccessible(page, "a page being changed", "article");
  await block(page, /^pareto cell/)
    .getByRole("button", {name: "change"})
    .click();
  await expectAccessible(page, "a cell being changed", "article");
});
