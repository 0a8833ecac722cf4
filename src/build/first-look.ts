/** Answers a save before its packet is made: the page of the job, then the sheets that are cut by, from memory. */
import type { FirstLook } from "../build.ts";
import { sheetPath, sheetPdfPath } from "../pages/job-page.ts";
import { NoBrowserError } from "../print/find-browser.ts";
import { type Printer, PrintingStopped } from "../print/print-pages.ts";
import { renderPages } from "../print/render-pages.ts";
import type { ComputePool, ComputeRequest } from "./compute-pool.ts";
import type { PdfWish } from "./model.ts";
import { sheetPage } from "./packet-pages.ts";

/** Files as they would lie in the output folder, by path: all of one part of a look at once. */
export type Shown = (files: ReadonlyMap<string, string | Uint8Array>) => void;

/**
 * Looks, renders and prints, and hands on each part as soon as it is there. Nothing is written to the disk; what cannot
 * be shown first is left to the packet, which says why.
 */
export async function showFirstLook(
  pool: ComputePool,
  printer: Printer,
  request: ComputeRequest,
  print: PdfWish,
  isStopped: () => boolean,
  show: Shown,
): Promise<void> {
  const { jobId } = request;
  const printing: Promise<void>[] = [];
  let failure: unknown;
  const keepFailure = (error: unknown): void => {
    failure ??= error;
  };
  const showPart = async (look: FirstLook): Promise<void> => {
    if (isStopped()) return;
    if (look.kind === "page") {
      const path = `${jobId}/index.html`;
      const html = await renderPages([{ template: "jobPage", path, view: look.page }], "no-docs");
      if (!isStopped()) show(html);
      return;
    }
    const html = await renderPages(
      look.sheets.map((sheet) => sheetPage(jobId, look.title, sheet, print === "pdfs")),
      "no-docs",
    );
    if (isStopped()) return;
    show(html);
    if (print === "no-pdfs") return;
    // The next part is rendered while this one is printed.
    for (const sheet of look.sheets) {
      const path = `${jobId}/${sheetPath(sheet)}`;
      const printed = printer.print(path, html.get(path) as string, isStopped).then(({ pdf }) => {
        if (!isStopped()) show(new Map([[`${jobId}/${sheetPdfPath(jobId, sheet)}`, pdf]]));
      });
      printing.push(printed.catch(keepFailure));
    }
  };
  let showing: Promise<void> = Promise.resolve();
  await pool.lookFirst(request, (look) => {
    // Caught at once: the thread may work on for a second, and a failure that nobody waits for ends the process.
    showing = showing.then(() => showPart(look)).catch(keepFailure);
  });
  await showing;
  await Promise.all(printing);
  if (failure !== undefined && !(failure instanceof PrintingStopped || failure instanceof NoBrowserError))
    throw failure;
}
