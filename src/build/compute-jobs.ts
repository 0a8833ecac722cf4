/** Reads jobs from the disk and computes those whose packet is not made from the same. */
import { type BuiltFrom, readBuiltFrom } from "../archive/built-packets.ts";
import { type JobFile, readTextFile } from "../job/files.ts";
import type { LibraryFiles } from "../job/library.ts";
import type { Computed, PdfWish, Progress, Workshop } from "./model.ts";
import { textsHash } from "./program-hash.ts";

/** The jobs in their order, each with its answer unless its packet is up to date. */
export async function computeJobs(
  { settings, pool, printer, print, program }: Workshop,
  files: readonly JobFile[],
  library: LibraryFiles,
  onProgress: (progress: Progress) => void,
): Promise<Computed[]> {
  const printedWith = print === "pdfs" ? await printer.browserVersion().catch(() => null) : null;
  const computed: Computed[] = [];
  for (const { id: jobId, file, path } of files) {
    const read = readJobText(path, file);
    const from: BuiltFrom = { program, job: jobHash(read.text ?? "", library), printedWith };
    if (read.problem) {
      computed.push({ jobId, from, answer: { kind: "refused", problems: [read.problem] } });
      continue;
    }
    const { text } = read;
    const before = settings.fresh ? undefined : await readBuiltFrom(settings.outputFolder, jobId);
    if (before !== undefined && isUpToDate(before, from, print)) {
      computed.push({ jobId, from });
      continue;
    }
    onProgress({ kind: "computing", jobId });
    computed.push({ jobId, from, answer: await pool.compute({ jobId, file, text, library }) });
  }
  return computed;
}

/** The text of a job file, or why it cannot be had: a file may go between being listed and being read. */
export function readJobText(path: string, file: string): ReturnType<typeof readTextFile> {
  try {
    return readTextFile(path, file);
  } catch (error) {
    const message = `${file} cannot be read: ${error instanceof Error ? error.message : String(error)}`;
    return { problem: { code: "file-not-readable", severity: "error", message } };
  }
}

/** Everything that a packet is made from besides the program. */
export const jobHash = (text: string, library: LibraryFiles): string =>
  textsHash([text, ...library.files.flatMap((each) => [each.file, each.text])]);

/** Where PDFs are wanted they must be there, and of the browser that would print them now. */
function isUpToDate(before: BuiltFrom, now: BuiltFrom, print: PdfWish): boolean {
  if (before.program !== now.program || before.job !== now.job) return false;
  return print === "no-pdfs" || (now.printedWith !== null && before.printedWith === now.printedWith);
}
