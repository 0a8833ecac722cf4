/**
 * The only place of this stage that touches files: jobs and the library.
 */

import { createHash } from "node:crypto";
import { lstatSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Diagnostic } from "../diagnostics.ts";
import { decimal } from "../format.ts";
import type { BesideFile } from "./job-reader.ts";
import type { LibraryFiles } from "./library.ts";
import { LIMITS } from "./schema-limits.ts";

export const LIBRARY_FOLDER = "_library";

/** A job file that is there to be built. */
export interface JobFile {
  readonly id: string;
  /** Path to read it from. */
  readonly path: string;
  /** The name under which messages know it, such as `jobs/tern-street-clinic.yaml`. */
  readonly file: string;
}

/** The name under which messages know a file in the folder of jobs. */
const officeName = (...parts: readonly string[]): string => ["jobs", ...parts].join("/");

/**
 * The jobs in a folder, by name; what starts with `_` or `.` is no job.
 * @returns the jobs, the names of the folders beside them (a job's own, with its readings and its issued revisions),
 * and an objection to each file that looks like a job and cannot be one
 */
export function listJobs(jobsFolder: string): {
  readonly jobs: JobFile[];
  readonly folders: ReadonlySet<string>;
  readonly diagnostics: Diagnostic[];
} {
  const jobs: JobFile[] = [];
  const folders = new Set<string>();
  const diagnostics: Diagnostic[] = [];
  for (const entry of sortedEntries(jobsFolder)) {
    if (/^[._]/.test(entry.name)) continue;
    if (entry.isDirectory()) folders.add(entry.name);
    if (entry.isSymbolicLink()) diagnostics.push(linkProblem(officeName(entry.name)));
    if (!entry.isFile()) continue;
    if (/\.yaml$/.test(entry.name)) {
      const id = entry.name.replace(/\.yaml$/, "");
      jobs.push({ id, path: join(jobsFolder, entry.name), file: officeName(entry.name) });
    } else if (/\.ya?ml$/i.test(entry.name)) {
      diagnostics.push({
        code: "job-file-name",
        severity: "error",
        message: `${officeName(entry.name)} is not read: job files end in .yaml.`,
        hint: `Rename it to ${entry.name.replace(/\.ya?ml$/i, ".yaml")}.`,
      });
    }
  }
  return { jobs, folders, diagnostics };
}

/** What a link leads to may lie anywhere, and be changed by anybody. */
const linkProblem = (file: string): Diagnostic => ({
  code: "link-not-followed",
  severity: "error",
  message: `${file} is a link, and links are not followed.`,
  hint: "Put the file or the folder itself there.",
});

/** By code units, so that the order is the same on every machine. */
const sortedEntries = (folder: string) =>
  readdirSync(folder, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : 0));

/**
 * The text of a job or library file.
 * @param file the name for messages
 * @param mostBytes a larger one is refused unread
 */
export function readTextFile(
  path: string,
  file: string,
  mostBytes: number = LIMITS.fileBytes,
): { readonly text: string; readonly problem?: never } | { readonly text?: never; readonly problem: Diagnostic } {
  const { size } = statSync(path);
  if (size > mostBytes) {
    return refuse(
      file,
      "file-too-large",
      `${file} has ${decimal(size / 1e6, 1)} MB.`,
      `at most ${mostBytes / 1e6} MB of text`,
      mostBytes === LIMITS.fileBytes
        ? "Check what was saved there: no job is this long."
        : "Thin the scan before it is saved: a point every 25 mm is more than any floor needs.",
    );
  }
  return textOf(readFileSync(path), file);
}

