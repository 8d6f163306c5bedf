/** A pair of logs with exchanged headers and a meter's readings: one round of questions, everything open, and the fix list after it. */
import {expectAccessible} from "./accessible.ts";
import {expect, read, settled, test, turnTo} from "./watched.ts";

const day = (n: number): string => new Date(Date.UTC(2023, 0, 1 + n)).toISOString().slice(0, 10);
const ROWS = Array.from({length: 32}, (_, i) => i);
const text = (name: string, lines: readonly string[]) => ({
  name,
  mimeType: "text/csv",
  buffer: Buffer.from(lines.join("\r\n")),
});
/** Four tools in turn; each reading is the hours of all its runs so far. */
const reading = (i: number): number => 60 * (Math.floor(i / 4) + 1) + (i % 4);
const FILES = [
  text("runs Alder.csv", [
    "Run No,Tool SN,Run End,Run Start,Meter,Mud",
    ...ROWS.map((i) => `${i},K${i % 4},${day(10 * i)},${day(10 * i + 5)},${reading(i)},${i % 3 ? "OBM" : "NADF"}`),
  ]),
  text("rebuilds Alder.csv", [
    "Tool S/N,Teardown Date,Shop,Part,Action,Found",
    ...ROWS.map(
      (i) => `K${i % 4},${day(10 * i + 7)},${i % 2 ? "Kiel" : "Turku"},seal,${i % 5 ? "OK" : "failed"},replaced`,
    ),
  ]),
];

test("everything is asked in one round; with all of it open the page is accessible, as is the fix list by keeper", async ({
  page,
}) => {
  test.setTimeout(120_000);
  await page.emulateMedia({colorScheme: "light"});
  await read(page, "logs-and-findings");
  await page.getByLabel("Choose files").setInputFiles(FILES);
  await expect(page.getByText("These files wait for your answers.")).toBeVisible({timeout: 30_000});
  await expect(
    page.getByRole("group", {name: 'Are the headers "Run Start" and "Run End" of runs Alder.csv'}),
  ).toBeVisible();
  for (const summary of await page.locator("main section details > summary").all()) await summary.click();
  await expect(page.getByLabel("text of mapping.yaml")).toBeVisible();
  await expectAccessible(page, "questions, previews and mapping open");
  for (const width of [1024, 512]) {
    await page.setViewportSize({width, height: 900});
    const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    expect(over, `${width} px`).toBeLessThanOrEqual(0);
  }
  await page.setViewportSize({width: 1440, height: 900});

  await page.getByRole("combobox", {name: /the mud "NADF"/}).selectOption("SBM");
  await page.getByRole("radio", {name: /yes: the reading is what that run had/}).check();
  await page.getByRole("button", {name: "Read the files again with them"}).click();
  await expect(page.getByText("32 runs and 32 rebuild rows")).toBeVisible({timeout: 30_000});
  await expect(page.getByText(/that only you can answer/)).toHaveCount(0);
  await settled(page);
  // the mapping editor says what was answered, and can say otherwise
  await page.locator("summary", {hasText: "runs Alder.csv"}).click();
  await expect(page.getByRole("combobox", {name: "whether “Meter” is a running total"})).toHaveValue("all tools");

  await turnTo(page, "fix-list");
  await page.getByLabel("a list for").selectOption("keeper");
  await expect(page.getByRole("heading", {name: "Shop Kiel"})).toBeVisible({timeout: 30_000});
  await expectAccessible(page, "the fix list by keeper");
});
