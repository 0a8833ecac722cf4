/** `npm start -- reprint`: an issued revision printed from its record, whatever the program or the job file say today. */
import { join } from "node:path";
import type { BuildSettings, PdfWish } from "../build/model.ts";
import { openBuilder } from "../build/open-builder.ts";
import type { Today } from "../build/reprint-job.ts";
import { formatDiagnostic } from "../diagnostics.ts";
import { plural, shown, showProgress, type Terminal } from "./build-verb.ts";
import { EXIT } from "./usage.ts";

/** @returns the exit code. */
export async function runReprint(
  settings: BuildSettings,
  jobId: string,
  revision: number | "last",
  print: PdfWish,
  terminal: Terminal,
): Promise<number> {
  const builder = openBuilder(settings);
  try {
    const report = await builder.reprint(jobId, revision, print, (progress) => showProgress(progress, terminal));
    if (report.kind === "refused") {
      for (const problem of report.problems) terminal.error(`\n${formatDiagnostic(problem)}\n`);
      terminal.error(`${jobId}: NOT PRINTED, ${plural(report.problems.length, "problem")} above.`);
      return EXIT.jobProblems;
    }
    const { number, date, reason, program } = report.revision;
    terminal.out(`Revision ${number} of ${jobId}, issued ${date} (${reason}) by version ${program.version}.`);
    if (report.supersededBy !== undefined)
      terminal.out(
        `It was superseded by revision ${report.supersededBy.number} of ${report.supersededBy.date}; every page says so.`,
      );
    terminal.out(todayText(report.today, number));
    terminal.out(
      `${plural(report.pdfs, "PDF")} printed from the record: ${shown(join(settings.outputFolder, report.folder))}/`,
    );
    if (report.noBrowser === undefined) return EXIT.done;
    terminal.error(`\nThe pages are there as HTML. PDFs are NOT there.\n${report.noBrowser}`);
    return EXIT.noPdfs;
  } catch (error) {
    terminal.error(`error: ${error instanceof Error ? error.message : String(error)}`);
    return EXIT.machine;
  } finally {
    await builder.close();
  }
}

const MOST_NUMBERS_SHOWN = 12;

function todayText(today: Today, number: number): string {
  if (today.kind === "refuses")
    return [
      "Today's program does not take the job file of that revision any more; the record is printed as it is:",
      ...today.problems.map(({ message }) => `  ${message}`),
    ].join("\n");
  const { apart } = today;
  if (apart.length === 0) return "Today's program gives the same numbers.";
  const lines = apart
    .slice(0, MOST_NUMBERS_SHOWN)
    .map(({ path, issued, now }) => `  ${path}: issued ${issued ?? "–"}, today ${now ?? "–"}`);
  const more = apart.length - lines.length;
  return [
    `${plural(apart.length, "number")} would come out differently today. Revision ${number} stands as it was issued:`,
    ...lines,
    ...(more > 0 ? [`  … and ${more} more, all in computed-today.json`] : []),
  ].join("\n");
}
