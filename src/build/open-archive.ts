/** The archive as a build sees it: which packets are known to be up to date, and the pages and tables over all jobs. */
import { type BuiltFrom, holdsPacket, packetFolders, readBuiltFrom, readSummary } from "../archive/built-packets.ts";
import {
  type KnownJob,
  keepKnownJobs,
  knownPlace,
  packetStamp,
  readKnownEntries,
  readKnownJobs,
  sourceStamp,
} from "../archive/known-jobs.ts";
import type { JobFile } from "../job/files.ts";
import type { LibraryFiles } from "../job/library.ts";
import { type IndexEntry, indexEntryOf } from "../pages/index-entry.ts";
import type { BrokenRow } from "../pages/job-index.ts";
import { jobHash, readJobText, sourceHash } from "./compute-jobs.ts";
import type { BuildReport, BuildSettings, JobReport, Shard, Workshop } from "./model.ts";
import { renderSite, siteIsMade } from "./render-site.ts";

export interface Archive {
  /** What was seen of a job, where neither its source nor its packet has changed since. */
  known(jobId: string): KnownJob | undefined;
  /** Reads what bringing the index up to date will want. */
  getReady(): void;
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

/** What a look at the disk says of each job. `folders`: names of the folders in the folder of jobs. */
export function openArchive(
  { jobsFolder, outputFolder, cacheFolder, fresh }: BuildSettings,
  library: LibraryFiles,
  files: readonly JobFile[],
  folders: ReadonlySet<string>,
): Archive {
  const libraryHash = jobHash("", [], library);
  const place = knownPlace(cacheFolder, jobsFolder, outputFolder);
  const kept = readKnownJobs(place);
  const now = Date.now();
  const known = new Map<string, KnownJob>();
  if (kept?.library === libraryHash)
    for (const { id, path } of files) {
      const before = kept.jobs.get(id);
      if (
        before?.source === sourceStamp(path, folders.has(id), now) &&
        before?.packet === packetStamp(outputFolder, id, now)
      )
        known.set(id, before as KnownJob);
    }

  let entriesRead: ReadonlyMap<string, IndexEntry> | undefined;
  const readEntries = () => {
    entriesRead ??= known.size === 0 ? new Map() : readKnownEntries(place);
    return entriesRead;
  };

  return {
    known: (jobId) => known.get(jobId),
    getReady() {
      readEntries();
    },
    async bringUpToDate(workshop, reports, shard) {
      const ids = new Set(files.map(({ id }) => id));
      const withoutJobFile = packetFolders(outputFolder).filter((id) => !ids.has(id) && holdsPacket(outputFolder, id));
      const reportOf = new Map(reports.map((report) => [report.jobId, report]));
      const stillKnown = (jobId: string) => {
        const outcome = reportOf.get(jobId)?.outcome ?? "unchanged";
        return outcome === "unchanged" ? known.get(jobId) : undefined;
      };
      const nothingNew = files.length === kept?.jobs.size && files.every(({ id }) => stillKnown(id) !== undefined);
      if (nothingNew && !fresh && shard === undefined && (await siteIsMade(workshop))) return { withoutJobFile };

      const keptEntries = readEntries();
      const entries: IndexEntry[] = [];
      const broken: BrokenRow[] = [];
      const next = new Map<string, KnownJob>();
      const later = Date.now();
      for (const { id: jobId, path, file } of files) {
        const report = reportOf.get(jobId);
        const before = stillKnown(jobId);
        const keptEntry = keptEntries.get(jobId);
        if (before !== undefined && keptEntry !== undefined) {
          entries.push(keptEntry);
          next.set(jobId, before);
          continue;
        }
        const seen = lookAt(outputFolder, jobId);
        if (seen !== undefined) entries.push(seen.entry);
        const older = seen === undefined ? {} : { olderHref: `${jobId}/index.html` };
        if (report?.outcome === "refused" || report?.outcome === "failed") {
          // Not known, so that it is looked at again, and told again, in the next run.
          broken.push({ jobId, why: whyNotBuilt(report), ...older });
          continue;
        }
        if (seen === undefined) continue;
        if (report === undefined) {
          const { text, beside } = readJobText(path, file);
          if (seen.from.job !== sourceHash(jobsFolder, jobId, jobHash(text, beside, library))) {
            broken.push({ jobId, why: "its job file or the library has changed since", ...older });
            continue;
          }
        }
        const source = sourceStamp(path, folders.has(jobId), later);
        const packet = packetStamp(outputFolder, jobId, later);
        const { program, printedWith } = seen.from;
        if (source !== undefined && packet !== undefined) next.set(jobId, { source, packet, program, printedWith });
      }
      if (shard === undefined) await renderSite(workshop, entries, broken);
      else {
        const { writeShardNote } = await import("./join-shards.ts");
        await writeShardNote(workshop, shard, reports, broken);
      }
      await keepKnownJobs(place, { library: libraryHash, jobs: next }, entries);
      return { withoutJobFile };
    },
  };
}

function lookAt(
  outputFolder: string,
  jobId: string,
): { readonly from: BuiltFrom; readonly entry: IndexEntry } | undefined {
  const from = readBuiltFrom(outputFolder, jobId);
  const summary = readSummary(outputFolder, jobId);
  return from === undefined || summary === undefined ? undefined : { from, entry: indexEntryOf(summary) };
}

function whyNotBuilt({ diagnostics, failure }: JobReport): string {
  if (failure !== undefined) return "it could not be rendered or printed, see what the command said";
  const errors = diagnostics.filter((each) => each.severity === "error").length;
  return errors === 1
    ? "its job file has a problem, see what the command said"
    : `its job file has ${errors} problems, see what the command said`;
}
