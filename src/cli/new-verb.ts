/** `npm start -- new`: writes the file of a new job. */
import { existsSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { readJobText } from "../build/compute-jobs.ts";
import type { ComputeRequest } from "../build/compute-pool.ts";
import { loadSolver } from "../build/load-solver.ts";
import { type Diagnostic, formatDiagnostic } from "../diagnostics.ts";
import { listJobs, loadLibrary, writeNewJobFile } from "../job/files.ts";
import type { LibraryFiles } from "../job/library.ts";
import { type NewJobRequest, newJob } from "../job/new-job.ts";
import { readJob } from "../job/read-job.ts";
import { idProblem } from "../job/schema-leaves.ts";
import { layOut } from "../layout/lay-out.ts";
import type { SolveBinary } from "../numeric/integer-program.ts";
import { planSurvey } from "../survey/plan-survey.ts";
import { plural, type Terminal } from "./build-verb.ts";
import { plannedSetUpsText, withSetUps } from "./planned-readings.ts";
import { unknownJobs } from "./read-arguments.ts";
import { EXIT } from "./usage.ts";

/**
 * A job from its room: the survey is planned, with a blank for every reading in the order of walking.
 * @returns the exit code. A job that is there already is left alone.
 */
export async function runNew(jobsFolder: string, request: NewJobRequest, terminal: Terminal): Promise<number> {
  const { library, diagnostics: aboutLibrary } = loadLibrary(jobsFolder);
  const { text: unplanned, diagnostics } = newJob(request, library);
  const planned: PlannedJob =
    unplanned === undefined
      ? { problems: [] }
      : plannedJob({ id: request.id, file: `jobs/${request.id}.yaml`, text: unplanned }, library, await loadSolver());
  const { text } = planned;
  for (const diagnostic of [...aboutLibrary, ...diagnostics, ...planned.problems])
    terminal.error(`${formatDiagnostic(diagnostic)}\n`);
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
      `Wrote ${path}: the grid is laid out, ${plural(planned.setUps, "set-up")} planned, the readings are blank in the order of their forms.`,
      `For the survey set, build it now: npm start -- ${request.id}`,
      "Then put the readings in and build again.",
    ].join("\n"),
  );
  return EXIT.done;
}

/** Writes a job like another one, its survey planned, with a blank for every reading. @returns the exit code */
export async function runNewFrom(jobsFolder: string, id: string, from: string, terminal: Terminal): Promise<number> {
  const { jobs } = listJobs(jobsFolder);
  const source = jobs.find((job) => job.id === from);
  if (source === undefined) {
    const ids = jobs.map((job) => job.id);
    terminal.error(unknownJobs([from], ids).join("\n"));
    return EXIT.notUnderstood;
  }
  const { text, beside, problems: unread } = readJobText(source.path, source.file);
  const { library, diagnostics: aboutLibrary } = loadLibrary(jobsFolder);
  const made: PlannedJob =
    unread.length === 0
      ? plannedJob({ id, file: source.file, text, beside }, library, await loadSolver())
      : { problems: unread };
  const refusal = made.text === undefined ? undefined : writeNewJobFile(jobsFolder, id, made.text);
  const problems = [...aboutLibrary, ...made.problems, ...(refusal === undefined ? [] : [refusal])];
  for (const diagnostic of problems) terminal.error(`${formatDiagnostic(diagnostic)}\n`);
  if (made.text === undefined || refusal !== undefined) return EXIT.notUnderstood;
  terminal.out(
    [
      `Wrote ${join(jobsFolder, `${id}.yaml`)}: ${plural(made.setUps, "set-up")}, the readings are blank, in the order of their forms.`,
      `For the survey set, build it now: npm start -- ${id}`,
      "Then put the readings in and build again.",
    ].join("\n"),
  );
  return EXIT.done;
}

type PlannedJob =
  | { readonly text: string; readonly setUps: number; readonly problems: readonly Diagnostic[] }
  | { readonly text?: never; readonly problems: readonly Diagnostic[] };

/** The other job's text with planned set-ups, read back before it is given; or what keeps it from being planned. */
export function plannedJob(
  { id, file, text, beside }: { readonly id: string } & Pick<ComputeRequest, "file" | "text" | "beside">,
  library: LibraryFiles,
  solve: SolveBinary,
): PlannedJob {
  const idIssue = idProblem(id, "job");
  if (idIssue) {
    const { code, expected } = idIssue.params;
    return {
      problems: [
        { code, severity: "error", message: idIssue.message, ...(expected === undefined ? {} : { expected }) },
      ],
    };
  }
  const { job, diagnostics } = readJob(text, file, library, beside);
  if (job === undefined) return { problems: diagnostics };
  const { planning } = job.survey;
  if (planning === undefined) return { problems: [noPlanning(file)] };
  const plan = layOut(job);
  const planned = plan.kind === "ready" ? planSurvey(plan.value, planning, solve, job.benchMarks) : plan;
  if (planned.kind !== "ready") return { problems: planned.kind === "refused" ? planned.problems : [] };
  const written = withSetUps(text, id, plannedSetUpsText(job, planned.value, planning.instrument.id));
  if (written === undefined) return { problems: [notInBlocks(file)] };
  const readBack = readJob(written, `jobs/${id}.yaml`, library);
  if (readBack.job === undefined) return { problems: readBack.diagnostics };
  return { text: written, setUps: planned.value.positions.length, problems: planned.warnings };
}

const noPlanning = (file: string): Diagnostic => ({
  code: "nothing-to-plan-from",
  severity: "error",
  message: `${file} does not state what to plan the survey from.`,
  expected: "survey: planning: { instrument: hose-level, slack: 6 ft, tie_spread: 6 ft }",
});

const notInBlocks = (file: string): Diagnostic => ({
  code: "survey-not-in-blocks",
  severity: "error",
  message: `In ${file} job: and survey: do not each start a line of their own.`,
  expected: "survey: alone on its line, its keys indented by two below it",
});
