/** Every browser test also fails on a console error, a refused action of the policy, or a request off this machine. */
import {expect, test as base, type Locator, type Page} from "@playwright/test";

/** Told by tests that keep the service worker out, and by those that take the network away. */
const EXPECTED = /^Service Worker registration blocked by Playwright|net::ERR_INTERNET_DISCONNECTED/;

export const test = base.extend({
  page: async ({page}, use) => {
    const wrong: string[] = [];
    page.on("pageerror", (error) => wrong.push(`uncaught: ${error.message}`));
    page.on("console", (message) => {
      if (EXPECTED.test(message.text())) return;
      if (message.type() === "error" || message.type() === "warning")
        wrong.push(`${message.type()}: ${message.text()}`);
    });
    page.on("request", (request) => {
      const {protocol, hostname} = new URL(request.url());
      if (!["data:", "blob:"].includes(protocol) && hostname !== "127.0.0.1") wrong.push(`request: ${request.url()}`);
    });
    await page.addInitScript(() => {
      document.addEventListener("securitypolicyviolation", (event) => {
        console.error(`policy: ${event.violatedDirective} refused ${event.blockedURI} ${event.sample}`);
      });
    });
    await use(page);
    expect(wrong, "console errors, policy violations and foreign requests").toEqual([]);
  },
});

/** Opens an address of the page and waits until every cell on it is answered. */
export async function read(page: Page, hash = ""): Promise<void> {
  await page.goto(`/#/${hash}`);
  await settled(page);
}

export async function settled(page: Page): Promise<void> {
  await expect(page.locator("article")).toHaveAttribute("aria-busy", "false", {timeout: 40_000});
}

/** The filters; tables have headers of the same names. */
export const strip = (page: Page): Locator => page.getByRole("form", {name: "filters"});

/** The pages of the contents, as their addresses. */
export async function pagesOf(page: Page): Promise<string[]> {
  const addresses = await page
    .getByRole("navigation", {name: "contents"})
    .getByRole("link")
    .evaluateAll((links) => links.map((link) => link.getAttribute("href") ?? ""));
  return addresses.map((address) => address.replace(/^#\//, ""));
}

/** Turns to a page of the contents without loading anew. */
export async function turnTo(page: Page, hash: string): Promise<void> {
  await page.evaluate((address) => (location.hash = address), `#/${hash}`);
  const link = page.getByRole("navigation", {name: "contents"}).locator(`a[href="#/${hash}"]`);
  await expect(link).toHaveAttribute("aria-current", "page", {timeout: 20_000});
  await settled(page);
}

export {expect};
