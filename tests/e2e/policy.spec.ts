import {expect, read, test} from "./watched.ts";
import {test as bare} from "@playwright/test";

/**
 * Code run by the test driver may do what the page may not, so the probe is put into the page's own script on its way
 * from the server; the headers stay the server's.
 */
const PROBE = `
;window.probe = (async () => {
  const refused = async (act) => { try { await act(); return "allowed"; } catch (error) { return error.name; } };
  const inline = document.createElement("script");
  inline.textContent = "window.inlineRan = true";
  document.head.append(inline);
  const style = document.createElement("style");
  style.textContent = ":root { --probe: 1 }";
  document.head.append(style);
  return {
    compile: await refused(() => new Function("return 1")()),
    ownServer: await refused(() => fetch("./data/logs.json")),
    elsewhere: await refused(() => fetch("https://example.org/")),
    inline: window.inlineRan === true,
    style: getComputedStyle(document.documentElement).getPropertyValue("--probe"),
  };
})();`;

bare("the page's own script may not compile code, connect anywhere, or add scripts and styles", async ({page}) => {
  let altered = 0;
  await page.route(/\/assets\/index-[\w-]+\.js$/, async (route) => {
    const response = await route.fetch();
    altered += 1;
    await route.fulfill({response, body: (await response.text()) + PROBE});
  });
  await page.goto("/");
  await page.waitForFunction(() => "probe" in window);
  const probed = await page.evaluate(() => (window as unknown as {probe: Promise<unknown>}).probe);
  expect(altered).toBeGreaterThan(0);
  expect(probed).toEqual({
    compile: "EvalError",
    ownServer: "TypeError",
    elsewhere: "TypeError",
    inline: false,
    style: "",
  });
});

test("the policy stands in the built page too, for hosts that send no headers", async ({page}) => {
  await read(page);
  const policy = await page.locator('meta[http-equiv="Content-Security-Policy"]').getAttribute("content");
  expect(policy).toContain("default-src 'none'");
  expect(policy).not.toContain("unsafe");
});

test("the whole demo is read without a request off this machine", async ({page}) => {
  const asked: string[] = [];
  page.on("request", (request) => asked.push(request.url()));
  page.on("worker", (worker) => asked.push(worker.url()));
  await read(page);
  expect(asked.length).toBeGreaterThan(5);
  expect(asked.filter((url) => !/^(http:\/\/127\.0\.0\.1:\d+\/|data:|blob:)/.test(url))).toEqual([]);
});
