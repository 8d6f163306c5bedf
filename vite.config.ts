import {fileURLToPath} from "node:url";
import {svelte} from "@sveltejs/vite-plugin-svelte";
import {defineConfig} from "vite";
import {demoLogs} from "./src/app/demoLogs.ts";
import {licences} from "./src/app/licences.ts";
import {offlineCache} from "./src/app/offline/offlineCache.ts";
import {pagePolicy} from "./src/app/policy.ts";
import {workerInOneBuild} from "./src/app/worker/oneBuild.ts";

const place = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  root: place("src/app"),
  publicDir: place("src/app/static"),
  base: "./", // opens from any folder of a static host
  plugins: [workerInOneBuild(), svelte(), pagePolicy(), demoLogs(place("data")), licences(), offlineCache()],
  worker: {format: "es"},
  resolve: {alias: {"@uwdata/flechette": place("src/app/worker/noArrow.ts")}},
  build: {
    outDir: place("dist"),
    emptyOutDir: true,
    target: "es2022",
    assetsInlineLimit: 0, // fonts and pictures stay files of their own; what must be inlined says ?inline
    modulePreload: {
      polyfill: false, // the polyfill fetches, and the page may not connect anywhere
      // a worker has no document to put links into
      resolveDependencies: (_file, needs, {hostId}) => (hostId.includes("logWorker") ? [] : needs),
    },
    rolldownOptions: {output: {comments: {legal: false, jsdoc: false}}}, // they stand in licences.txt
    chunkSizeWarningLimit: 900,
  },
});
