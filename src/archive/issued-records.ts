/** Records of issued revisions on the disk: `jobs/<job-id>/revision-<n>/`, written whole or not at all. */
import { lstatSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import {
  type FoundRecord,
  RECORD_FILE,
  RECORD_FOLDER,
  type RecordFile,
  recordFolder,
} from "../revision/record-files.ts";

/** The records of a job with the text of all their files; none where the job has no folder. */
export function findRecords(jobsFolder: string, jobId: string): FoundRecord[] {
  return recordFolders(jobsFolder, jobId).map((folder) => ({
    folder,
    place: `jobs/${jobId}/${folder}`,
    files: filesBelow(join(jobsFolder, jobId, folder), ""),
  }));
}

/** What the records of a job say of themselves, as text: enough to tell whether one came, went or changed. */
export function recordMarks(jobsFolder: string, jobId: string): string[] {
  return recordFolders(jobsFolder, jobId).flatMap((folder) => {
    try {
      return [folder, readFileSync(join(jobsFolder, jobId, folder, RECORD_FILE), "utf8")];
    } catch {
      return [folder, ""];
    }
  });
}

function recordFolders(jobsFolder: string, jobId: string): string[] {
  if (lstatSync(join(jobsFolder, jobId), { throwIfNoEntry: false })?.isDirectory() !== true) return [];
  return readdirSync(join(jobsFolder, jobId), { withFileTypes: true })
    .filter((entry) => entry.isDirectory() && RECORD_FOLDER.test(entry.name))
    .map(({ name }) => name)
    .sort();
}

/** What starts with a dot is a file manager's and no part of a record; nor is what a link leads to. */
function filesBelow(folder: string, below: string): RecordFile[] {
  return readdirSync(join(folder, below), { withFileTypes: true })
    .filter((entry) => !entry.name.startsWith(".") && !entry.isSymbolicLink())
    .sort((p, q) => (p.name < q.name ? -1 : 1))
    .flatMap((entry) => {
      const path = below === "" ? entry.name : `${below}/${entry.name}`;
      return entry.isDirectory()
        ? filesBelow(folder, path)
        : [{ path, text: readFileSync(join(folder, path), "utf8") }];
    });
}

/**
 * Writes a record and puts it in its place by rename.
 * @throws Error of the file system, or where a record of that number is there already: then nothing was written.
 */
export function putRecord(jobsFolder: string, jobId: string, number: number, files: readonly RecordFile[]): void {
  if (lstatSync(join(jobsFolder, jobId), { throwIfNoEntry: false })?.isSymbolicLink() === true)
    throw new Error(`jobs/${jobId} is a link: a record is written into the folder of jobs, and nowhere else`);
  const place = join(jobsFolder, jobId, recordFolder(number));
  const part = join(jobsFolder, jobId, `.${recordFolder(number)}.part`);
  // Left behind by a run that was stopped.
  rmSync(part, { recursive: true, force: true });
  try {
    for (const { path, text } of files) {
      mkdirSync(dirname(join(part, path)), { recursive: true });
      writeFileSync(join(part, path), text, { flush: true });
    }
    renameSync(part, place);
  } catch (error) {
    rmSync(part, { recursive: true, force: true });
    throw error;
  }
}
