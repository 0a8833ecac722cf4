/** `npm start -- check`: every problem of a job, without writing a file. */

import { readJobText } from "../build/compute-jobs.ts";
import { COMPUTE_LIMITS, openComputePool } from "../build/compute-pool.ts";
import { type Diagnostic, formatDiagnostic } from "../diagnostics.ts";
import { checkLibrary } from "../job/check-library.ts";
import { listJobs, loadLibrary } from "../job/files.ts";
import { plural, type Terminal } from "./build-verb.ts";
import { EXIT } from "./usage.ts";

/** @returns the exit code. */
export async function runCheck(
  jobsFolder: string,
  jobIds: readonly string[] | "all",
  terminal: Terminal,
): Promise<number> {
  const { jobs, diagnostics: aboutFiles } = listJobs(jobsFolder);
  const { library, diagnostics: aboutLibrary } = loadLibrary(jobsFolder);
  const wanted = jobIds === "all" ? jobs : jobs.filter(({ id }) => jobIds.includes(id));
  let errors = 0;
  const show = (diagnostics: readonly Diagnostic[]) => {
    for (const diagnostic of diagnostics) {
      if (diagnostic.severity === "error") errors += 1;
      (diagnostic.severity === "error" ? terminal.error : terminal.out)(`${formatDiagnostic(diagnostic)}\n`);
    }
  };
  show([...aboutFiles, ...aboutLibrary]);
  // With no job named the whole library is looked at, not only what a job uses.
  if (jobIds === "all") show(checkLibrary(library));

  const pool = openComputePool(COMPUTE_LIMITS);
  try {
    for (const { id: jobId, path, file } of wanted) {
      const { text, beside, problems } = readJobText(path, file);
      if (problems.length > 0) {
        show(problems);
        continue;
      }
      const answer = await pool.compute({ jobId, file, text, beside, library });
      show(answer.kind === "made" ? answer.warnings : answer.problems);
      const said = answer.kind === "made" ? "in order" : "has problems";
      terminal.out(`${jobId}: ${said}.`);
    }
  } finally {
    await pool.close();
  }
  terminal.out(errors === 0 ? `${plural(wanted.length, "job")} checked.` : `${plural(errors, "problem")} found.`);
  return errors === 0 ? EXIT.done : EXIT.jobProblems;
}
