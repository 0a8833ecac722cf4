/**
 * The rim round the pipeline: reads the folder of jobs, has jobs computed in their thread, renders,
 * prints, and puts finished packets in their places, all under one lock.
 */
import { takeBuildLock } from "../archive/build-lock.ts";
import { findRecords } from "../archive/issued-records.ts";
import { mendOutput } from "../archive/packet-folder.ts";
import { type JobFile, listJobs, loadLibrary } from "../job/files.ts";
import { projectFolder } from "../print/cache-folder.ts";
import { openPdfCache } from "../print/pdf-cache.ts";
import { openPrinter } from "../print/print-pages.ts";
import { prunePdfs } from "../print/prune-pdfs.ts";
import type { Issuing } from "../revision/model.ts";
import { computeJobs, isUpToDate, readJobText } from "./compute-jobs.ts";
import { openComputePool } from "./compute-pool.ts";
import type { Shown } from "./first-look.ts";
import type { IssueReport } from "./issue-job.ts";
import type { JoinReport } from "./join-shards.ts";
import {
  type BrowserState,
  type BuildReport,
  type BuildSettings,
  type Computed,
  DETAILED_JOBS,
  type JobReport,
  type PdfWish,
  type Progress,
  type Shard,
  type Workshop,
} from "./model.ts";
import { openArchive } from "./open-archive.ts";
import { programHash } from "./program-hash.mjs";
import type { ReprintReport } from "./reprint-job.ts";

