import {expect, read, settled, test} from "./watched.ts";

test("the next run of a tool is asked from the keyboard, and stands in the address", async ({page}) => {
  await read(page, "next-run");
  const answer = page.locator("section.cell h2").first();
  await expect(answer).toHaveText(/comes through .* with \d/);

  const form = page.getByRole("form", {name: "choices of this page"});
  const tool = form.getByRole("combobox", {name: "tool"});
  await tool.focus();
  await page.keyboard.type("K1-128");
  await page.keyboard.press("Enter");
  await expect(page).toHaveURL(/pick\.tool=K1-128/);
  const hours = form.getByRole("spinbutton", {name: /next run/});
  await hours.focus();
  await page.keyboard.press("Control+a");
  await page.keyboard.type("60");
  await page.keyboard.press("Enter");
  await expect(page).toHaveURL(/pick\.hours=60/);
  await expect(answer).toHaveText(/K1-128 .* comes through 60/);
  // the sheet has lines to sign on paper, and none on screen
  await expect(page.getByText("bench lead, initials")).toBeHidden();
  await page.emulateMedia({media: "print"});
  await expect(page.getByText("bench lead, initials")).toBeVisible();
});

test("a decision is accepted on the register and stands there after the page is opened again", async ({page}) => {
  test.setTimeout(120_000);
  await read(page, "register");
  const answer = page.locator("section.cell h2").first();
  await expect(answer).toHaveText(/^3 decisions on record/);

  await page.getByText("Record a decision").click();
  const form = page.getByRole("form", {name: "record a decision"});
  await form.getByRole("button", {name: "record it"}).click();
  await expect(form.getByText("initials are needed")).toBeVisible();

  // the recommended age may move with the model; the row does not
  const label = await form.locator("option", {hasText: /^liner, OBM, high flow/}).textContent();
  await form.getByLabel("what is decided on").selectOption({label: label ?? ""});
  await form.getByRole("radio", {name: "accept"}).check();
  await form.getByLabel("initials").fill("QX");
  await form.getByLabel("reason").fill("a liner costs less than a trip");
  await form.getByRole("button", {name: "record it"}).click();
  await expect(page.getByText(/^Recorded: liner, OBM, high flow accepted by QX/)).toBeVisible();
  await expect(answer).toHaveText(/^4 decisions on record/, {timeout: 45_000});

  await page.reload();
  await settled(page);
  await expect(answer).toHaveText(/^4 decisions on record/, {timeout: 45_000});
  await expect(page.getByRole("cell", {name: "QX"}).first()).toBeVisible();
});
