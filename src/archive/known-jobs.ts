/**
 * What was seen of each job in the last run, so that the next one tells by a look at a file's size and times,
 * without reading it, that nothing has changed, and makes the index without opening ten thousand packets. It is
 * a cache: where it is absent, or says something else than the disk, files are read and hashed.
 */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import type { IndexEntry } from "../pages/index-entry.ts";
import { RECORD_FILE, RECORD_FOLDER } from "../revision/record-files.ts";
import { BUILT_FROM, type BuiltFrom } from "./built-packets.ts";
import { putFile } from "./packet-folder.ts";

/** Changes when this file's form, or what an entry of the index holds, does. */
const FORM = 2;

export interface KnownJob {
  /** Of the job file and of all that lies in the job's folder. */
  readonly source: string;
  /** Of the packet in the output folder. */
  readonly packet: string;
  readonly from: BuiltFrom;
  readonly entry: IndexEntry;
}

export interface KnownJobs {
  /** Hash of the library that the jobs were looked at with: another one makes all of them unknown. */
  readonly library: string;
  readonly jobs: Map<string, KnownJob>;
}

/** One file for each pair of folders, so that two offices do not know each other's jobs. */
const placeOf = (cacheFolder: string, jobsFolder: string, outputFolder: string): string => {
  const name = createHash("sha256").update(`${jobsFolder}\0${outputFolder}`).digest("hex").slice(0, 16);
  return join(cacheFolder, "known", `${name}.json`);
};

export function readKnownJobs(cacheFolder: string, jobsFolder: string, outputFolder: string): KnownJobs | undefined {
  try {
    const kept = JSON.parse(readFileSync(placeOf(cacheFolder, jobsFolder, outputFolder), "utf8"));
    return kept.form === FORM ? { library: kept.library, jobs: new Map(kept.jobs) } : undefined;
  } catch {
    // Absent or cut off: everything is looked at again.
    return undefined;
  }
}

export const keepKnownJobs = (
  cacheFolder: string,
  jobsFolder: string,
  outputFolder: string,
  { library, jobs }: KnownJobs,
): Promise<void> =>
  putFile(placeOf(cacheFolder, jobsFolder, outputFolder), JSON.stringify({ form: FORM, library, jobs: [...jobs] }));

/**
 * A file that was written in the moment in which it was looked at may be written again in that moment and look the
 * same: such a file is looked at again. Two seconds is the coarsest step of time of a file system in use (FAT).
 */
const SETTLED_MS = 2_000;

/** Size and times of files as one text; undefined where one is absent or too young to be told apart. */
function stampOf(paths: readonly string[], now: number): string | undefined {
  const stamps: string[] = [];
  for (const path of paths) {
    const found = statSync(path, { throwIfNoEntry: false });
    if (found === undefined || now - Math.max(found.mtimeMs, found.ctimeMs) < SETTLED_MS) return undefined;
    stamps.push(`${found.size} ${found.mtimeMs} ${found.ctimeMs} ${found.ino}`);
  }
  return stamps.join(" ");
}

/** The stamp of a job's source: its file, what lies beside it, and the records of what was issued. */
export function sourceStamp(path: string, hasFolder: boolean, now: number): string | undefined {
  if (!hasFolder) return stampOf([path], now);
  const folder = path.replace(/\.yaml$/, "");
  const names = readdirSync(folder, { withFileTypes: true })
    .sort((p, q) => (p.name < q.name ? -1 : 1))
    .flatMap((entry) => {
      if (entry.isFile()) return [entry.name];
      return RECORD_FOLDER.test(entry.name) ? [`${entry.name}/${RECORD_FILE}`] : [];
    });
  const stamp = stampOf([path, ...names.map((name) => join(folder, name))], now);
  return stamp === undefined ? undefined : `${stamp} ${names.join(" ")}`;
}

/** The stamp of a packet: every build writes what it was made from anew. */
export const packetStamp = (outputFolder: string, jobId: string, now: number): string | undefined =>
  stampOf([join(outputFolder, jobId, BUILT_FROM)], now);
