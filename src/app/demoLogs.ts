/** Puts the demo fleet's logs beside the page: copied by the build, read in place while developing. */
import {readdirSync, readFileSync} from "node:fs";
import {join} from "node:path";
import type {Plugin} from "vite";
import {DEMO_FOLDER, logManifest} from "./logManifest.ts";

export function demoLogs(folder: string): Plugin {
  const manifest = () => logManifest(readdirSync(folder), DEMO_FOLDER, true);
  const names = () => [...manifest().logs, ...manifest().texts];
  return {
    name: "demo-logs",
    configureServer(server) {
      server.middlewares.use((request, response, next) => {
        const name = request.url?.match(/^\/data\/([^/?]+)/)?.[1];
        if (name === "logs.json") response.end(JSON.stringify(manifest()));
        else if (name !== undefined && names().includes(name)) response.end(readFileSync(join(folder, name)));
        else next();
      });
    },
    generateBundle() {
      this.emitFile({type: "asset", fileName: "data/logs.json", source: JSON.stringify(manifest())});
      for (const name of names()) {
        this.emitFile({type: "asset", fileName: `data/${name}`, source: readFileSync(join(folder, name))});
      }
    },
  };
}
