/**
 * A process that holds a test runner ready: it is told a file's text and which test files to run against it, and says
 * whether one of them failed. A process of its own, so that a loop without end can be ended with it.
 */
import { fileURLToPath } from "node:url";
import { createVitest, type TestModule, type Vitest } from "vitest/node";

export interface Task {
  /** The file whose text is another, and that text; none for the tests as they are. */
  readonly file?: string;
  readonly text?: string;
  /** In the order in which they run; the first that fails ends it. */
  readonly tests: readonly string[];
  /** Seconds of the processor's time after which it counts as endless; a busy machine only takes longer. */
  readonly mostCpuS: number;
}

export interface Answer {
  /** The name of the first test that failed, or what else went wrong; none where all passed. */
  readonly failed?: string;
  /** It took more than its time; the process ends. */
  readonly endless?: true;
}

export const root = fileURLToPath(new URL("../..", import.meta.url));

export async function openRunner(more: {
  readonly isolate: boolean;
  readonly bail: number;
  readonly pool: "forks" | "threads";
  readonly setupFiles?: readonly string[];
  /** The text of a source file in place of what stands on the disk. */
  readonly textOf: (file: string) => string | undefined;
  readonly reporters?: readonly { onTestModuleEnd?(module: TestModule): void }[];
}): Promise<Vitest> {
  return await createVitest(
    "test",
    {
      config: false,
      root,
      watch: false,
      isolate: more.isolate,
      bail: more.bail,
      pool: more.pool,
      maxWorkers: 1,
      testTimeout: 600_000,
      hookTimeout: 600_000,
      setupFiles: [...(more.setupFiles ?? [])],
      reporters: [...(more.reporters ?? [{}])],
      include: ["tests/**/*.test.ts"],
    },
    {
      plugins: [
        {
          name: "source-with-a-fault",
          enforce: "pre",
          load: (id: string) => (id.startsWith(root) ? more.textOf(id.slice(root.length)) : undefined),
        },
      ],
    },
  );
}

async function serve(): Promise<void> {
  let task: Task = { tests: [], mostCpuS: 0 };
  const vitest = await openRunner({
    isolate: false,
    bail: 1,
    // Threads, so that this process knows what time they take.
    pool: "threads",
    textOf: (file) => (file === task.file ? task.text : undefined),
  });
  const project = vitest.getRootProject();
  process.on("message", async (next: Task) => {
    const before = task.file;
    task = next;
    for (const file of [before, task.file]) if (file !== undefined) vitest.invalidateFile(`${root}${file}`);
    vitest.state.filesMap.clear();
    let failed: string | undefined;
    const begun = process.cpuUsage();
    const watch = setInterval(() => {
      const { user, system } = process.cpuUsage(begun);
      if ((user + system) / 1e6 < task.mostCpuS) return;
      process.send?.({ endless: true } satisfies Answer, () => process.exit());
    }, 500);
    try {
      const { testModules, unhandledErrors } = await vitest.runTestSpecifications(
        task.tests.map((file) => project.createSpecification(`${root}${file}`)),
      );
      for (const module of testModules) {
        for (const test of module.children.allTests("failed"))
          failed ??= `${module.relativeModuleId}: ${test.fullName}`;
        if (module.state() === "failed")
          failed ??= `${module.relativeModuleId}: ${module.errors()[0]?.message ?? "fails"}`;
      }
      if (unhandledErrors.length > 0) failed ??= String((unhandledErrors[0] as Error).message);
    } catch (error) {
      failed = String(error);
    }
    clearInterval(watch);
    process.send?.({ ...(failed !== undefined && { failed: failed.slice(0, 200) }) } satisfies Answer);
  });
  process.send?.({} satisfies Answer);
}

if (process.send !== undefined && process.argv[1] === fileURLToPath(import.meta.url)) await serve();
