import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

export default defineConfig({
  root: fileURLToPath(new URL("..", import.meta.url)),
  test: {
    include: ["tests/**/*.test.ts"],
    // Ends with the plain line that `.ci/run` promises.
    reporters: ["default", fileURLToPath(new URL("./closing-line.ts", import.meta.url))],
    // Loading the program anew for each of some 140 files took longer than their tests.
    isolate: false,
    maxWorkers: 2,
    testTimeout: 60_000,
  },
});
