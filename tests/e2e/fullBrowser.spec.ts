/** A browser that is full, gone, older or newer, and a page that is killed in the middle of keeping. */
import {readFile} from "node:fs/promises";
import type {Page} from "@playwright/test";
import {strFromU8, unzipSync} from "fflate";
import {openOwn, OWN_FILES} from "./ownFiles.ts";
import {expect, read, test} from "./watched.ts";

/** A document of the same origin that is not the page: for what must be done before that is opened. */
async function goBeside(page: Page): Promise<void> {
  const body = '<link rel="icon" href="data:,">';
  await page.route("**/beside", (route) => route.fulfill({contentType: "text/html", body}));
  await page.goto("/beside");
}

const SETTINGS = {name: "settings.yaml", mimeType: "text/yaml", buffer: Buffer.from("# mine\nlevel: 0.8\n")};

/** Chooses a small text file: it is put into the workspace that is open. */
async function write(page: Page, file: {name: string; mimeType: string; buffer: Buffer}): Promise<void> {
  await page.getByLabel("Choose files").setInputFiles([file]);
  await expect(page.getByRole("rowheader", {name: new RegExp(`^${file.name}`)})).toBeVisible();
}

async function packed(page: Page): Promise<Record<string, string>> {
  const saved = page.waitForEvent("download");
  await page.getByRole("button", {name: "Save everything as one file"}).click();
  const files = unzipSync(await readFile(await (await saved).path()));
  return Object.fromEntries(Object.entries(files).map(([name, bytes]) => [name, strFromU8(bytes)]));
}

/** What stands in the browser under each name: the text, or how many bytes. */
const kept = (page: Page): Promise<Record<string, string | number | null>> =>
  page.evaluate(
    () =>
      new Promise((resolve, reject) => {
        const opening = indexedDB.open("wearbook");
        opening.onerror = () => reject(new Error(String(opening.error)));
        opening.onsuccess = () => {
          const all = opening.result.transaction("files").objectStore("files").getAll();
          all.onsuccess = () => {
            opening.result.close();
            const files = all.result as {name: string; content: Blob | string | null}[];
            resolve(
              Object.fromEntries(
                files.map(({name, content}) => [name, content instanceof Blob ? content.size : content]),
              ),
            );
          };
        };
      }),
  );

test("a browser without room says so; the work goes on, is in the packed file, and is kept once there is room", async ({
  page,
  context,
}) => {
  await goBeside(page);
  const cdp = await context.newCDPSession(page);
  const {origin} = new URL(page.url());
  // what is open in a browser counts on the room it found first
  await cdp.send("Storage.overrideQuotaForOrigin", {origin, quotaSize: 400_000});
  await read(page, "logs-and-findings");
  await openOwn(page);
  const notes = `# notes\n${"# a long remark\n".repeat(60_000)}level: 0.8\n`;
  await write(page, {...SETTINGS, buffer: Buffer.from(notes)});
  await expect(page.getByText("The browser's room for this page is full.")).toBeVisible();
  expect((await kept(page))["settings.yaml"]).toBeUndefined();
  expect((await packed(page))["settings.yaml"]).toBe(notes);

  await cdp.send("Storage.overrideQuotaForOrigin", {origin});
  await write(page, {...SETTINGS, name: "mapping.yaml", buffer: Buffer.from("synonyms:\n  mud: {slick: OBM}\n")});
  await expect(page.getByText("The browser's room for this page is full.")).toHaveCount(0);
  expect(await kept(page)).toMatchObject({"settings.yaml": notes, "mapping.yaml": expect.stringContaining("slick")});
  await expect(page.getByText(/another tab/)).toHaveCount(0);
});

