/** `npm start`: builds and prints, says what it does while it does it, and ends with where to look. */
import { join, relative } from "node:path";
import type { BuildReport, BuildSettings, JobReport, PdfWish, Progress, Shard } from "../build/model.ts";
import { openBuilder } from "../build/open-builder.ts";
import { formatDiagnostic } from "../diagnostics.ts";
import type { SheetMark } from "../revision/model.ts";
import { EXIT } from "./usage.ts";

export interface Terminal {
  out(text: string): void;
  error(text: string): void;
}

/** @returns the exit code. */
export async function runBuild(
  settings: BuildSettings,
  jobIds: readonly string[] | "all",
  print: PdfWish,
  terminal: Terminal,
  shard?: Shard,
): Promise<number> {
  const builder = openBuilder(settings);
  try {
    const report = await builder.build(jobIds, print, (progress) => showProgress(progress, terminal), shard);
    showReport(report, settings, terminal);
    if (shard !== undefined)
      terminal.out(`This is part ${shard.number} of ${shard.of}. With the others: npm start -- join FOLDER …`);
    return exitCodeOf(report);
  } catch (error) {
    terminal.error(`error: ${error instanceof Error ? error.message : String(error)}`);
    return EXIT.machine;
  } finally {
    await builder.close();
  }
}

/** So many jobs are each named when nothing changed. */
const FEW_JOBS = 20;

export function exitCodeOf({ jobs, folder, noBrowser }: BuildReport): number {
  const bad = jobs.some(({ outcome }) => outcome === "refused" || outcome === "failed");
  if (bad || folder.some(({ severity }) => severity === "error")) return EXIT.jobProblems;
  return noBrowser === undefined ? EXIT.done : EXIT.noPdfs;
}

export function showProgress(progress: Progress, terminal: Terminal): void {
  switch (progress.kind) {
    case "waiting":
      terminal.out(`Waiting for another build (${progress.holder}) …`);
      return;
    case "started":
      terminal.out(`Building ${plural(progress.jobs, "job")} …`);
      return;
    case "unchanged": {
      const [only] = progress.jobIds;
      if (progress.jobIds.length <= FEW_JOBS)
        for (const jobId of progress.jobIds) terminal.out(`${jobId}: nothing changed.`);
      else terminal.out(`${only} and ${plural(progress.jobIds.length - 1, "other job")}: nothing changed.`);
      return;
    }
    case "computing":
      terminal.out(`  ${progress.jobId}: computing …`);
      return;
    case "printing":
      if (progress.done === 1) terminal.out(`  ${progress.jobId}: printing ${plural(progress.of, "PDF")} …`);
      return;
    case "job":
      showJob(progress.report, `[${progress.done}/${progress.of}]`, terminal);
  }
}

export function showJob(report: JobReport, count: string, terminal: Terminal): void {
  const { jobId, outcome, diagnostics, failure } = report;
  for (const diagnostic of diagnostics) {
    const show = diagnostic.severity === "error" ? terminal.error : terminal.out;
    show(`\n${formatDiagnostic(diagnostic)}\n`);
  }
  switch (outcome) {
    case "built":
      terminal.out(`${count} ${jobId}: ${plural(report.sheets, "sheet")}${pdfText(report)}. ${changedText(report)}`);
      if (report.sinceIssued !== undefined) {
        const { revision, sheets } = report.sinceIssued;
        terminal.out(`  DRAFT after revision ${revision}. Other than in revision ${revision}: ${sheetNames(sheets)}.`);
      }
      return;
    case "unchanged":
      terminal.out(`${count} ${jobId}: nothing changed.`);
      return;
    case "refused": {
      const errors = diagnostics.filter(({ severity }) => severity === "error").length;
      terminal.error(`${count} ${jobId}: NOT BUILT, ${plural(errors, "problem")} above.`);
      return;
    }
    case "failed":
      terminal.error(`${count} ${jobId}: NOT BUILT. ${failure}`);
  }
}

function pdfText({ pdfs }: JobReport): string {
  if (pdfs.printed + pdfs.kept === 0) return "";
  return `, ${plural(pdfs.printed, "PDF")} printed, ${pdfs.kept} as before`;
}

function changedText({ changed, sheets }: JobReport): string {
  if (changed.length === sheets) return "All are new.";
  if (changed.length === 0) return "No sheet differs from the last print.";
  return `To print again, they differ from the last print: ${sheetNames(changed)}.`;
}

/** Titles hold commas. */
export const sheetNames = (sheets: readonly SheetMark[]): string =>
  sheets.map(({ title, language }) => (language === "en" ? title : `${title} (${language})`)).join("; ");

export function showReport(report: BuildReport, { outputFolder }: BuildSettings, terminal: Terminal): void {
  for (const diagnostic of report.folder) terminal.error(formatDiagnostic(diagnostic));
  for (const jobId of report.mended)
    terminal.out(`A run before this one was stopped in the middle: the packet of ${jobId} was put right.`);
  if (report.withoutJobFile.length > 0)
    terminal.out(`Packets without a job file, left alone: ${report.withoutJobFile.join(", ")}.`);
  const there = report.jobs.filter(({ outcome }) => outcome === "built" || outcome === "unchanged");
  const missing = report.jobs.length - there.length;
  const folder = shown(outputFolder);
  terminal.out("");
  if (missing > 0) terminal.error(`${plural(missing, "job")} of ${report.jobs.length} not built, see above.`);
  if (there.length === 1) {
    const [{ jobId }] = there as [JobReport];
    terminal.out(`The packet is in ${folder}/${jobId}/. Open first: ${folder}/${jobId}/index.html`);
  } else if (there.length > 1) {
    terminal.out(`The packets are in ${folder}/, a folder each. Open first: ${folder}/index.html`);
  }
  if (report.noBrowser !== undefined)
    terminal.error(`\nHTML, JSON and CSV are built. PDFs are NOT there.\n${report.noBrowser}`);
}

/** The folder as it reads from where the command was given. */
export function shown(folder: string): string {
  const from = relative(process.cwd(), folder);
  return from === "" ? "." : from.startsWith("..") ? folder : join(from);
}

export const plural = (count: number, what: string): string => `${count} ${what}${count === 1 ? "" : "s"}`;
