/**
 * Which browser printed last, so that a run in which nothing changed need not start one to learn its
 * version. The memory holds only while the very file is there, unchanged, and the person names no other.
 */
import { mkdir, readFile, stat, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { FoundBrowser } from "./find-browser.ts";

interface Memory extends FoundBrowser {
  readonly bytes: number;
  readonly changedMs: number;
  readonly wanted: string;
}

const memoryPath = (cacheFolder: string) => join(cacheFolder, "last-browser.json");
const wantedNow = () => process.env.PUPPETEER_EXECUTABLE_PATH ?? "";

export async function rememberBrowser(cacheFolder: string, { path, version }: FoundBrowser): Promise<void> {
  const { size, mtimeMs } = await stat(path);
  const memory: Memory = { path, version, bytes: size, changedMs: mtimeMs, wanted: wantedNow() };
  await mkdir(cacheFolder, { recursive: true });
  await writeFile(memoryPath(cacheFolder), JSON.stringify(memory));
}

/** The browser that printed last, or undefined where it has to be found again. */
export async function rememberedBrowser(cacheFolder: string): Promise<FoundBrowser | undefined> {
  try {
    const memory = JSON.parse(await readFile(memoryPath(cacheFolder), "utf8")) as Memory;
    const { size, mtimeMs } = await stat(memory.path);
    const same = size === memory.bytes && mtimeMs === memory.changedMs && wantedNow() === memory.wanted;
    return same ? { path: memory.path, version: memory.version } : undefined;
  } catch {
    // No memory, a damaged one, or a browser that is gone: all mean "look for one".
    return undefined;
  }
}
