import {fileURLToPath} from "node:url";
import {svelte} from "@sveltejs/vite-plugin-svelte";
import {defineConfig} from "vite";
import {demoLogs} from "./src/app/demoLogs.ts";
import {offlineCache} from "./src/app/offline/offlineCache.ts";
import {pagePolicy} from "./src/app/policy.ts";

const place = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  root: place("src/app"),
  publicDir: place("src/app/static"),
  base: "./", // opens from any folder of a static host
  plugins: [svelte(), pagePolicy(), demoLogs(place("data")), offlineCache()],
  worker: {format: "es"},
  build: {
    outDir: place("dist"),
    emptyOutDir: true,
    target: "es2022",
    assetsInlineLimit: 0, // fonts and pictures stay files of their own; what must be inlined says ?inline
    modulePreload: {polyfill: false}, // the polyfill fetches, and the page may not connect anywhere
    chunkSizeWarningLimit: 900,
  },
});
