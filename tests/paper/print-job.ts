/** Builds a job from its text and prints its sets: what the rules are checked on. */
import { join } from "node:path";
import { readJobText } from "../../src/build/compute-jobs.ts";
import { loadSolver } from "../../src/build/load-solver.ts";
import { packetPages } from "../../src/build/packet-pages.ts";
import { makePacket } from "../../src/build.ts";
import { loadLibrary } from "../../src/job/files.ts";
import type { Language, PaperFamily } from "../../src/job/model.ts";
import { readJob } from "../../src/job/read-job.ts";
import { layOut } from "../../src/layout/lay-out.ts";
import { defaultCacheFolder, projectFolder } from "../../src/print/cache-folder.ts";
import { openPdfCache } from "../../src/print/pdf-cache.ts";
import { openPrinter, type Printer } from "../../src/print/print-pages.ts";
import { renderPages } from "../../src/print/render-pages.ts";
import type { SetId, Sheet } from "../../src/sheets/model.ts";
import type { Packet } from "../../src/sheets/packet-schema.ts";
import type { Expected } from "./page-parts.ts";
import { type Paper, readPaper } from "./read-paper.ts";

export interface PrintedJob {
  readonly expected: Expected;
  readonly papers: readonly Paper[];
}

/** Printed pages are kept by content, as the command keeps them: an unchanged sheet is not printed again. */
export const openTestPrinter = (): Printer =>
  openPrinter(defaultCacheFolder, openPdfCache(join(defaultCacheFolder, "pdf")), 2);

/**
 * Sets of a job, one entry a language.
 * @param wanted which sets are printed; all where it is left out.
 * @throws Error with the problems of a job that is refused.
 */
export async function printJob(
  printer: Printer,
  jobId: string,
  text: string,
  wanted: (set: SetId, language: Language, isFirst: boolean) => boolean = () => true,
): Promise<PrintedJob[]> {
  const { library } = loadLibrary(join(projectFolder, "jobs"));
  const file = `jobs/${jobId}.yaml`;
  // A generated floor has no file, and nothing beside it.
  const { beside } = readJobText(join(projectFolder, file), file);
  const made = makePacket({ jobId, file, text, beside, library }, await loadSolver());
  if (made.kind !== "made")
    throw new Error(`${jobId} is refused: ${made.problems.map(({ message }) => message).join("; ")}`);
  const { job } = readJob(text, file, library, beside);
  const laidOut = job && layOut(job);
  const packet = JSON.parse(made.packet.packetJson) as Packet;
  const first = made.packet.sheets[0]?.language;
  const pages = packetPages(made.packet, true).filter(({ template, path }) => {
    const [, language, set] = /\/(\w+)\/(\w+)-set\.html$/.exec(path) ?? [];
    return template === "set" && wanted(set as SetId, language as Language, language === first);
  });
  const html = await renderPages(pages, "no-docs");
  const ownText = `${text}\n${library.files.map((each) => each.text).join("\n")}`;
  const depths = packet.depths.kind === "ready" ? packet.depths.result : undefined;
  return Promise.all(
    [...new Set(pages.map(({ view }) => (view as { language: Language }).language))].map(
      async (language): Promise<PrintedJob> => {
        const papers: Paper[] = [];
        const read = new Set<string>();
        for (const { path, pdf, view } of pages) {
          if (!path.includes(`/${language}/`)) continue;
          const printed = await printer.print(path, html.get(path) as string);
          // A sheet that stands in several sets is read once.
          const { sheets } = view as { sheets: readonly Sheet[] };
          const owners = sheets.flatMap((sheet) => sheet.pages.map(() => sheet.id));
          papers.push(
            await readPaper(
              pdf as string,
              printed.pdf,
              (number, count) => count !== owners.length || !read.has(owners[number - 1]!),
            ),
          );
          for (const { id } of sheets) read.add(id);
        }
        return {
          expected: {
            jobId,
            family: (/^paper: *(letter|a4)/m.exec(text)?.[1] ?? job?.paper ?? "letter") as PaperFamily,
            language: language as Language,
            sheetIds: new Map(
              packet.sheets.filter((sheet) => sheet.language === language).map(({ id, title }) => [title, id]),
            ),
            pins: (depths?.pins ?? []).map((pin) => ({
              id: pin.id,
              room: pin.room,
              at: pin.at,
              printed: pin.cutMm === null ? undefined : (pin.cutMm.printed as readonly [string, string]),
            })),
            waterPerBag: packet.job.material.waterPerBagL.printed[0]?.replace("\u00a0", " "),
            plan: laidOut?.kind === "ready" ? laidOut.value : undefined,
            ownText,
          },
          papers,
        };
      },
    ),
  );
}
