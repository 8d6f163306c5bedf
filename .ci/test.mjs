/**
 * The one gate: format, lint, types, unit and reference tests, build, the app in a real browser.
 * What only reads the code runs side by side; every step runs even when an earlier one failed; the last line counts them.
 */
import {spawn} from "node:child_process";
import {fileURLToPath} from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));
const reading = [
  // of components and plain modules alike
  ["types", ["svelte-check", "--fail-on-warnings", "--output", "human"]],
  ["lint", ["eslint", ".", "--max-warnings", "0"]],
  ["format", ["prettier", "--check", "."]],
];
const running = [
  ["unit", ["vitest", "run"]],
  ["browser", ["playwright", "test"]],
];
/** Each of these tools keeps one core busy; more at once would only wait for each other. */
const AT_ONCE = 2;

const passed = await atOnce(reading, AT_ONCE, (step) => run(step, "pipe"));
for (const step of running) passed.push(await run(step, "inherit"));
const failed = passed.filter((ok) => !ok).length;
process.stdout.write(`\nsteps: ${passed.length - failed} passed, ${failed} failed\n`);
process.exit(failed === 0 ? 0 : 1);

/** Results in the order of the items. */
async function atOnce(items, most, work) {
  const results = [];
  let next = 0;
  const worker = async () => {
    while (next < items.length) {
      const at = next++;
      results[at] = await work(items[at]);
    }
  };
  await Promise.all(Array.from({length: most}, worker));
  return results;
}

/** Runs one step; one that shares the screen is printed whole when it has ended. */
function run([name, [program, ...words]], output) {
  const from = process.hrtime.bigint();
  const heading = `\n== ${name}\n`;
  if (output === "inherit") process.stdout.write(heading);
  return new Promise((resolve) => {
    const said = [];
    const child = spawn(process.execPath, [bin(program), ...words], {
      cwd: root,
      stdio: ["ignore", output, output],
    });
    child.stdout?.on("data", (data) => said.push(data));
    child.stderr?.on("data", (data) => said.push(data));
    child.on("error", (error) => said.push(Buffer.from(`${error.message}\n`)));
    child.on("close", (code) => {
      const seconds = Number(process.hrtime.bigint() - from) / 1e9;
      if (output === "pipe") process.stdout.write(heading + Buffer.concat(said).toString());
      process.stdout.write(`== ${name}: ${code === 0 ? "passed" : "FAILED"} in ${seconds.toFixed(1)} s\n`);
      resolve(code === 0);
    });
  });
}

/** The script behind a package's command, so that no shell stands between. */
function bin(program) {
  const scripts = {
    prettier: "prettier/bin/prettier.cjs",
    eslint: "eslint/bin/eslint.js",
    "svelte-check": "svelte-check/bin/svelte-check",
    vitest: "vitest/vitest.mjs",
    playwright: "@playwright/test/cli.js",
  };
  return `${root}node_modules/${scripts[program]}`;
}
