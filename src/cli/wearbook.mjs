#!/usr/bin/env node
/** Starts the batch runner on plain Node: brings the packages if a fresh clone has none, then runs main.ts as it is. */
import {execFileSync} from "node:child_process";
import {existsSync} from "node:fs";
import {fileURLToPath} from "node:url";

if (!existsSync(new URL("../../node_modules/tsx", import.meta.url))) {
  const prepare = fileURLToPath(new URL("../../.ci/prepare.mjs", import.meta.url));
  execFileSync(process.execPath, [prepare], {stdio: ["ignore", 2, 2]});
}
// whoever reads the output may stop early, as head does: that is no error
process.stdout.on("error", (error) => {
  if (error.code !== "EPIPE") throw error;
  process.exit(0);
});
const {register} = await import("tsx/esm/api");
register();
const {main} = await import("./main.ts");
process.exitCode = await main(process.argv.slice(2));
