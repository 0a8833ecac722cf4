/** Computed packets → pages, PDFs and files, each put in its place whole. */
import { BUILT_FROM, type BuiltFrom, readSummary, SUMMARY } from "../archive/built-packets.ts";
import { type PacketFile, putPacket } from "../archive/packet-folder.ts";
import type { MadePacket } from "../build.ts";
import { changedSheets } from "../pages/job-summary.ts";
import { NoBrowserError } from "../print/find-browser.ts";
import { PrintingStopped } from "../print/print-pages.ts";
import { renderPages } from "../print/render-pages.ts";
import { packetJsonSchema } from "../sheets/packet-schema.ts";
import type { BrowserState, Computed, JobReport, Progress, Workshop } from "./model.ts";
import { packetPages } from "./packet-pages.ts";
import { type PrintedPdfs, printPages } from "./print-packet.ts";

/**
 * Loads what rendering will want, and renders nothing once: both take a while in a process that has not rendered yet,
 * and this one waits for the computing thread.
 */
export async function getReady(): Promise<void> {
  schemaText();
  await renderPages([], "no-docs");
}

/** Renders these packets together, then prints each and puts it in its place. Of what is stopped nothing is reported. */
export async function* finishJobs(
  workshop: Workshop,
  jobs: readonly Computed[],
  browser: BrowserState,
  onProgress: (progress: Progress) => void,
): AsyncGenerator<JobReport> {
  const made = jobs.flatMap(({ answer }) => (answer?.kind === "made" ? [answer.packet] : []));
  const printed = workshop.print === "pdfs" && browser.missing === undefined;
  const pages = made.flatMap((packet) => packetPages(packet, printed));
  // One job whose page a template cannot render must not take the others along: then each is rendered alone.
  const rendered = await renderPages(pages, "no-docs").catch(() => undefined);
  for (const { jobId, from, answer } of jobs) {
    const report = { jobId, diagnostics: [], changed: [], sheets: 0, pdfs: { printed: 0, kept: 0 } };
    if (workshop.isStopped()) return;
    if (answer === undefined) yield { ...report, outcome: "unchanged" };
    else if (answer.kind === "refused") yield { ...report, outcome: "refused", diagnostics: answer.problems };
    else {
      try {
        const finished = await finishJob(workshop, answer.packet, from, rendered, browser, onProgress);
        yield { ...report, ...finished, outcome: "built", diagnostics: answer.warnings };
      } catch (error) {
        if (error instanceof PrintingStopped) return;
        yield { ...report, outcome: "failed", failure: error instanceof Error ? error.message : String(error) };
      }
    }
  }
}

let schema: string | undefined;
/** The same for every packet: made once. */
function schemaText(): string {
  schema ??= `${JSON.stringify(packetJsonSchema(), null, 1)}\n`;
  return schema;
}

/** The files of one packet, printed and put in place. @throws Error of a template, of the browser, of the disk. */
async function finishJob(
  workshop: Workshop,
  packet: MadePacket,
  from: BuiltFrom,
  rendered: ReadonlyMap<string, string> | undefined,
  browser: BrowserState,
  onProgress: (progress: Progress) => void,
): Promise<Pick<JobReport, "changed" | "sheets" | "pdfs" | "sinceIssued">> {
  const { settings, printer, print } = workshop;
  const { jobId } = packet.page;
  const wantPdfs = print === "pdfs" && browser.missing === undefined;
  let pages = packetPages(packet, wantPdfs);
  let html = rendered ?? (await renderPages(pages, "no-docs"));
  let pdfs: PrintedPdfs | undefined;
  if (wantPdfs) {
    try {
      const tell = (done: number, of: number) => onProgress({ kind: "printing", jobId, done, of });
      pdfs = await printPages(printer, pages, html, tell, workshop.isStopped);
    } catch (error) {
      if (!(error instanceof NoBrowserError)) throw error;
      browser.missing = error.message;
      // The page of the job must not offer PDFs that are not there.
      pages = packetPages(packet, false);
      html = await renderPages(pages, "no-docs");
    }
  }
  const before = readSummary(settings.outputFolder, jobId);
  const files: PacketFile[] = [
    ...pages
      .filter((page) => page.publish)
      .map(({ path }) => ({ path: path.slice(jobId.length + 1), content: html.get(path) as string })),
    ...(pdfs?.files ?? []),
    { path: "packet.json", content: packet.packetJson },
    { path: "packet.schema.json", content: schemaText() },
    ...(packet.pinsCsv === undefined ? [] : [{ path: "pins.csv", content: packet.pinsCsv }]),
    { path: SUMMARY, content: `${JSON.stringify(packet.summary)}\n` },
    {
      path: BUILT_FROM,
      content: `${JSON.stringify({ ...from, printedWith: pdfs === undefined ? null : await printer.browserVersion() })}\n`,
    },
  ];
  await putPacket(settings.outputFolder, jobId, files);
  const { standing, sheets: apart } = packet.page.revision;
  return {
    ...(standing.kind === "draft-after" ? { sinceIssued: { revision: standing.revision, sheets: apart } } : {}),
    changed: changedSheets(before?.sheets ?? [], packet.summary.sheets),
    sheets: packet.summary.sheets.length,
    pdfs: { printed: pdfs?.printed ?? 0, kept: pdfs?.kept ?? 0 },
  };
}
