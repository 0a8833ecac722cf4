/** Runs within each test file of the first, whole run: notes which functions of the rooms it enters, and what it costs. */
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, expect } from "vitest";

declare global {
  var entered: Set<string> | undefined;
}

globalThis.entered = new Set();
const begun = process.cpuUsage();

afterAll(() => {
  const { user, system } = process.cpuUsage(begun);
  const file = expect.getState().testPath ?? "";
  const name = file.replace(/[^\w]+/g, "-");
  const folder = process.env.MARKS_FOLDER ?? "";
  const marks: Marks = { file, cpuS: (user + system) / 1e6, entered: [...(globalThis.entered ?? [])] };
  writeFileSync(join(folder, `${name}.json`), JSON.stringify(marks));
});

export interface Marks {
  /** The test file, absolute. */
  readonly file: string;
  readonly cpuS: number;
  /** `file number` of each function entered, as `mutantsOf` numbers them. */
  readonly entered: readonly string[];
}
