/** Prints an issued revision again, from its record alone, and tells what today's program would give otherwise. */
import { findRecords } from "../archive/issued-records.ts";
import { putPacket } from "../archive/packet-folder.ts";
import { acrossPages, type RecordPage, restorePages } from "../archive/record-pages.ts";
import type { Diagnostic } from "../diagnostics.ts";
import { NoBrowserError } from "../print/find-browser.ts";
import type { IssuedRevision } from "../revision/model.ts";
import { type NumberApart, numbersApart } from "../revision/numbers-apart.ts";
import { readRecords } from "../revision/record.ts";
import { PACKET_FILE, type RecordFile } from "../revision/record-files.ts";
import { WORDS } from "../sheets/compose-sheets.ts";
import { INPUT_JOB, INPUT_OTHERS } from "./issue-job.ts";
import type { Workshop } from "./model.ts";

/** Prints of records lie in output/_issued/<job>/<revision>/: a build of the job leaves them alone. */
export const ISSUED_PRINTS = "_issued";

export type ReprintReport =
  | {
      readonly kind: "printed";
      readonly revision: IssuedRevision;
      /** The revision that took its place, where one has. */
      readonly supersededBy?: IssuedRevision;
      /** Below the output folder. */
      readonly folder: string;
      readonly pdfs: number;
      readonly noBrowser?: string;
      readonly today: Today;
    }
  | { readonly kind: "refused"; readonly problems: readonly Diagnostic[] };

/** What today's program makes of the job file that was issued. Changes nothing. */
export type Today =
  | { readonly kind: "computed"; readonly apart: readonly NumberApart[] }
  | { readonly kind: "refuses"; readonly problems: readonly Diagnostic[] };

/**
 * Prints revision `wanted` of a job, or its last one.
 * @throws Error of the browser or of the file system; what was printed before stays.
 */
export async function reprintJob(workshop: Workshop, jobId: string, wanted: number | "last"): Promise<ReprintReport> {
  const { settings, printer, print } = workshop;
  const found = findRecords(settings.jobsFolder, jobId);
  const records = readRecords(jobId, found);
  if (records.problems) return { kind: "refused", problems: records.problems };
  const { issued } = records;
  const last = issued.at(-1);
  const revision = wanted === "last" ? last : issued.find(({ number }) => number === wanted);
  if (last === undefined || revision === undefined)
    return { kind: "refused", problems: [notIssued(jobId, wanted, issued.length)] };
  const { files } = found.find(({ folder }) => folder === revision.folder) as { files: readonly RecordFile[] };
  const superseded = last.number !== revision.number;
  const pages = restorePages(files).map((page) => (superseded ? acrossPages(page, acrossText(last)) : page));

  const today = await computeToday(workshop, jobId, files);
  const name = (page: RecordPage) => pdfName(jobId, page.path, revision, superseded);
  const pdfs: { path: string; content: Uint8Array }[] = [];
  let noBrowser: string | undefined;
  if (print === "pdfs") {
    try {
      pdfs.push(
        ...(await Promise.all(
          pages.map(async (page) => ({ path: name(page), content: (await printer.print(page.path, page.html)).pdf })),
        )),
      );
    } catch (error) {
      if (!(error instanceof NoBrowserError)) throw error;
      noBrowser = error.message;
    }
  }
  const folder = `${ISSUED_PRINTS}/${jobId}`;
  await putPacket(`${settings.outputFolder}/${folder}`, revision.folder, [
    ...pages.map(({ path, html }) => ({ path, content: html })),
    ...pdfs,
    { path: PACKET_FILE, content: files.find(({ path }) => path === PACKET_FILE)?.text ?? "" },
    { path: "computed-today.json", content: `${JSON.stringify(today, null, 1)}\n` },
  ]);
  return {
    kind: "printed",
    revision,
    ...(superseded ? { supersededBy: last } : {}),
    folder: `${folder}/${revision.folder}`,
    pdfs: pdfs.length,
    ...(noBrowser === undefined ? {} : { noBrowser }),
    today,
  };
}

const acrossText = (last: IssuedRevision) => (language: string) => {
  const { superseded, supersededBy } = WORDS[language === "es" ? "es" : "en"].revisions;
  return { word: superseded, line: supersededBy(String(last.number), last.date) };
};

/** The name carries job, sheet or set, language and revision, and that it was superseded. */
function pdfName(jobId: string, path: string, revision: IssuedRevision, superseded: boolean): string {
  const [language = "", file = ""] = path.split("/");
  const name = file.replace(/\.html$/, "");
  const sheet = revision.sheets.find((one) => one.id === name && one.language === language);
  const tail = `${language}${sheet === undefined ? "" : `-${sheet.hash}`}-revision-${revision.number}`;
  const flat = `${jobId}-${name}-${tail}${superseded ? "-superseded" : ""}.pdf`;
  return sheet === undefined ? flat : `${language}/${flat}`;
}

async function computeToday({ pool }: Workshop, jobId: string, files: readonly RecordFile[]): Promise<Today> {
  const textOf = (wanted: string) => files.find(({ path }) => path === wanted)?.text ?? "";
  const { beside, library } = JSON.parse(textOf(INPUT_OTHERS));
  const answer = await pool.compute({ jobId, file: `jobs/${jobId}.yaml`, text: textOf(INPUT_JOB), beside, library });
  if (answer.kind === "refused") return { kind: "refuses", problems: answer.problems };
  return {
    kind: "computed",
    apart: numbersApart(JSON.parse(textOf(PACKET_FILE)), JSON.parse(answer.packet.packetJson)),
  };
}

const notIssued = (jobId: string, wanted: number | "last", count: number): Diagnostic => ({
  code: "revision-not-issued",
  severity: "error",
  message:
    count === 0 || wanted === "last"
      ? `Nothing was issued of ${jobId} yet: there is no record in jobs/${jobId}/.`
      : `There is no revision ${wanted} of ${jobId}; the last one is ${count}.`,
  hint: count === 0 ? `issue it: npm start -- issue ${jobId} --reason "For the pour"` : `give --revision 1 to ${count}`,
});
