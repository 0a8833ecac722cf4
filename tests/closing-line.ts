/** Prints the last line of a test run: `N passed, N failed`. */
import type { Reporter, SerializedError, TestModule } from "vitest/node";

export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], unhandledErrors: readonly SerializedError[]): void {
    let passed = 0;
    // A file that does not load runs none of its tests: it counts as a failure, not as nothing.
    let failed = unhandledErrors.length;
    for (const module of modules) {
      const before = failed;
      for (const test of module.children.allTests()) {
        const { state } = test.result();
        if (state === "passed") passed += 1;
        if (state === "failed") failed += 1;
      }
      if (module.state() === "failed" && failed === before) failed += 1;
    }
    // After the default reporter's own summary.
    process.once("exit", () => console.log(`${passed} passed, ${failed} failed`));
  }
}
