/** `npm start -- join`: the parts of a build that was split over machines, put together. */
import type { BuildSettings } from "../build/model.ts";
import { openBuilder } from "../build/open-builder.ts";
import { plural, shown, showProgress, type Terminal } from "./build-verb.ts";
import { EXIT } from "./usage.ts";

/** @returns the exit code. */
export async function runJoin(
  settings: BuildSettings,
  folders: readonly string[],
  terminal: Terminal,
): Promise<number> {
  const builder = openBuilder(settings);
  try {
    const { jobs, broken } = await builder.join(folders, (progress) => showProgress(progress, terminal));
    for (const { jobId, why } of broken) terminal.error(`${jobId}: NOT BUILT, ${why}.`);
    const folder = shown(settings.outputFolder);
    terminal.out(`${plural(jobs, "job")} joined in ${folder}/. Open first: ${folder}/index.html`);
    return broken.length === 0 ? EXIT.done : EXIT.jobProblems;
  } catch (error) {
    terminal.error(`error: ${error instanceof Error ? error.message : String(error)}`);
    return EXIT.machine;
  } finally {
    await builder.close();
  }
}
