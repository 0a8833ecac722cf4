/** What the packets in the output folder say of themselves: what they were made from, and their summaries. */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { JobSummary } from "../pages/index-entry.ts";

/** Stands in each packet as built-from.json. Hashes only: the same job built elsewhere says the same. */
export interface BuiltFrom {
  readonly program: string;
  readonly job: string;
  /** The browser that printed it; null where there are no PDFs. */
  readonly printedWith: string | null;
}

export const BUILT_FROM = "built-from.json";
export const SUMMARY = "summary.json";

/** Undefined where there is no packet, or one that does not say. */
export const readBuiltFrom = (outputFolder: string, jobId: string): BuiltFrom | undefined =>
  readJson<BuiltFrom>(join(outputFolder, jobId, BUILT_FROM));

/** Names of the folders in output/ that may hold a packet, in order. */
export function packetFolders(outputFolder: string): string[] {
  return readdirSync(outputFolder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory() && /^[^._]/.test(entry.name))
    .map(({ name }) => name)
    .sort();
}

/** Whether a folder in output/ holds a packet: the docs are a folder too. */
export const holdsPacket = (outputFolder: string, folder: string): boolean =>
  existsSync(join(outputFolder, folder, SUMMARY));

export const readSummary = (outputFolder: string, jobId: string): JobSummary | undefined =>
  readJson<JobSummary>(join(outputFolder, jobId, SUMMARY));

/** At once: ten thousand small files take a fraction of the time that they take through promises. */
function readJson<T>(path: string): T | undefined {
  try {
    return JSON.parse(readFileSync(path, "utf8")) as T;
  } catch (error) {
    // Absent, or not whole: either way it says nothing, and the job is built again.
    if (error instanceof SyntaxError || ["ENOENT", "ENOTDIR"].includes((error as NodeJS.ErrnoException).code ?? ""))
      return undefined;
    throw error;
  }
}
