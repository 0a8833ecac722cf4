/**
 * A hash of everything that decides what comes out besides the job: the program, the templates, the
 * packages. A packet made by another program is made again.
 */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { projectFolder } from "../print/cache-folder.ts";

const PARTS = ["src", "templates", ".eleventy.js", "package-lock.json"];

export function programHash(): string {
  const hash = createHash("sha256");
  for (const path of PARTS.flatMap((part) => filesOf(part))) {
    const bytes = readFileSync(join(projectFolder, path));
    hash.update(`${path}\0${bytes.length}\0`).update(bytes);
  }
  return hash.digest("hex");
}

function filesOf(path: string): string[] {
  let entries: string[];
  try {
    entries = readdirSync(join(projectFolder, path)).sort();
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOTDIR") return [path];
    throw error;
  }
  return entries.flatMap((name) => filesOf(`${path}/${name}`));
}

/** A hash over texts, each told from the next. */
export function textsHash(texts: readonly string[]): string {
  const hash = createHash("sha256");
  for (const text of texts) hash.update(`${text.length}\0`).update(text);
  return hash.digest("hex");
}

/** As package.json has it. */
export const programVersion = (): string =>
  (JSON.parse(readFileSync(join(projectFolder, "package.json"), "utf8")) as { version: string }).version;
