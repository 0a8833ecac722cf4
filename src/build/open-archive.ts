/** The archive as a build sees it: which packets are known to be up to date, and the pages and tables over all jobs. */
import { type BuiltFrom, holdsPacket, packetFolders, readBuiltFrom, readSummary } from "../archive/built-packets.ts";
import { type KnownJob, keepKnownJobs, packetStamp, readKnownJobs, sourceStamp } from "../archive/known-jobs.ts";
import { type JobFile, jobFolders } from "../job/files.ts";
import type { LibraryFiles } from "../job/library.ts";
import { type IndexEntry, indexEntryOf } from "../pages/index-entry.ts";
import type { BrokenRow } from "../pages/job-index.ts";
import { jobHash, readJobText, sourceHash } from "./compute-jobs.ts";
import type { BuildReport, BuildSettings, JobReport, Shard, Workshop } from "./model.ts";

export interface Archive {
  /** What was seen of a job, where neither its source nor its packet has changed since. */
  known(jobId: string): KnownJob | undefined;
  /**
   * Brings the index and the tables up to date with the packets of this run and of runs before; of a shard, writes
   * what joining needs instead.
   * @returns packets whose job file is gone
   */
  bringUpToDate(
    workshop: Workshop,
    reports: readonly JobReport[],
    shard: Shard | undefined,
  ): Promise<Pick<BuildReport, "withoutJobFile">>;
}

export async function openArchive(
  { jobsFolder, outputFolder, cacheFolder }: BuildSettings,
  library: LibraryFiles,
  files: readonly JobFile[],
): Promise<Archive> {
  const libraryHash = jobHash("", [], library);
  const kept = readKnownJobs(cacheFolder, jobsFolder, outputFolder);
  const withFolder = jobFolders(jobsFolder);
  const now = Date.now();
  const known = new Map<string, KnownJob>();
  const sources = new Map<string, string | undefined>();
  if (kept?.library === libraryHash)
    for (const { id, path } of files) {
      const before = kept.jobs.get(id);
      if (before === undefined) continue;
      const source = sourceStamp(path, withFolder.has(id), now);
      sources.set(id, source);
      if (before.source === source && before.packet === packetStamp(outputFolder, id, now)) known.set(id, before);
    }

  return {
    known: (jobId) => known.get(jobId),
    async bringUpToDate(workshop, reports, shard) {
      const reportOf = new Map(reports.map((report) => [report.jobId, report]));
      const built = new Set(packetFolders(outputFolder));
      const entries: IndexEntry[] = [];
      const broken: BrokenRow[] = [];
      const next = new Map<string, KnownJob>();
      const later = Date.now();
      let sameAsBefore = kept !== undefined;
      for (const { id: jobId, path, file } of files) {
        const report = reportOf.get(jobId);
        const before = known.get(jobId);
        const seen =
          before !== undefined && (report === undefined || report.outcome === "unchanged")
            ? before
            : built.has(jobId)
              ? await lookAt(outputFolder, jobId)
              : undefined;
        const older = seen === undefined ? {} : { olderHref: `${jobId}/index.html` };
        if (seen !== undefined) entries.push(seen.entry);
        if (report?.outcome === "refused" || report?.outcome === "failed") {
          broken.push({ jobId, why: whyNotBuilt(report), ...older });
          sameAsBefore = false;
        } else if (report === undefined && seen !== undefined && seen !== before) {
          const { text, beside } = readJobText(path, file);
          if (seen.from.job !== sourceHash(jobsFolder, jobId, jobHash(text, beside, library)))
            broken.push({ jobId, why: "its job file or the library has changed since", ...older });
        }
        if (seen === before && before !== undefined) next.set(jobId, before);
        else {
          sameAsBefore = false;
          // Not what a job says that could not be built: it is looked at again.
          if (seen === undefined || broken.at(-1)?.jobId === jobId) continue;
          const source = sourceStamp(path, withFolder.has(jobId), later);
          const packet = packetStamp(outputFolder, jobId, later);
          if (source !== undefined && packet !== undefined) next.set(jobId, { ...seen, source, packet });
        }
      }
      const ids = new Set(files.map(({ id }) => id));
      const withoutJobFile = [...built].filter((id) => !ids.has(id) && holdsPacket(outputFolder, id));
      if (shard === undefined) {
        const { renderSite } = await import("./render-site.ts");
        await renderSite(workshop, entries, broken);
      } else {
        const { writeShardNote } = await import("./join-shards.ts");
        await writeShardNote(workshop, shard, reports, broken);
      }
      if (!sameAsBefore || next.size !== kept?.jobs.size)
        await keepKnownJobs(cacheFolder, jobsFolder, outputFolder, { library: libraryHash, jobs: next });
      return { withoutJobFile };
    },
  };
}

async function lookAt(
  outputFolder: string,
  jobId: string,
): Promise<{ readonly from: BuiltFrom; readonly entry: IndexEntry } | undefined> {
  const [from, summary] = await Promise.all([readBuiltFrom(outputFolder, jobId), readSummary(outputFolder, jobId)]);
  return from === undefined || summary === undefined ? undefined : { from, entry: indexEntryOf(summary) };
}

function whyNotBuilt({ diagnostics, failure }: JobReport): string {
  if (failure !== undefined) return "it could not be rendered or printed, see what the command said";
  const errors = diagnostics.filter((each) => each.severity === "error").length;
  return errors === 1
    ? "its job file has a problem, see what the command said"
    : `its job file has ${errors} problems, see what the command said`;
}
