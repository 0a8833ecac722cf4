/**
 * The first, whole run of the tests on the source as it is: which test files enter which function, and what each costs.
 * Kept, and run again when a file of the source or of the tests has changed.
 */
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, relative } from "node:path";
import { openRunner, root } from "./lane.ts";
import type { Marks } from "./marks.ts";
import { withMarks } from "./mutants.ts";

export interface TestFile {
  /** From the root of the project. */
  readonly file: string;
  readonly cpuS: number;
  readonly entered: ReadonlySet<string>;
}

/** Runs the test files of the folders given. Throws where a test fails: what fails anyhow notices nothing. */
export async function firstRun(folders: readonly string[], sources: readonly string[]): Promise<TestFile[]> {
  const below = (folder: string): string[] =>
    readdirSync(join(root, folder), { recursive: true, encoding: "utf8" })
      .filter((name) => /\.(ts|mjs|json|csv)$/.test(name))
      .map((name) => `${folder}/${name}`)
      .sort();
  const ofTests = folders.flatMap((name) => below(`tests/${name}`));
  const tests = ofTests.filter((file) => file.endsWith(".test.ts"));
  // A test file stands for itself; the source and what tests share stand for all of them.
  const shared = hashOf([...below("src"), ...ofTests.filter((file) => !tests.includes(file))]);
  const folder = join(root, "node_modules/.cache/pour-packet/mutation");
  const keptAs = new Map(tests.map((file) => [file, join(folder, `${shared}-${hashOf([file])}.json`)]));
  mkdirSync(folder, { recursive: true });
  const missing = tests.filter((file) => !existsSync(keptAs.get(file) as string));
  if (missing.length > 0) await markedRun(missing, sources, (file) => keptAs.get(file) as string);
  return tests.flatMap((file) => {
    const kept = keptAs.get(file) as string;
    const { cpuS, entered } = JSON.parse(readFileSync(kept, "utf8")) as Marks;
    return [{ file, cpuS, entered: new Set(entered) }];
  });
}

function hashOf(files: readonly string[]): string {
  const hash = createHash("sha256");
  for (const file of files) hash.update(file).update(readFileSync(join(root, file)));
  return hash.digest("hex").slice(0, 16);
}

async function markedRun(
  tests: readonly string[],
  sources: readonly string[],
  keptAs: (test: string) => string,
): Promise<void> {
  const marksFolder = mkdtempSync(join(tmpdir(), "mutation-"));
  process.env.MARKS_FOLDER = marksFolder;
  const marked = new Map(sources.map((file) => [file, withMarks(file, readFileSync(join(root, file), "utf8"))]));
  const vitest = await openRunner({
    isolate: true,
    bail: 0,
    pool: "forks",
    setupFiles: [join(root, "tests/mutation/marks.ts")],
    textOf: (file) => marked.get(file),
    reporters: [
      {
        onTestModuleEnd: (module) => console.log(`  ${module.relativeModuleId} ${module.state()}`),
      },
    ],
  });
  const project = vitest.getRootProject();
  const { testModules } = await vitest.runTestSpecifications(
    tests.map((file) => project.createSpecification(join(root, file))),
  );
  await vitest.close();
  for (const name of readdirSync(marksFolder)) {
    const text = readFileSync(join(marksFolder, name), "utf8");
    const test = relative(root, (JSON.parse(text) as Marks).file);
    const passed = testModules.some((module) => module.relativeModuleId === test && module.state() === "passed");
    if (passed) writeFileSync(keptAs(test), text);
  }
  rmSync(marksFolder, { recursive: true, force: true });
  const failed = testModules.filter((module) => module.state() !== "passed").map((module) => module.relativeModuleId);
  if (failed.length > 0) throw new Error(`These tests fail without a fault: ${failed.join(", ")}`);
}