/** The text of a file's bytes, which have to be UTF-8; a mark at its beginning is taken off, every line ends in one way. */
export function textOf(
  bytes: Uint8Array,
  file: string,
): { readonly text: string; readonly problem?: never } | { readonly text?: never; readonly problem: Diagnostic } {
  if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff) || isWide(bytes)) {
    return refuse(
      file,
      "not-utf-8",
      `${file} is saved as UTF-16.`,
      "UTF-8 text",
      "Save it again with the encoding UTF-8.",
    );
  }
  try {
    const text = new TextDecoder("utf-8", { fatal: true, ignoreBOM: false }).decode(bytes);
    return { text: text.includes("\r") ? text.replace(/\r\n?/g, "\n") : text };
  } catch {
    return refuse(
      file,
      "not-utf-8",
      `${file} is not UTF-8 text.`,
      "UTF-8 text",
      "Save it again with the encoding UTF-8.",
    );
  }
}

/**
 * The files of a job that its text names: they lie in the folder that has the job file's name. A CSV file is read,
 * of another document the checksum is taken.
 * @throws what the file system throws where one cannot be read
 */
export function readBesideFiles(
  { path, file }: Pick<JobFile, "path" | "file">,
  text: string,
): { readonly files: BesideFile[]; readonly problems: Diagnostic[] } {
  const folder = path.replace(/\.yaml$/, "");
  const files: BesideFile[] = [];
  const problems: Diagnostic[] = [];
  if (lstatSync(folder, { throwIfNoEntry: false })?.isDirectory() !== true) return { files, problems };
  for (const entry of sortedEntries(folder)) {
    const { name } = entry;
    if (!entry.isFile()) continue;
    if (!text.includes(name)) continue;
    const known = `${file.replace(/\.yaml$/, "")}/${name}`;
    if (!name.endsWith(".csv")) {
      const sha256 = createHash("sha256")
        .update(readFileSync(join(folder, name)))
        .digest("hex");
      files.push({ name, file: known, text: "", sha256 });
      continue;
    }
    const read = readTextFile(join(folder, name), known, LIMITS.scanBytes);
    if (read.problem) problems.push(read.problem);
    else files.push({ name, file: known, text: read.text });
  }
  return { files, problems };
}

/** UTF-16 without a mark: of the first bytes every other one is zero. */
const isWide = (bytes: Uint8Array): boolean => {
  const [a, b, c, d] = bytes;
  return d !== undefined && (a === 0) !== (b === 0) && (a === 0) === (c === 0) && (b === 0) === (d === 0);
};

const refuse = (file: string, code: string, message: string, expected: string, hint: string) => ({
  problem: {
    code,
    severity: "error",
    message,
    expected,
    hint,
    place: { file, line: 1, column: 1, length: 1, lineText: "" },
  } as const,
});

/** The library of a folder of jobs: every .yaml file in its `_library`. A folder without one has an empty library. */
export function loadLibrary(jobsFolder: string): {
  readonly library: LibraryFiles;
  readonly diagnostics: Diagnostic[];
} {
  const folder = join(jobsFolder, LIBRARY_FOLDER);
  const files: { file: string; text: string }[] = [];
  const diagnostics: Diagnostic[] = [];
  if (statSync(folder, { throwIfNoEntry: false })?.isDirectory() !== true) return { library: { files }, diagnostics };
  for (const entry of sortedEntries(folder)) {
    if (!entry.isFile() || !entry.name.endsWith(".yaml")) continue;
    const file = officeName(LIBRARY_FOLDER, entry.name);
    const read = readTextFile(join(folder, entry.name), file);
    if (read.problem) diagnostics.push(read.problem);
    else files.push({ file, text: read.text });
  }
  return { library: { files }, diagnostics };
}

/** Writes a new job file; never over one that is there. Gives the objection, if there is one. */
export function writeNewJobFile(jobsFolder: string, id: string, text: string): Diagnostic | undefined {
  const file = officeName(`${id}.yaml`);
  try {
    writeFileSync(join(jobsFolder, `${id}.yaml`), text, { flag: "wx" });
    return undefined;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "EEXIST") throw error;
    return {
      code: "job-exists",
      severity: "error",
      message: `${file} is there already.`,
      hint: "Choose another id, or edit that file.",
    };
  }
}