export interface Builder {
  /**
   * Builds these jobs, or all; the index and the docs are brought up to date too. Of a shard only its own jobs are
   * built, and what is made over all jobs waits until the shards are joined. Once `isStopped` says so, jobs that are
   * not finished are left as they were, and are not in the report.
   * @throws Error where another build holds the output folder, or it cannot be written.
   */
  build(
    jobIds: readonly string[] | "all",
    print: PdfWish,
    onProgress: (progress: Progress) => void,
    shard?: Shard,
    isStopped?: () => boolean,
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
  /** Puts the output folders of all shards together. @throws Error where they do not make up one build. */
  join(folders: readonly string[], onProgress: (progress: Progress) => void): Promise<JoinReport>;
  /**
   * Shows what can be said of a job at once, part by part; writes nothing. Nothing is shown of a job that is refused,
   * that was issued or poured, or that is still to be read.
   */
  lookFirst(jobId: string, print: PdfWish, isStopped: () => boolean, show: Shown): Promise<void>;
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
  // A thread of their own: a look does not wait for the packet of the save before.
  const looks = openComputePool(settings.limits);
  const cache = settings.fresh ? undefined : openPdfCache(pdfFolder);
  const printer = openPrinter(cacheFolder, cache, settings.lanes);
  const underLock = async <T>(
    print: PdfWish,
    onProgress: (progress: Progress) => void,
    work: (workshop: Workshop) => Promise<T>,
    isStopped = () => false,
  ): Promise<T> => {
    const lock = await takeBuildLock(outputFolder, LOCK_PATIENCE_MS, (holder) =>
      onProgress({ kind: "waiting", holder }),
    );
    try {
      return await work({ settings, pool, printer, print, program: programHash(projectFolder), isStopped });
    } finally {
      await lock.release();
    }
  };
  return {
    build: (jobIds, print, onProgress, shard, isStopped) =>
      underLock(print, onProgress, (workshop) => buildUnderLock(workshop, jobIds, shard, onProgress), isStopped),
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
    join: (folders, onProgress) =>
      underLock("no-pdfs", onProgress, async (workshop) =>
        (await import("./join-shards.ts")).joinShards(workshop, folders),
      ),
    async lookFirst(jobId, print, isStopped, show) {
      const found = listJobs(settings.jobsFolder).jobs.find(({ id }) => id === jobId);
      const { library, diagnostics } = loadLibrary(settings.jobsFolder);
      if (found === undefined || diagnostics.length > 0 || findRecords(settings.jobsFolder, jobId).length > 0) return;
      const { file, path } = found;
      const { text, beside, problems } = readJobText(path, file);
      if (problems.length > 0) return;
      const { showFirstLook } = await import("./first-look.ts");
      await showFirstLook(looks, printer, { jobId, file, text, beside, library }, print, isStopped, show);
    },
    async reload() {
      await Promise.all([pool.restart(), looks.restart()]);
    },
    async close() {
      await Promise.all([
        pool.close(),
        looks.close(),
        printer.close(),
        settings.fresh ? 0 : prunePdfs(pdfFolder).catch(() => 0),
      ]);
    },
  };
}

async function buildUnderLock(
  workshop: Workshop,
  jobIds: readonly string[] | "all",
  shard: Shard | undefined,
  onProgress: (progress: Progress) => void,
): Promise<BuildReport> {
  const { settings, print, printer } = workshop;
  // While the archive is looked at: where nothing has changed, it ends with the run.
  workshop.pool.getReady();
  const mended = await mendOutput(settings.outputFolder);
  const { library, diagnostics: aboutLibrary } = loadLibrary(settings.jobsFolder);
  const { jobs: files, folders, diagnostics: aboutFiles } = listJobs(settings.jobsFolder);
  const mine = shard === undefined ? files : files.filter((_, place) => place % shard.of === shard.number - 1);
  const wanted = jobIds === "all" ? mine : mine.filter((file) => jobIds.includes(file.id));
  onProgress({ kind: "started", jobs: wanted.length });

  const archive = openArchive(settings, library, files, folders);
  const printedWith = print === "pdfs" ? await printer.browserVersion().catch(() => null) : null;
  const isKept = ({ id }: JobFile) => {
    const before = settings.fresh ? undefined : archive.known(id);
    // That a job is known says that its source is the same.
    return (
      before !== undefined &&
      isUpToDate({ ...before, job: "" }, { program: workshop.program, job: "", printedWith }, print)
    );
  };
  const kept = wanted.filter(isKept);
  const lookedAt = kept.length === 0 ? wanted : wanted.filter((file) => !isKept(file));
  const reports: JobReport[] = kept.map(({ id }) => unchanged(id));
  if (kept.length > 0) onProgress({ kind: "unchanged", jobIds: kept.map(({ id }) => id), of: wanted.length });

  const browser: BrowserState = { missing: undefined };
  const handfuls = Array.from({ length: Math.ceil(lookedAt.length / JOBS_AT_ONCE) }, (_, index) =>
    lookedAt.slice(index * JOBS_AT_ONCE, (index + 1) * JOBS_AT_ONCE),
  );
  // The thread computes: this one loads what will be wanted then. Where that fails, whoever wants it says so.
  const whileComputing = () => {
    void import("./finish-jobs.ts")
      .then(({ getReady }) => getReady())
      .then(() => archive.getReady())
      .catch(() => undefined);
  };
  // While one handful is rendered and printed, the next is computed.
  let computing = computeJobs(workshop, handfuls[0] ?? [], library, onProgress, whileComputing);
  for (const [index] of handfuls.entries()) {
    const computed = await computing;
    if (workshop.isStopped()) break;
    computing = computeJobs(workshop, handfuls[index + 1] ?? [], library, onProgress, whileComputing);
    for await (const report of finished(workshop, computed, browser, onProgress)) {
      reports.push(wanted.length > DETAILED_JOBS ? inShort(report) : report);
      onProgress({ kind: "job", report, done: reports.length, of: wanted.length });
    }
  }
  const site = await archive.bringUpToDate(workshop, reports, shard);
  const noBrowser = browser.missing === undefined ? {} : { noBrowser: browser.missing };
  const order = new Map(wanted.map(({ id }, place) => [id, place]));
  reports.sort((p, q) => (order.get(p.jobId) ?? 0) - (order.get(q.jobId) ?? 0));
  return { jobs: reports, folder: [...aboutFiles, ...aboutLibrary], ...noBrowser, mended, ...site };
}

const unchanged = (jobId: string): JobReport => ({
  jobId,
  outcome: "unchanged",
  diagnostics: NOTHING,
  changed: NOTHING,
  sheets: 0,
  pdfs: NO_PDFS,
});
const NOTHING: readonly never[] = [];
const NO_PDFS = { printed: 0, kept: 0 } as const;

/** What renders and prints is loaded when there is something to render or to refuse. */
async function* finished(
  workshop: Workshop,
  computed: readonly Computed[],
  browser: BrowserState,
  onProgress: (progress: Progress) => void,
): AsyncGenerator<JobReport> {
  if (computed.every(({ answer }) => answer === undefined)) {
    for (const { jobId } of computed) yield unchanged(jobId);
    return;
  }
  const { finishJobs } = await import("./finish-jobs.ts");
  yield* finishJobs(workshop, computed, browser, onProgress);
}

/** Errors are counted by the index; what was warned of and what changed was told already. */
const inShort = (report: JobReport): JobReport => ({
  ...report,
  diagnostics: report.outcome === "built" ? NOTHING : report.diagnostics,
  changed: NOTHING,
  pdfs: NO_PDFS,
});
