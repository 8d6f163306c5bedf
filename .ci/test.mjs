/**
 * The one gate: format, lint, types, unit and reference tests, build, the app in a real browser.
 * Every step runs even when an earlier one failed; the last line counts them.
 */
import {spawnSync} from "node:child_process";
import {fileURLToPath} from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));
const steps = [
  ["format", ["prettier", "--check", "."]],
  ["lint", ["eslint", ".", "--max-warnings", "0"]],
  ["types", ["tsc", "--noEmit"]],
  ["components", ["svelte-check", "--fail-on-warnings", "--output", "human"]],
  ["unit", ["vitest", "run"]],
  ["browser", ["playwright", "test"]],
];

let failed = 0;
for (const [name, [program, ...words]] of steps) {
  const from = process.hrtime.bigint();
  process.stdout.write(`\n== ${name}\n`);
  const {status} = spawnSync(process.execPath, [bin(program), ...words], {
    cwd: root,
    stdio: ["ignore", "inherit", "inherit"],
  });
  const seconds = Number(process.hrtime.bigint() - from) / 1e9;
  process.stdout.write(`== ${name}: ${status === 0 ? "passed" : "FAILED"} in ${seconds.toFixed(1)} s\n`);
  if (status !== 0) failed += 1;
}
process.stdout.write(`\nsteps: ${steps.length - failed} passed, ${failed} failed\n`);
process.exit(failed === 0 ? 0 : 1);

/** The script behind a package's command, so that no shell stands between. */
function bin(program) {
  const scripts = {
    prettier: "prettier/bin/prettier.cjs",
    eslint: "eslint/bin/eslint.js",
    tsc: "typescript/bin/tsc",
    "svelte-check": "svelte-check/bin/svelte-check",
    vitest: "vitest/vitest.mjs",
    playwright: "@playwright/test/cli.js",
  };
  return `${root}node_modules/${scripts[program]}`;
}
