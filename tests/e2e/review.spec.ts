/** A job reviewed by keyboard alone: chosen, read, an action agreed, and still there after a reload. */
import {expect, test} from "./watched.ts";

test("a job is picked by keyboard, an action is added and kept", async ({page}) => {
  await page.goto("#/job-review");
  const job = page.getByRole("combobox", {name: "job", exact: true});
  await expect(job).toBeVisible({timeout: 60_000});
  await expect(page.getByRole("heading", {name: /^Job .* was /})).toBeVisible({timeout: 60_000});
  await job.focus();
  await page.keyboard.type("BW-0059");
  await page.keyboard.press("Enter");
  await page.keyboard.press("Tab");
  await expect(page).toHaveURL(/pick\.job=BW-0059/);
  await expect(
    page.getByRole("heading", {name: /^Job BW-0059: run B-00094 with K2-219 was ended by the seal/}),
  ).toBeVisible({timeout: 60_000});
  await expect(page.getByRole("img", {name: /Runs of K2-219 and lives of its/})).toBeVisible({timeout: 60_000});

  await expect(page.getByRole("link", {name: "K2-219 on the page Next run"})).toHaveAttribute(
    "href",
    "#/next-run?pick.tool=K2-219",
    {timeout: 60_000},
  );

  const form = page.getByRole("form", {name: "a new action"});
  await form.getByRole("textbox", {name: "what is to be done"}).focus();
  await page.keyboard.type("Measure the poppet tip at every rebuild");
  await page.keyboard.press("Tab");
  await page.keyboard.type("KV");
  await page.keyboard.press("Tab");
  await page.keyboard.type("2026-01-31");
  await page.keyboard.press("Enter");
  await expect(
    page.getByRole("heading", {name: /^1 action of job BW-0059: 1 open; the next is due on 2026-01-31, owner KV/}),
  ).toBeVisible({timeout: 60_000});

  await page.reload();
  const mark = page.getByRole("button", {name: "mark “Measure the poppet tip at every rebuild” as done"});
  await expect(mark).toBeVisible({timeout: 60_000});
  await mark.focus();
  await page.keyboard.press("Enter");
  await expect(page.getByRole("heading", {name: /^1 action of job BW-0059: 1 done/})).toBeVisible({timeout: 60_000});

  await page.goto("#/open-actions");
  await expect(page.getByRole("heading", {name: /^1 action of all reviews: 1 done/})).toBeVisible({timeout: 60_000});
});