test("where there is no place to keep anything the page works, says so, and packs everything", async ({page}) => {
  // as some private windows and some settings of enterprises leave it
  await page.addInitScript(() => {
    Object.defineProperty(window, "indexedDB", {value: undefined});
    Object.defineProperty(window, "BroadcastChannel", {value: undefined});
    Object.defineProperty(window, "sessionStorage", {
      get: () => {
        throw new DOMException("denied", "SecurityError");
      },
    });
  });
  await read(page, "logs-and-findings");
  await expect(page.getByText("This browser has no place where a page can keep files.")).toBeVisible();
  await openOwn(page);
  await expect(page.getByText("These logs are open, but not kept")).toBeVisible();
  await write(page, SETTINGS);
  const files = await packed(page);
  expect(Object.keys(files)).toEqual(["rebuilds.csv", "runs.csv", "settings.yaml"]);
  expect(files["settings.yaml"]).toBe(SETTINGS.buffer.toString());
});

/** Puts files into the browser as version `version` of the page kept them, before the page is opened. */
async function keptBefore(page: Page, version: number): Promise<void> {
  await goBeside(page);
  await page.evaluate(
    ([given, number]) =>
      new Promise<void>((resolve, reject) => {
        const opening = indexedDB.open("wearbook", number);
        opening.onupgradeneeded = () => {
          const store = opening.result.createObjectStore("files", {keyPath: ["workspace", "name"]});
          for (const {name, text} of given) store.put({workspace: "own", name, content: new Blob([text])});
          store.put({workspace: "own", name: "settings.yaml", content: "# kept before\nlevel: 0.8\n"});
        };
        opening.onerror = () => reject(new Error(String(opening.error)));
        opening.onsuccess = () => {
          opening.result.close();
          resolve();
        };
      }),
    [OWN_FILES.map(({name, buffer}) => ({name, text: buffer.toString()})), version] as const,
  );
}

test("what an older version kept is open again, all of it", async ({page}) => {
  await keptBefore(page, 1);
  await read(page, "logs-and-findings");
  await expect(page.getByText(/^Open now: rebuilds.csv, runs.csv/)).toBeVisible({timeout: 20_000});
  await page.getByText("What this page stands on").click();
  await expect(page.getByText("two-sided, 80 % confidence")).toBeVisible();
  expect(await kept(page)).toEqual({
    ...Object.fromEntries(OWN_FILES.map(({name, buffer}) => [name, buffer.length])),
    "settings.yaml": "# kept before\nlevel: 0.8\n",
  });
});

test("what a newer version kept is left as it is, and the page says why it does not open it", async ({page}) => {
  await keptBefore(page, 99);
  await read(page, "logs-and-findings");
  await expect(page.getByText("A newer version of this page has kept files here.")).toBeVisible();
  await openOwn(page);
  await write(page, SETTINGS);
  expect((await kept(page))["settings.yaml"]).toBe("# kept before\nlevel: 0.8\n");
});

test("a page killed while it keeps leaves what stood there before or what it kept, never half of it", async ({
  page,
  context,
}) => {
  test.setTimeout(120_000);
  await read(page, "logs-and-findings");
  await openOwn(page);
  const long = (letter: string): string => `# ${letter.repeat(400_000)}\nlevel: 0.8\n`;
  let before: string | number | null | undefined = (await kept(page))["settings.yaml"];
  let tab = page;
  for (const letter of ["a", "b"]) {
    const cdp = await context.newCDPSession(tab);
    await tab.getByLabel("Choose files").setInputFiles([{...SETTINGS, buffer: Buffer.from(long(letter))}]);
    // the process of the page goes, as when the machine loses power
    const gone = tab.waitForEvent("crash");
    cdp.send("Page.crash").catch(() => undefined);
    await gone;
    tab = await context.newPage();
    await goBeside(tab);
    const now = (await kept(tab))["settings.yaml"];
    expect([before, long(letter)].includes(now as string), `after ${letter}`).toBe(true);
    before = now;
    await read(tab, "logs-and-findings");
    await expect(tab.getByText(/^Open now: rebuilds.csv, runs.csv/)).toBeVisible({timeout: 20_000});
  }
});
