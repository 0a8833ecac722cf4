/**
 * One build at a time in an output folder. The lock is a file with the number of the process that
 * holds it; a lock whose process is gone is taken over.
 */
import { randomBytes } from "node:crypto";
import { mkdir, readdir, readFile, rename, rm, stat, writeFile } from "node:fs/promises";
import { hostname } from "node:os";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";

export const LOCK = ".building";

export interface BuildLock {
  release(): Promise<void>;
}

interface Holder {
  readonly process: number;
  readonly machine: string;
}

/**
 * Waits for the lock of `outputFolder` for at most `patienceMs`; calls `onWait` once where it has to.
 * @throws Error naming the process that holds it.
 */
export async function takeBuildLock(
  outputFolder: string,
  patienceMs: number,
  onWait: (holder: string) => void,
): Promise<BuildLock> {
  await mkdir(outputFolder, { recursive: true });
  const path = join(outputFolder, LOCK);
  const mine = JSON.stringify({ process: process.pid, machine: hostname() } satisfies Holder);
  const tries = Math.max(1, Math.ceil(patienceMs / POLL_MS));
  for (let attempt = 0; attempt < tries; attempt += 1) {
    try {
      await writeFile(path, mine, { flag: "wx" });
      await sweep(outputFolder);
      return {
        async release() {
          if ((await readHolder(path))?.text === mine) await rm(path, { force: true });
        },
      };
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== "EEXIST") throw error;
    }
    const holder = await readHolder(path);
    if (holder === undefined) continue;
    if (holder.gone) {
      await clearAway(path, holder.text);
      continue;
    }
    if (attempt === 0) onWait(holder.name);
    await wait(POLL_MS);
  }
  const holder = await readHolder(path);
  throw new Error(
    `Another build is at work in ${outputFolder} (${holder?.name ?? "unknown process"}). ` +
      `Wait until it has ended; if nothing of the kind runs, delete ${path} and try again.`,
  );
}

const POLL_MS = 200;
/** A lock is created and filled in one go; one that is still empty after this long never will be. */
const WRITTEN_WITHIN_MS = 5_000;

async function readHolder(path: string): Promise<{ text: string; name: string; gone: boolean } | undefined> {
  let text: string;
  try {
    text = await readFile(path, "utf8");
  } catch {
    return undefined;
  }
  let holder: Holder;
  try {
    holder = JSON.parse(text) as Holder;
  } catch {
    // Created and not yet written: its process is at it, or died in that instant.
    const written = await stat(path).catch(() => undefined);
    if (written === undefined) return undefined;
    const gone = Date.now() - written.mtimeMs > WRITTEN_WITHIN_MS;
    return { text, name: "a process that is just starting", gone };
  }
  const here = holder.machine === hostname();
  return {
    text,
    name: `process ${holder.process} on ${here ? "this machine" : holder.machine}`,
    gone: here && !isRunning(holder.process),
  };
}

/** Two that find the same dead lock must not both take it, nor one the other's new lock: move it aside, look again. */
async function clearAway(path: string, text: string): Promise<void> {
  const aside = `${path}.${randomBytes(4).toString("hex")}`;
  try {
    await rename(path, aside);
  } catch {
    return;
  }
  const moved = await readFile(aside, "utf8").catch(() => text);
  if (moved !== text) await writeFile(path, moved, { flag: "wx" }).catch(() => undefined);
  await rm(aside, { force: true });
}

/** What a process left that was killed while it moved a dead lock aside; one that is at it now is done in an instant. */
async function sweep(outputFolder: string): Promise<void> {
  for (const name of await readdir(outputFolder)) {
    if (!name.startsWith(`${LOCK}.`)) continue;
    const path = join(outputFolder, name);
    const left = await stat(path).catch(() => undefined);
    if (left !== undefined && Date.now() - left.ctimeMs > WRITTEN_WITHIN_MS) await rm(path, { force: true });
  }
}

function isRunning(processId: number): boolean {
  try {
    process.kill(processId, 0);
    return true;
  } catch (error) {
    // A process of another user exists and may not be signalled.
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}
