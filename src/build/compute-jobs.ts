/** Reads jobs from the disk and computes those whose packet is not made from the same. */
import { type BuiltFrom, readBuiltFrom } from "../archive/built-packets.ts";
import { findRecords, recordMarks } from "../archive/issued-records.ts";
import type { Diagnostic } from "../diagnostics.ts";
import { type JobFile, readBesideFiles, readTextFile } from "../job/files.ts";
import type { BesideFile } from "../job/job-reader.ts";
import type { LibraryFiles } from "../job/library.ts";
import type { ReadRecords } from "../revision/record.ts";
import type { Computed, PdfWish, Progress, Workshop } from "./model.ts";
import { textsHash } from "./texts-hash.ts";

/**
 * The jobs in their order, each with its answer unless its packet is up to date.
 * @param whileComputing called as often as the thread is set to work
 */
export async function computeJobs(
  { settings, pool, printer, print, program }: Workshop,
  files: readonly JobFile[],
  library: LibraryFiles,
  onProgress: (progress: Progress) => void,
  whileComputing: () => void,
): Promise<Computed[]> {
  const printedWith = print === "pdfs" ? await printer.browserVersion().catch(() => null) : null;
  const computed: Computed[] = [];
  for (const { id: jobId, file, path } of files) {
    const { text, beside, problems } = readJobText(path, file);
    const inputHash = jobHash(text, beside, library);
    const from: BuiltFrom = { program, job: sourceHash(settings.jobsFolder, jobId, inputHash), printedWith };
    if (problems.length > 0) {
      computed.push({ jobId, from, answer: { kind: "refused", problems } });
      continue;
    }
    // Before the packet is found to be up to date: a record that was touched is refused though the job is as it was.
    const records = await recordsOf(settings.jobsFolder, jobId);
    if (records.problems) {
      computed.push({ jobId, from, answer: { kind: "refused", problems: records.problems } });
      continue;
    }
    const before = settings.fresh ? undefined : readBuiltFrom(settings.outputFolder, jobId);
    if (before !== undefined && isUpToDate(before, from, print)) {
      computed.push({ jobId, from });
      continue;
    }
    onProgress({ kind: "computing", jobId });
    whileComputing();
    const { issued } = records;
    computed.push({
      jobId,
      from,
      answer: await pool.compute({ jobId, file, text, beside, library, issued, inputHash, sourceHash: from.job }),
    });
  }
  return computed;
}

/** What a job is made of on the disk: its file, empty where that cannot be read, and the files beside it that it names. */
export interface JobTexts {
  readonly text: string;
  readonly beside: readonly BesideFile[];
  readonly problems: readonly Diagnostic[];
}

/** The texts of a job, or why they cannot be had: a file may go between being listed and being read. */
export function readJobText(path: string, file: string): JobTexts {
  try {
    const { text, problem } = readTextFile(path, file);
    if (problem !== undefined) return { text: "", beside: [], problems: [problem] };
    const { files, problems } = readBesideFiles({ path, file }, text);
    return { text, beside: files, problems };
  } catch (error) {
    const message = `${file} cannot be read: ${error instanceof Error ? error.message : String(error)}`;
    return { text: "", beside: [], problems: [{ code: "file-not-readable", severity: "error", message }] };
  }
}

/** Everything that a packet is made from besides the program: the job, the library, and what was issued before. */
export function sourceHash(jobsFolder: string, jobId: string, inputHash: string): string {
  const marks = recordMarks(jobsFolder, jobId);
  return marks.length === 0 ? inputHash : textsHash([inputHash, ...marks]);
}

/** Everything that a packet is computed from. */
export const jobHash = (text: string, beside: readonly BesideFile[], library: LibraryFiles): string =>
  textsHash([
    text,
    // Of a document that is named and not read the checksum counts.
    ...beside.flatMap((each) => [each.file, each.sha256 ?? each.text]),
    ...library.files.flatMap((each) => [each.file, each.text]),
  ]);

/** Most jobs have no record: what reads them is loaded for those that have one. */
async function recordsOf(jobsFolder: string, jobId: string): Promise<ReadRecords> {
  const found = findRecords(jobsFolder, jobId);
  return found.length === 0 ? { issued: [] } : (await import("../revision/record.ts")).readRecords(jobId, found);
}

/** Where PDFs are wanted they must be there, and of the browser that would print them now. */
export function isUpToDate(before: BuiltFrom, now: BuiltFrom, print: PdfWish): boolean {
  if (before.program !== now.program || before.job !== now.job) return false;
  return print === "no-pdfs" || (now.printedWith !== null && before.printedWith === now.printedWith);
}
