import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

/** The long look at paper: every shipped job on both papers, and vast floors. */
export default defineConfig({
  root: fileURLToPath(new URL("../..", import.meta.url)),
  test: {
    include: ["tests/paper/*.long.ts"],
    // A page is read and painted in one thread: files side by side use both.
    maxWorkers: 2,
    reporters: ["default", fileURLToPath(new URL("../closing-line.ts", import.meta.url))],
    testTimeout: 1_800_000,
  },
});
