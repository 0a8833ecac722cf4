/** Issues a job: what its packet says today becomes the record of its next revision. */
import { findRecords, putRecord } from "../archive/issued-records.ts";
import { storePages } from "../archive/record-pages.ts";
import type { MadePacket } from "../build.ts";
import type { Diagnostic } from "../diagnostics.ts";
import type { JobFile } from "../job/files.ts";
import type { LibraryFiles } from "../job/library.ts";
import { renderPages } from "../print/render-pages.ts";
import type { Issuing, SheetMark } from "../revision/model.ts";
import { readRecords, sealRecord } from "../revision/record.ts";
import { PACKET_FILE, type RecordFile, recordFolder } from "../revision/record-files.ts";
import { packetJsonSchema } from "../sheets/packet-schema.ts";
import { jobHash, readJobText } from "./compute-jobs.ts";
import type { Workshop } from "./model.ts";
import { packetPages } from "./packet-pages.ts";
import { programVersion } from "./texts-hash.ts";

export type IssueReport =
  | {
      readonly kind: "issued";
      readonly number: number;
      /** Such as `jobs/tern-street-clinic/revision-1`. */
      readonly place: string;
      /** Sheets that this revision brought; the others stand as they were issued before. */
      readonly changed: readonly SheetMark[];
      readonly sheets: number;
      readonly digest: string;
      readonly warnings: readonly Diagnostic[];
    }
  | { readonly kind: "refused"; readonly problems: readonly Diagnostic[] };

/**
 * Computes the job, renders its sheets, and writes the record of the next revision whole or not at all.
 * @throws Error of a template or of the file system: nothing was issued then.
 */
export async function issueJob(
  { settings, pool, program }: Workshop,
  file: JobFile,
  library: LibraryFiles,
  issuing: Issuing,
): Promise<IssueReport> {
  const jobId = file.id;
  const { text, beside, problems } = readJobText(file.path, file.file);
  if (problems.length > 0) return { kind: "refused", problems };
  const records = readRecords(jobId, findRecords(settings.jobsFolder, jobId));
  if (records.problems) return { kind: "refused", problems: records.problems };
  const { issued } = records;
  const last = issued.at(-1);
  if (last !== undefined && issuing.date < last.date) return refuse(beforeTheLast(file.file, issuing.date, last));

  const inputHash = jobHash(text, beside, library);
  const request = { jobId, file: file.file, text, beside, library, issued, inputHash };
  if (last !== undefined) {
    const asItIs = await pool.compute(request);
    if (asItIs.kind === "refused") return { kind: "refused", problems: asItIs.problems };
    if (asItIs.packet.page.revision.standing.kind === "issued") return refuse(nothingDiffers(file.file, last.number));
  }
  const answer = await pool.compute({ ...request, issuing });
  if (answer.kind === "refused") return { kind: "refused", problems: answer.problems };

  const { packet } = answer;
  const number = (last?.number ?? 0) + 1;
  const { record, files } = sealRecord(
    {
      job: jobId,
      revision: number,
      date: issuing.date,
      reason: issuing.reason,
      program: { version: programVersion(), hash: program },
      inputHash,
      previous: last?.digest ?? null,
      sheets: packet.sheets.map(({ id, title, language, hash, standing }) => ({
        id,
        title,
        language,
        hash,
        revision: standing.kind === "issued" ? standing.revision : number,
        date: standing.kind === "issued" ? standing.date : issuing.date,
      })),
    },
    [
      { path: PACKET_FILE, text: packet.packetJson },
      { path: "packet.schema.json", text: `${JSON.stringify(packetJsonSchema())}\n` },
      ...inputFiles(text, beside, library),
      ...(await pageFiles(packet)),
    ],
  );
  putRecord(settings.jobsFolder, jobId, number, files);
  return {
    kind: "issued",
    number,
    place: `jobs/${jobId}/${recordFolder(number)}`,
    changed: record.sheets.filter((sheet) => sheet.revision === number),
    sheets: record.sheets.length,
    digest: record.digest,
    warnings: answer.warnings,
  };
}

export const INPUT_JOB = "from/job.yaml";
export const INPUT_OTHERS = "from/others.json";

/** What it was computed from, so that a later version of the program can compute it again and tell what differs. */
const inputFiles = (text: string, beside: Parameters<typeof jobHash>[1], library: LibraryFiles): RecordFile[] => [
  { path: INPUT_JOB, text },
  { path: INPUT_OTHERS, text: `${JSON.stringify({ beside, library }, null, 1)}\n` },
];

async function pageFiles(packet: MadePacket): Promise<RecordFile[]> {
  const pages = packetPages(packet, false)
    .filter(({ template }) => template !== "jobPage")
    .map((page) => ({ ...page, view: { ...page.view, recorded: true } }));
  const html = await renderPages(pages, "no-docs");
  const of = (kind: "sheet" | "set") =>
    pages
      .filter(({ template }) => template === kind)
      .map(({ path }) => ({ path: path.slice(packet.page.jobId.length + 1), html: html.get(path) as string }));
  return storePages(of("sheet"), of("set"));
}

const refuse = (problem: Diagnostic): IssueReport => ({ kind: "refused", problems: [problem] });

const nothingDiffers = (file: string, number: number): Diagnostic => ({
  code: "nothing-to-issue",
  severity: "error",
  message: `Nothing in the packet of ${file} differs from revision ${number}: there is nothing to issue.`,
  hint: `to print revision ${number} again: npm start -- reprint ${file.replace(/^.*\/|\.yaml$/g, "")}`,
});

const beforeTheLast = (
  file: string,
  date: string,
  last: { readonly number: number; readonly date: string },
): Diagnostic => ({
  code: "issued-before-the-last",
  severity: "error",
  message: `${file} cannot be issued with the date ${date}: revision ${last.number} is of ${last.date}.`,
  expected: `${last.date} or a later day`,
  hint: "give the day of issuing as --date 2027-03-05",
});
