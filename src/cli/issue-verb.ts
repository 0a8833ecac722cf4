/** `npm start -- issue`: freezes what a packet says as the job's next revision, and builds it as that. */
import type { BuildSettings, PdfWish } from "../build/model.ts";
import { openBuilder } from "../build/open-builder.ts";
import { formatDiagnostic } from "../diagnostics.ts";
import type { Issuing } from "../revision/model.ts";
import { exitCodeOf, plural, sheetNames, showProgress, showReport, type Terminal } from "./build-verb.ts";
import { EXIT } from "./usage.ts";

/** @returns the exit code. */
export async function runIssue(
  settings: BuildSettings,
  jobId: string,
  issuing: Issuing,
  print: PdfWish,
  terminal: Terminal,
): Promise<number> {
  const builder = openBuilder(settings);
  try {
    terminal.out(`Issuing ${jobId} …`);
    const report = await builder.issue(jobId, issuing, (progress) => showProgress(progress, terminal));
    if (report.kind === "refused") {
      for (const problem of report.problems) terminal.error(`\n${formatDiagnostic(problem)}\n`);
      terminal.error(`${jobId}: NOT ISSUED, ${plural(report.problems.length, "problem")} above.`);
      return EXIT.jobProblems;
    }
    for (const warning of report.warnings) terminal.out(`\n${formatDiagnostic(warning)}\n`);
    terminal.out(
      [
        `Revision ${report.number} of ${jobId} is issued, ${issuing.date}: ${issuing.reason}`,
        `Its record is ${report.place}/, to be committed with the job. Its digest is ${report.digest.slice(0, 16)}.`,
        report.changed.length === report.sheets
          ? "Every sheet is to be printed."
          : `These sheets are other than in the revision before, and are to be printed: ${sheetNames(report.changed)}.`,
        "",
      ].join("\n"),
    );
    const built = await builder.build([jobId], print, (progress) => showProgress(progress, terminal));
    showReport(built, settings, terminal);
    return exitCodeOf(built);
  } catch (error) {
    terminal.error(`error: ${error instanceof Error ? error.message : String(error)}`);
    return EXIT.machine;
  } finally {
    await builder.close();
  }
}

/** A day of the calendar as YYYY-MM-DD, or why it is none. */
export function dayOf(typed: string): { readonly day: string } | { readonly problem: string } {
  const parts = /^(\d{4})-(\d\d)-(\d\d)$/.exec(typed);
  const [year, month, day] = (parts ?? []).slice(1).map(Number);
  const date = new Date(Date.UTC(year ?? 0, (month ?? 0) - 1, day ?? 0));
  const isDay = parts !== null && date.getUTCMonth() + 1 === month && date.getUTCDate() === day;
  return isDay ? { day: typed } : { problem: `--date takes a day such as 2027-03-05, not ${typed}.` };
}

/** Today where this machine stands. */
export function today(now: Date): string {
  const two = (number: number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
