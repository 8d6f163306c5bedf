/**
 * Builds the workers' script together with the page, so that what both need is one file, fetched once: a worker built
 * by itself, as Vite would, carries its own copy of everything it shares with the page (a fifth of its weight).
 */
import {basename} from "node:path";
import {fileURLToPath} from "node:url";
import type {Plugin} from "vite";

const SCRIPT = fileURLToPath(new URL("logWorker.ts", import.meta.url));
/** How `main.ts` names the script. */
const NAMED = /new URL\(\s*["'][^"']*logWorker\.ts["'],\s*import\.meta\.url\s*\)/;

export function workerInOneBuild(): Plugin {
  let reference = "";
  return {
    name: "worker-in-one-build",
    apply: "build",
    enforce: "pre", // before Vite sees a worker there and builds one
    buildStart() {
      reference = this.emitFile({type: "chunk", id: SCRIPT, name: basename(SCRIPT, ".ts")});
    },
    transform(code) {
      return NAMED.test(code) ? code.replace(NAMED, `import.meta.ROLLUP_FILE_URL_${reference}`) : null;
    },
  };
}
