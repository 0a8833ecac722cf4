/**
 * What was seen of each job in the last run, so that the next one tells by a look at a file's size and times,
 * without reading it, that nothing has changed, and makes the index without opening ten thousand packets. It is
 * a cache: where it is absent, or says something else than the disk, files are read and hashed.
 */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import type { IndexEntry } from "../pages/index-entry.ts";
import { RECORD_FOLDER } from "../revision/record-files.ts";
import { BUILT_FROM } from "./built-packets.ts";
import { putFile } from "./packet-folder.ts";

/** Changes when the form of these files, or what an entry of the index holds, does. */
const FORM = 3;

export interface KnownJob {
  /** Of the job file and of all that lies in the job's folder. */
  readonly source: string;
  /** Of the packet in the output folder. */
  readonly packet: string;
  /** What made the packet: the program, and the browser or null. */
  readonly program: string;
  readonly printedWith: string | null;
}

export interface KnownJobs {
  /** Hash of the library that the jobs were looked at with: another one makes all of them unknown. */
  readonly library: string;
  readonly jobs: ReadonlyMap<string, KnownJob>;
}

/** A pair of folders has files of its own, so that two offices do not know each other's jobs. */
export interface KnownPlace {
  readonly jobs: string;
  /** Apart from the jobs: read only when the index is made. */
  readonly entries: string;
}

export function knownPlace(cacheFolder: string, jobsFolder: string, outputFolder: string): KnownPlace {
  const name = createHash("sha256").update(`${jobsFolder}\0${outputFolder}`).digest("hex").slice(0, 16);
  return {
    jobs: join(cacheFolder, "known", `${name}.json`),
    entries: join(cacheFolder, "known", `${name}-index.json`),
  };
}

/** As it is kept: what many jobs share stands once. */
interface Stored {
  readonly form: number;
  readonly library: string;
  readonly makers: readonly (readonly [program: string, printedWith: string | null])[];
  readonly jobs: readonly (readonly [jobId: string, source: string, packet: string, maker: number])[];
}

/** Absent, cut off or of another form: everything is looked at again. */
function readStored<T extends { readonly form: number }>(path: string): T | undefined {
  try {
    const stored = JSON.parse(readFileSync(path, "utf8")) as T;
    return stored.form === FORM ? stored : undefined;
  } catch {
    return undefined;
  }
}

export function readKnownJobs(place: KnownPlace): KnownJobs | undefined {
  const stored = readStored<Stored>(place.jobs);
  if (stored === undefined) return undefined;
  const jobs = new Map<string, KnownJob>();
  for (const [jobId, source, packet, maker] of stored.jobs) {
    const [program = "", printedWith = null] = stored.makers[maker] ?? [];
    jobs.set(jobId, { source, packet, program, printedWith });
  }
  return { library: stored.library, jobs };
}

/** The entries of the index as they were kept, by job; those of jobs whose packet is another since are not to be used. */
export const readKnownEntries = (place: KnownPlace): ReadonlyMap<string, IndexEntry> =>
  new Map(
    (readStored<{ form: number; entries: IndexEntry[] }>(place.entries)?.entries ?? []).map((entry) => [
      entry.jobId,
      entry,
    ]),
  );

/** The entries go first: a job is known only where its entry is. */
export async function keepKnownJobs(
  place: KnownPlace,
  { library, jobs }: KnownJobs,
  entries: readonly IndexEntry[],
): Promise<void> {
  const makers: [string, string | null][] = [];
  const places = new Map<string, number>();
  const rows = [...jobs].map(([jobId, { source, packet, program, printedWith }]) => {
    const maker = `${program} ${printedWith}`;
    if (!places.has(maker)) places.set(maker, makers.push([program, printedWith]) - 1);
    return [jobId, source, packet, places.get(maker) as number] as const;
  });
  await putFile(place.entries, JSON.stringify({ form: FORM, entries }));
  await putFile(place.jobs, JSON.stringify({ form: FORM, library, makers, jobs: rows } satisfies Stored));
}

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

/**
 * The stamp of a job's source: its file, what lies beside it, and every file of the records of what was issued, so
 * that a record that somebody touched is found by the next build, whatever the job file says.
 */
export function sourceStamp(path: string, hasFolder: boolean, now: number): string | undefined {
  if (!hasFolder) return stampOf([path], now);
  const folder = path.replace(/\.yaml$/, "");
  const names = readdirSync(folder, { withFileTypes: true })
    .sort((p, q) => (p.name < q.name ? -1 : 1))
    .flatMap((entry) => {
      if (entry.isFile()) return [entry.name];
      return RECORD_FOLDER.test(entry.name) ? filesOfRecord(folder, entry.name) : [];
    });
  const stamp = stampOf([path, ...names.map((name) => join(folder, name))], now);
  if (stamp === undefined) return undefined;
  const whole = `${stamp} ${names.join(" ")}`;
  // A record has some fifty files: so much is not kept for each of thousands of jobs.
  return names.length <= MOST_PLAIN ? whole : createHash("sha256").update(whole).digest("hex");
}

const MOST_PLAIN = 8;

/** In order; what starts with a dot is a file manager's and no part of a record. */
function filesOfRecord(folder: string, below: string): string[] {
  return readdirSync(join(folder, below), { withFileTypes: true })
    .filter(({ name }) => !name.startsWith("."))
    .sort((p, q) => (p.name < q.name ? -1 : 1))
    .flatMap((entry) => {
      const path = `${below}/${entry.name}`;
      return entry.isDirectory() ? filesOfRecord(folder, path) : [path];
    });
}

/** The stamp of a packet: every build writes what it was made from anew. */
export const packetStamp = (outputFolder: string, jobId: string, now: number): string | undefined =>
  stampOf([join(outputFolder, jobId, BUILT_FROM)], now);
