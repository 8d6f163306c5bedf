import {svelte} from "@sveltejs/vite-plugin-svelte";
import {defineConfig} from "vitest/config";

export default defineConfig({
  // state classes (*.svelte.ts) run here as plain classes
  plugins: [svelte()],
  test: {
    include: ["tests/**/*.test.ts"],
    exclude: ["tests/e2e/**", "node_modules/**"],
    testTimeout: 60_000,
    // no module keeps state beside constants (style of the house), so test files may share them: half the processor time
    isolate: false,
    // by itself Vitest leaves one core idle, which on two cores is half the machine
    maxWorkers: "100%",
  },
});
