/** Hashes over texts, and the program's version. */
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { projectFolder } from "../print/cache-folder.ts";

/** A hash over texts, each told from the next. */
export function textsHash(texts: readonly string[]): string {
  const hash = createHash("sha256");
  for (const text of texts) hash.update(`${text.length}\0`).update(text);
  return hash.digest("hex");
}

/** As package.json has it. */
export const programVersion = (): string =>
  (JSON.parse(readFileSync(join(projectFolder, "package.json"), "utf8")) as { version: string }).version;
