/**
 * A hash of everything that decides what comes out besides the job: the program, the templates, the
 * packages. A packet made by another program is made again. Plain JavaScript: it is asked before
 * anything that reads TypeScript is loaded.
 */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";

const PARTS = ["src", "templates", ".eleventy.js", "package-lock.json"];

/** @param {string} project the project's folder @returns {string} SHA-256 in hex */
export function programHash(project) {
  const hash = createHash("sha256");
  for (const path of PARTS.flatMap((part) => filesOf(project, part))) {
    const bytes = readFileSync(join(project, path));
    hash.update(`${path}\0${bytes.length}\0`).update(bytes);
  }
  return hash.digest("hex");
}

function filesOf(project, path) {
  let entries;
  try {
    entries = readdirSync(join(project, path)).sort();
  } catch (error) {
    if (error.code === "ENOTDIR") return [path];
    throw error;
  }
  return entries.flatMap((name) => filesOf(project, `${path}/${name}`));
}
