/**
 * Takes the README's picture, `analyses/page.png`, from the built page on the demo fleet:
 *
 *     node --import tsx tests/e2e/readmePicture.ts
 */
import {writeFileSync} from "node:fs";
import {fileURLToPath} from "node:url";
import {chromium} from "@playwright/test";
import {staticServer} from "../../src/app/staticServer.ts";
import config from "../../playwright.config.ts";

const place = (path: string): string => fileURLToPath(new URL(`../../${path}`, import.meta.url));

const server = staticServer({page: place("dist"), logs: place("data"), invented: true});
const port = await new Promise<number>((done) => {
  server.listen(0, "127.0.0.1", () => {
    const address = server.address();
    done(typeof address === "object" && address !== null ? address.port : 0);
  });
});
const browser = await chromium.launch(config.use?.launchOptions ?? {});
const page = await browser.newPage({
  viewport: {width: 1280, height: 960},
  deviceScaleFactor: 1.25,
  colorScheme: "light",
});
await page.goto(`http://127.0.0.1:${port}/#/${process.argv[2] ?? "seals"}`);
await page.locator('article[aria-busy="false"]').waitFor({timeout: 60_000});
await page.locator("figure svg").first().waitFor();
await page.waitForTimeout(1000); // the last figures are drawn one after another
writeFileSync(place("analyses/page.png"), await page.screenshot());
await browser.close();
server.close();
