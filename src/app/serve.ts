/**
 * `npm start`: builds the page when it is older than its sources, serves it on this machine and says where.
 *
 *     --port 4200       this port and no other (default: the first free one from 4173)
 *     --logs FOLDER     a folder with runs.*, rebuilds.* and settings.yaml, in place of the demo fleet
 */
import {existsSync, readdirSync, statSync} from "node:fs";
import type {Server} from "node:http";
import {join, resolve} from "node:path";
import {fileURLToPath} from "node:url";
import {parseArgs} from "node:util";
import {logsAmong} from "../workspace/fileRoles.ts";
import {namesIn, staticServer} from "./staticServer.ts";

const HOUSE = fileURLToPath(new URL("../..", import.meta.url));
const PAGE = join(HOUSE, "dist");
const SOURCES = ["src", "shared", "analyses", "data", "vite.config.ts", "svelte.config.js", "package.json"];
const FIRST_PORT = 4173;
const TRIES = 50;

/** A mistake of the caller's, told in one sentence. */
class UsageError extends Error {}

async function main(): Promise<void> {
  const {port, logs} = readArguments();
  if (isStale()) {
    process.stdout.write("Building the page, which takes a few seconds after every change …\n");
    const {build} = await import("vite");
    await build({configFile: join(HOUSE, "vite.config.ts"), logLevel: "warn"});
  }
  const server = staticServer({page: PAGE, logs: logs ?? join(HOUSE, "data"), invented: logs === null});
  const bound = port === null ? await listenFrom(server, FIRST_PORT) : await listen(server, port);
  if (bound === null)
    throw new UsageError(`port ${port ?? `${FIRST_PORT} and the next ${TRIES}`} is taken; choose another with --port`);
  const whose = logs === null ? "the invented demo fleet" : `the logs in ${logs}`;
  process.stdout.write(`Wearbook shows ${whose} at http://127.0.0.1:${bound}/ until you press Ctrl+C.\n`);
}

function readArguments(): {port: number | null; logs: string | null} {
  const {values} = readOptions();
  const port = values.port === undefined ? null : Number(values.port);
  if (port !== null && !(Number.isInteger(port) && port >= 1 && port <= 65535)) {
    throw new UsageError(`--port must be a whole number from 1 to 65535, got ${values.port}`);
  }
  if (values.logs === undefined) return {port, logs: null};
  const logs = resolve(process.env.INIT_CWD ?? process.cwd(), values.logs);
  if (!existsSync(logs) || !statSync(logs).isDirectory())
    throw new UsageError(`--logs must name a folder, got ${values.logs}`);
  if (logsAmong(namesIn(logs)).length === 0) {
    throw new UsageError(
      `--logs ${values.logs} holds no run or rebuild log; expected names such as runs.csv and rebuilds.csv`,
    );
  }
  return {port, logs};
}

function readOptions() {
  try {
    return parseArgs({options: {port: {type: "string"}, logs: {type: "string"}}});
  } catch (error) {
    throw new UsageError(
      `${error instanceof Error ? error.message : String(error)}. Known options: --port N, --logs FOLDER`,
    );
  }
}

/** True when there is no build, or a source is newer than it. */
function isStale(): boolean {
  const index = join(PAGE, "index.html");
  if (!existsSync(index)) return true;
  const built = statSync(index).mtimeMs;
  return SOURCES.some((name) => newest(join(HOUSE, name)) > built);
}

function newest(path: string): number {
  const status = statSync(path, {throwIfNoEntry: false});
  if (status === undefined) return 0;
  if (!status.isDirectory()) return status.mtimeMs;
  // the folder itself counts too: a file that was taken away leaves only that trace
  return readdirSync(path).reduce((last, name) => Math.max(last, newest(join(path, name))), status.mtimeMs);
}

async function listenFrom(server: Server, first: number): Promise<number | null> {
  for (let port = first; port <= first + TRIES; port++) {
    if ((await listen(server, port)) !== null) return port;
  }
  return null;
}

/** The port, or null when something else has it. */
function listen(server: Server, port: number): Promise<number | null> {
  return new Promise((done, fail) => {
    const failed = (error: NodeJS.ErrnoException): void => {
      if (error.code === "EADDRINUSE" || error.code === "EACCES") done(null);
      else fail(error);
    };
    server.once("error", failed);
    server.listen(port, "127.0.0.1", () => {
      server.off("error", failed);
      done(port);
    });
  });
}

try {
  await main();
} catch (error) {
  if (!(error instanceof UsageError)) throw error;
  process.stderr.write(`wearbook: ${error.message}\n`);
  process.exitCode = 2;
}
