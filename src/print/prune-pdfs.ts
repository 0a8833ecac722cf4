/** Keeps the cache of PDFs from growing for ever: what no build has asked for in a long time goes. */
import type { Dirent } from "node:fs";
import { mkdir, readdir, rm, stat, utimes, writeFile } from "node:fs/promises";
import { join } from "node:path";

const DAY_MS = 24 * 60 * 60 * 1000;
const KEPT_DAYS = 180;
/** Looking through the cache takes a moment in a large office: once in so many days is enough. */
const LOOK_EVERY_DAYS = 7;
const LOOKED = "last-looked-through";

/** Notes that an entry was asked for; a day's accuracy is enough, and most builds then write nothing. */
export async function noteUse(path: string): Promise<void> {
  const now = Date.now();
  const { mtimeMs } = await stat(path);
  if (now - mtimeMs > DAY_MS) await utimes(path, now / 1000, now / 1000);
}

/** Deletes entries that nobody asked for in KEPT_DAYS, unless that was looked after a few days ago. @returns how many went. */
export async function prunePdfs(folder: string): Promise<number> {
  const marker = join(folder, LOOKED);
  const now = Date.now();
  const looked = await stat(marker).catch(() => undefined);
  if (looked !== undefined && now - looked.mtimeMs < LOOK_EVERY_DAYS * DAY_MS) return 0;
  await mkdir(folder, { recursive: true });
  await writeFile(marker, "");
  const entries: Dirent[] = await readdir(folder, { recursive: true, withFileTypes: true });
  let gone = 0;
  for (const entry of entries) {
    if (!entry.isFile() || entry.name === LOOKED) continue;
    const path = join(entry.parentPath, entry.name);
    // Another process may have deleted it in the meantime.
    const found = await stat(path).catch(() => undefined);
    if (found === undefined || now - found.mtimeMs < KEPT_DAYS * DAY_MS) continue;
    await rm(path, { force: true });
    gone += 1;
  }
  return gone;
}
