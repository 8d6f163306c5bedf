/** What a reader on a slow line waits for. Node stands in for a server that compresses: gzip at its default level. */
import {gzipSync} from "node:zlib";
import {expect, settled, test} from "./watched.ts";

const KB = 1000;
/** Fetched when someone asks for what they are for, and not before. */
const LATER =
  /\/assets\/(tools|SettingsPage|ContentsPage|FilesPanel|ReviewActions|savePage|embeddedFonts|readXlsx|pack)-/;

test("a page with figures needs less than 700 kB in all, and less than 300 before the charts and the logs", async ({
  page,
  context,
}) => {
  const bodies = new Map<string, Promise<Buffer>>();
  context.on("response", (response) => {
    const {pathname} = new URL(response.url());
    if (!pathname.startsWith("/data/")) bodies.set(pathname, response.body()); // logs differ from shop to shop
  });
  await page.goto("/#/");
  await settled(page);
  await expect(page.locator("figure svg").first()).toBeVisible();

  const weights = new Map<string, number>();
  for (const [name, body] of bodies)
    weights.set(name, name.endsWith(".woff2") ? (await body).length : gzipSync(await body).length);
  const names = [...weights.keys()];
  const sum = (of: readonly string[]): number => of.reduce((all, name) => all + weights.get(name)!, 0);
  const told = JSON.stringify(Object.fromEntries(weights));
  // the workers' own script and the charts are the heavy ones: without them nothing was counted
  expect(
    names.filter((name) => /\/(logWorker|chartOptions)-/.test(name)),
    told,
  ).toHaveLength(2);

  const html = (await bodies.get("/"))!.toString();
  const first = names.filter((name) => name === "/" || name.endsWith(".woff2") || html.includes(`.${name}`));
  expect(first.length, told).toBeGreaterThanOrEqual(5);
  expect(sum(first), told).toBeLessThan(300 * KB);
  expect(sum(names), told).toBeLessThan(700 * KB);
  expect(names.filter((name) => LATER.test(name))).toEqual([]);
});
