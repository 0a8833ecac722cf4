/**
 * The rim round the pipeline: reads the folder of jobs, has jobs computed in their thread, renders,
 * prints, and puts finished packets in their places, all under one lock.
 */
import { takeBuildLock } from "../archive/build-lock.ts";
import { mendOutput } from "../archive/packet-folder.ts";
import { listJobs, loadLibrary } from "../job/files.ts";
import { openPdfCache } from "../print/pdf-cache.ts";
import { openPrinter } from "../print/print-pages.ts";
import { prunePdfs } from "../print/prune-pdfs.ts";
import type { Issuing } from "../revision/model.ts";
import { computeJobs } from "./compute-jobs.ts";
import { openComputePool } from "./compute-pool.ts";
import { finishJobs } from "./finish-jobs.ts";
import type { IssueReport } from "./issue-job.ts";
import type { BrowserState, BuildReport, BuildSettings, JobReport, PdfWish, Progress, Workshop } from "./model.ts";
import { programHash } from "./program-hash.ts";
import { bringIndexUpToDate } from "./render-site.ts";
import type { ReprintReport } from "./reprint-job.ts";

export interface Builder {
  /**
   * Builds these jobs, or all; the index and the docs are brought up to date too.
   * @throws Error where another build holds the output folder, or it cannot be written.
   */
  build(
    jobIds: readonly string[] | "all",
    print: PdfWish,
    onProgress: (progress: Progress) => void,
  ): Promise<BuildReport>;
  /**
   * Writes the record of the job's next revision. The packet in the output folder is not touched.
   * @throws Error of the file system or of a template: then nothing was issued.
   */
  issue(jobId: string, issuing: Issuing, onProgress: (progress: Progress) => void): Promise<IssueReport>;
  /** Prints a revision again from its record. @throws Error of the file system or of the browser. */
  reprint(
    jobId: string,
    revision: number | "last",
    print: PdfWish,
    onProgress: (progress: Progress) => void,
  ): Promise<ReprintReport>;
  /** From now on, computes with the program as it stands on the disk. */
  reload(): Promise<void>;
  close(): Promise<void>;
}

/** Jobs are rendered a few at a time: Eleventy takes a moment to start, and holds what it renders in memory. */
const JOBS_AT_ONCE = 4;

/** How long a second build waits for the first. */
const LOCK_PATIENCE_MS = 120_000;

/** Opens what builds share: one computing thread, one printer. */
export function openBuilder(settings: BuildSettings): Builder {
  const { outputFolder, cacheFolder, pdfFolder } = settings;
  const pool = openComputePool(settings.limits);
  const cache = settings.fresh ? undefined : openPdfCache(pdfFolder);
  const printer = openPrinter(cacheFolder, cache, settings.lanes);
  const underLock = async <T>(
    print: PdfWish,
    onProgress: (progress: Progress) => void,
    work: (workshop: Workshop) => Promise<T>,
  ): Promise<T> => {
    const lock = await takeBuildLock(outputFolder, LOCK_PATIENCE_MS, (holder) =>
      onProgress({ kind: "waiting", holder }),
    );
    try {
      return await work({ settings, pool, printer, print, program: programHash() });
    } finally {
      await lock.release();
    }
  };
  return {
    build: (jobIds, print, onProgress) =>
      underLock(print, onProgress, (workshop) => buildUnderLock(workshop, jobIds, onProgress)),
    issue: (jobId, issuing, onProgress) =>
      underLock("no-pdfs", onProgress, async (workshop) => {
        const file = listJobs(settings.jobsFolder).jobs.find(({ id }) => id === jobId);
        if (file === undefined) throw new Error(`There is no job ${jobId} in ${settings.jobsFolder}.`);
        const { library, diagnostics } = loadLibrary(settings.jobsFolder);
        if (diagnostics.length > 0) return { kind: "refused", problems: diagnostics };
        const { issueJob } = await import("./issue-job.ts");
        return issueJob(workshop, file, library, issuing);
      }),
    reprint: (jobId, revision, print, onProgress) =>
      underLock(print, onProgress, async (workshop) => {
        const { reprintJob } = await import("./reprint-job.ts");
        return reprintJob(workshop, jobId, revision);
      }),
    reload: () => pool.restart(),
    async close() {
      await Promise.all([pool.close(), printer.close(), settings.fresh ? 0 : prunePdfs(pdfFolder).catch(() => 0)]);
    },
  };
}

async function buildUnderLock(
  workshop: Workshop,
  jobIds: readonly string[] | "all",
  onProgress: (progress: Progress) => void,
): Promise<BuildReport> {
  const { settings } = workshop;
  const mended = await mendOutput(settings.outputFolder);
  const { library, diagnostics: aboutLibrary } = loadLibrary(settings.jobsFolder);
  const { jobs: files, diagnostics: aboutFiles } = listJobs(settings.jobsFolder);
  const wanted = jobIds === "all" ? files : files.filter((file) => jobIds.includes(file.id));
  onProgress({ kind: "started", jobs: wanted.length });

  const reports: JobReport[] = [];
  const browser: BrowserState = { missing: undefined };
  const handfuls = Array.from({ length: Math.ceil(wanted.length / JOBS_AT_ONCE) }, (_, index) =>
    wanted.slice(index * JOBS_AT_ONCE, (index + 1) * JOBS_AT_ONCE),
  );
  // While one handful is rendered and printed, the next is computed.
  let computing = computeJobs(workshop, handfuls[0] ?? [], library, onProgress);
  for (const [index] of handfuls.entries()) {
    const computed = await computing;
    computing = computeJobs(workshop, handfuls[index + 1] ?? [], library, onProgress);
    for await (const report of finishJobs(workshop, computed, browser, onProgress)) {
      reports.push(report);
      onProgress({ kind: "job", report, done: reports.length, of: wanted.length });
    }
  }
  const withoutJobFile = await bringIndexUpToDate(workshop, files, library, reports);
  const noBrowser = browser.missing === undefined ? {} : { noBrowser: browser.missing };
  return { jobs: reports, folder: [...aboutFiles, ...aboutLibrary], ...noBrowser, mended, withoutJobFile };
}
