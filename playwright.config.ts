import {defineConfig} from "@playwright/test";

/** Another port lets a second checkout on this machine be tested at the same time. */
const PORT = Number(process.env.WEARBOOK_TEST_PORT ?? 4183);

export default defineConfig({
  testDir: "tests/e2e",
  testMatch: "*.spec.ts",
  outputDir: "test-results",
  reporter: "list",
  workers: 2,
  fullyParallel: true,
  timeout: 60_000,
  // a busy machine is told from a broken page: what passes only on a second try is reported as flaky
  retries: process.env.CI ? 2 : 0,
  use: {
    baseURL: `http://127.0.0.1:${PORT}/`,
    viewport: {width: 1440, height: 900},
    // each test begins in a browser of its own, which would keep the whole page anew; offline.spec.ts allows it
    serviceWorkers: "block",
    launchOptions: {
      executablePath: process.env.CHROMIUM_PATH ?? "/usr/bin/chromium",
      args: [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
      ],
    },
  },
  webServer: {
    command: `node --import tsx src/app/serve.ts --port ${PORT}`,
    url: `http://127.0.0.1:${PORT}/`,
    timeout: 60_000,
    reuseExistingServer: false,
  },
});
