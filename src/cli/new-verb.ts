/** `npm start -- new`: writes the file of a new job. */
import { existsSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { formatDiagnostic } from "../diagnostics.ts";
import { loadLibrary } from "../job/files.ts";
import { type NewJobRequest, newJob } from "../job/new-job.ts";
import type { Terminal } from "./build-verb.ts";
import { EXIT } from "./usage.ts";

/** @returns the exit code. A job that is there already is left alone. */
export function runNew(jobsFolder: string, request: NewJobRequest, terminal: Terminal): number {
  const { library, diagnostics: aboutLibrary } = loadLibrary(jobsFolder);
  const { text, diagnostics } = newJob(request, library);
  for (const diagnostic of [...aboutLibrary, ...diagnostics]) terminal.error(`${formatDiagnostic(diagnostic)}\n`);
  if (text === undefined) return EXIT.notUnderstood;
  const path = join(jobsFolder, `${request.id}.yaml`);
  if (existsSync(path)) {
    terminal.error(`${request.id} is there already, in ${path}; nothing was written.`);
    return EXIT.notUnderstood;
  }
  // "wx": a file that appeared in this instant is not written over.
  writeFileSync(path, text, { flag: "wx" });
  terminal.out(
    [
      `Wrote ${path}: the grid is laid out, the readings are blank.`,
      `For the survey set, build it now: npm start -- ${request.id}`,
      "Then put the readings in and build again.",
    ].join("\n"),
  );
  return EXIT.done;
}
