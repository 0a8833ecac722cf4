/** A build that was split over machines: what each part notes, and joining the parts into one archive. */
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { readSummary } from "../archive/built-packets.ts";
import { copyPacket, mendOutput, putFile } from "../archive/packet-folder.ts";
import { listJobs } from "../job/files.ts";
import { type IndexEntry, indexEntryOf } from "../pages/index-entry.ts";
import type { BrokenRow } from "../pages/job-index.ts";
import type { JobReport, Shard, Workshop } from "./model.ts";
import { renderSite } from "./render-site.ts";

const SHARD_NOTE = ".shard.json";

interface ShardNote {
  readonly shardFormat: 1;
  readonly number: number;
  readonly of: number;
  readonly program: string;
  /** Jobs whose packet is in this part. */
  readonly jobs: readonly string[];
  readonly broken: readonly BrokenRow[];
}

/** Notes in a part's output folder what joining must know. */
export async function writeShardNote(
  { settings, program }: Workshop,
  { number, of }: Shard,
  reports: readonly JobReport[],
  broken: readonly BrokenRow[],
): Promise<void> {
  const own = new Set(reports.map(({ jobId }) => jobId));
  const note: ShardNote = {
    shardFormat: 1,
    number,
    of,
    program,
    jobs: reports.flatMap(({ jobId, outcome }) => (outcome === "built" || outcome === "unchanged" ? [jobId] : [])),
    broken: broken.filter(({ jobId }) => own.has(jobId)),
  };
  await putFile(join(settings.outputFolder, SHARD_NOTE), `${JSON.stringify(note, null, 1)}\n`);
}

export interface JoinReport {
  readonly jobs: number;
  readonly broken: readonly BrokenRow[];
}

/**
 * Puts the packets of all parts into the output folder and makes the index, the tables and the docs, to the byte what
 * one build would have made. The parts are left as they are.
 * @throws Error where a part is missing, twice there, of another program, or a job is in none: nothing was joined then.
 */
export async function joinShards(workshop: Workshop, folders: readonly string[]): Promise<JoinReport> {
  const { settings, program } = workshop;
  const parts = await Promise.all(folders.map(async (folder) => ({ folder, note: await readNote(folder) })));
  checkParts(parts, program);
  const places = new Map(parts.flatMap(({ folder, note }) => note.jobs.map((jobId) => [jobId, folder] as const)));
  const broken = new Map(parts.flatMap(({ note }) => note.broken.map((row) => [row.jobId, row] as const)));
  const ids = listJobs(settings.jobsFolder).jobs.map(({ id }) => id);
  const lost = ids.filter((id) => !places.has(id) && !broken.has(id));
  if (lost.length > 0) throw new Error(`No part has built ${lost.join(", ")}: build the parts again from these jobs.`);

  await mendOutput(settings.outputFolder);
  const entries: IndexEntry[] = [];
  for (const jobId of ids) {
    const from = places.get(jobId);
    if (from === undefined) continue;
    await copyPacket(join(from, jobId), settings.outputFolder, jobId);
    const summary = readSummary(settings.outputFolder, jobId);
    if (summary === undefined)
      throw new Error(`The packet of ${jobId} in ${from} has no summary: build that part again.`);
    entries.push(indexEntryOf(summary));
  }
  const rows = ids.flatMap((id) => broken.get(id) ?? []);
  await renderSite(workshop, entries, rows);
  return { jobs: entries.length, broken: rows };
}

async function readNote(folder: string): Promise<ShardNote> {
  try {
    const note = JSON.parse(await readFile(join(folder, SHARD_NOTE), "utf8")) as ShardNote;
    if (note.shardFormat === 1) return note;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "ENOENT" && !(error instanceof SyntaxError)) throw error;
  }
  throw new Error(`${folder} is no part of a build: name the output folders of npm start -- --shard 1/4 and so on.`);
}

function checkParts(parts: readonly { readonly folder: string; readonly note: ShardNote }[], program: string): void {
  const [first] = parts;
  if (first === undefined) throw new Error("Name the folders of the parts.");
  const { of } = first.note;
  const stranger = parts.find(({ note }) => note.of !== of);
  if (stranger)
    throw new Error(`${first.folder} is one of ${of} parts, ${stranger.folder} one of ${stranger.note.of}.`);
  const other = parts.find(({ note }) => note.program !== program);
  if (other)
    throw new Error(`${other.folder} was built by another version of the program or its templates than this one.`);
  for (let number = 1; number <= of; number += 1) {
    const there = parts.filter(({ note }) => note.number === number);
    if (there.length === 0) throw new Error(`Part ${number} of ${of} is missing.`);
    if (there.length > 1)
      throw new Error(`Part ${number} of ${of} is there twice: ${there.map(({ folder }) => folder).join(" and ")}.`);
  }
}
