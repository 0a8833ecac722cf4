/** `npm start -- history`: what git has of a job, with its issued revisions; without git, the revisions alone. */
import { execFile } from "node:child_process";
import { promisify } from "node:util";
import { findRecords } from "../archive/issued-records.ts";
import { formatDiagnostic } from "../diagnostics.ts";
import { readRecords } from "../revision/record.ts";
import { plural, type Terminal } from "./build-verb.ts";
import { EXIT } from "./usage.ts";

const run = promisify(execFile);

export interface Commit {
  readonly hash: string;
  /** ISO 8601, with the time zone of whoever committed. */
  readonly date: string;
  readonly author: string;
  readonly subject: string;
}

/** The commits that touch a job's file or folder, newest first; undefined where there is no git or no repository. */
export async function commitsOf(jobsFolder: string, jobId: string): Promise<Commit[] | undefined> {
  try {
    const { stdout } = await run(
      "git",
      ["log", "--format=%h%x00%ad%x00%an%x00%s", "--date=short", "--", `${jobId}.yaml`, jobId],
      { cwd: jobsFolder, maxBuffer: 64 * 1024 * 1024 },
    );
    return stdout
      .split("\n")
      .filter((line) => line !== "")
      .map((line) => {
        const [hash = "", date = "", author = "", subject = ""] = line.split("\0");
        return { hash, date, author, subject };
      });
  } catch {
    return undefined;
  }
}

/** @returns the exit code. */
export async function runHistory(jobsFolder: string, jobId: string, terminal: Terminal): Promise<number> {
  const records = readRecords(jobId, findRecords(jobsFolder, jobId));
  for (const problem of records.problems ?? []) terminal.error(`${formatDiagnostic(problem)}\n`);
  for (const { number, date, reason, program } of records.issued ?? [])
    terminal.out(`Revision ${number}, issued ${date}: ${reason} (program ${program.version})`);
  if (records.issued?.length === 0) terminal.out(`Nothing was issued of ${jobId} yet.`);
  const commits = await commitsOf(jobsFolder, jobId);
  if (commits === undefined)
    terminal.out("No history: the folder of jobs is in no git repository, or git is not installed.");
  else {
    terminal.out(`${plural(commits.length, "commit")} of ${jobId}:`);
    for (const { hash, date, author, subject } of commits) terminal.out(`  ${date} ${hash} ${author}: ${subject}`);
  }
  return records.problems === undefined ? EXIT.done : EXIT.jobProblems;
}
