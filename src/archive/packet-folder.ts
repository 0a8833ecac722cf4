/**
 * Puts a finished packet in its place, whole or not at all. A packet is written to a folder of its
 * own under `output/.making/`, renamed to say that it is whole, and then moved in by two renames:
 * the old packet aside, the new one in. Whatever moment the power goes at, the old or the new
 * packet lies whole on the disk, and the next run puts it back in its place.
 *
 *     .making/<id>.part   being written; thrown away by the next run
 *     .making/<id>.whole  finished; moved in by the next run
 *     .making/<id>.old    the packet before; moved back where the new one is not there
 */
import { existsSync, renameSync } from "node:fs";
import { cp, mkdir, open, readdir, rm, rmdir, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";

export const MAKING = ".making";

/** A file of a packet: its path below the job's folder, with forward slashes, and what is in it. */
export interface PacketFile {
  readonly path: string;
  readonly content: string | Uint8Array;
}

const FILES_AT_ONCE = 8;

const stageOf = (outputFolder: string, jobId: string) => join(outputFolder, MAKING, jobId);

/**
 * Replaces the packet of a job by these files.
 * @throws Error of the file system (a full disk, a folder that cannot be written): the old packet stays.
 */
export async function putPacket(outputFolder: string, jobId: string, files: readonly PacketFile[]): Promise<void> {
  const stage = stageOf(outputFolder, jobId);
  await rm(`${stage}.part`, { recursive: true, force: true });
  try {
    const folders = new Set(files.map(({ path }) => dirname(join(`${stage}.part`, path))));
    for (const folder of folders) await mkdir(folder, { recursive: true });
    // A few side by side: the disk is waited for once a handful, not once a file.
    for (let first = 0; first < files.length; first += FILES_AT_ONCE) {
      const written = await Promise.allSettled(
        files
          .slice(first, first + FILES_AT_ONCE)
          .map(({ path, content }) => writeThrough(join(`${stage}.part`, path), content)),
      );
      const failed = written.find((each) => each.status === "rejected");
      if (failed) throw failed.reason;
    }
  } catch (error) {
    await rm(`${stage}.part`, { recursive: true, force: true });
    throw error;
  }
  await finishMove(outputFolder, jobId);
}

/**
 * Replaces the packet of a job by the one that lies in another folder, which is left as it is.
 * @throws Error of the file system: the old packet stays.
 */
export async function copyPacket(from: string, outputFolder: string, jobId: string): Promise<void> {
  const stage = stageOf(outputFolder, jobId);
  await rm(`${stage}.part`, { recursive: true, force: true });
  await cp(from, `${stage}.part`, { recursive: true });
  await finishMove(outputFolder, jobId);
}

async function finishMove(outputFolder: string, jobId: string): Promise<void> {
  const stage = stageOf(outputFolder, jobId);
  await rm(`${stage}.whole`, { recursive: true, force: true });
  renameSync(`${stage}.part`, `${stage}.whole`);
  moveIn(outputFolder, jobId);
  await rm(`${stage}.old`, { recursive: true, force: true });
  // Gone when it is empty; another job may still be in the making.
  await rmdir(join(outputFolder, MAKING)).catch(() => undefined);
}

/** Nothing may be said to be whole that is only in memory yet. */
async function writeThrough(path: string, content: string | Uint8Array): Promise<void> {
  const file = await open(path, "wx");
  try {
    await file.writeFile(content);
    await file.datasync();
  } finally {
    await file.close();
  }
}

function moveIn(outputFolder: string, jobId: string): void {
  const stage = stageOf(outputFolder, jobId);
  const place = join(outputFolder, jobId);
  // Synchronous, so that nothing else of this process comes between the two.
  if (existsSync(place)) renameSync(place, `${stage}.old`);
  renameSync(`${stage}.whole`, place);
}

/**
 * Mends what a run left behind that was stopped in the middle. Call it under the build lock.
 * @returns ids of the jobs whose folder was put back or finished.
 */
export async function mendOutput(outputFolder: string): Promise<string[]> {
  const making = join(outputFolder, MAKING);
  let names: string[];
  try {
    names = (await readdir(making)).sort();
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return [];
    throw error;
  }
  const mended: string[] = [];
  for (const name of names.filter((each) => each.endsWith(".whole"))) {
    const jobId = name.slice(0, -".whole".length);
    // With both here the stop came between `part` → `whole` and the end of the move.
    if (existsSync(join(outputFolder, jobId)))
      await rm(`${stageOf(outputFolder, jobId)}.old`, { recursive: true, force: true });
    moveIn(outputFolder, jobId);
    mended.push(jobId);
  }
  for (const name of names.filter((each) => each.endsWith(".old"))) {
    const jobId = name.slice(0, -".old".length);
    const place = join(outputFolder, jobId);
    if (!existsSync(place)) {
      renameSync(join(making, name), place);
      mended.push(jobId);
    }
  }
  await rm(making, { recursive: true, force: true });
  return mended;
}

/** Replaces one file by rename. */
export async function putFile(path: string, content: string | Uint8Array): Promise<void> {
  const partial = `${path}.part`;
  await mkdir(dirname(path), { recursive: true });
  await writeFile(partial, content);
  renameSync(partial, path);
}
