/** Builds the service worker and writes into it what the build holds: its files, and a version made of their content. */
import {createHash} from "node:crypto";
import {fileURLToPath} from "node:url";
import type {Plugin, Rolldown} from "vite";

/** Stands at the root of the build: its scope is its own folder. */
export const OFFLINE_SCRIPT = "offline.js";

const SOURCE = fileURLToPath(new URL("offlineWorker.ts", import.meta.url));
/** Logs are asked for anew each time, nobody reads licences offline, and the worker does not keep itself. */
const LEFT_OUT = /^data\/|^offline\.js$|^licences\.txt$|\.map$/;

export function offlineCache(): Plugin {
  return {
    name: "offline-cache",
    apply: "build",
    buildStart() {
      // the build of a worker runs the same plugins, and has no page to keep
      if (this.environment.config.isWorker) return;
      this.emitFile({type: "chunk", id: SOURCE, fileName: OFFLINE_SCRIPT});
    },
    generateBundle: {
      order: "post",
      handler(_options, bundle) {
        const script = bundle[OFFLINE_SCRIPT];
        if (script?.type !== "chunk") return;
        const names = Object.keys(bundle)
          .filter((name) => !LEFT_OUT.test(name))
          .sort();
        const files = [...new Set([...names, "index.html", "favicon.svg"])];
        const build = {version: versionOf(names, bundle), files};
        script.code = `const OFFLINE_BUILD = ${JSON.stringify(build)};\n${script.code}`;
      },
    },
  };
}

function versionOf(names: readonly string[], bundle: Rolldown.OutputBundle): string {
  const sum = createHash("sha256");
  for (const name of names) {
    const file = bundle[name]!;
    sum.update(name).update(file.type === "chunk" ? file.code : file.source);
  }
  return sum.digest("hex").slice(0, 12);
}
