/**
 * Ten thousand jobs indexed, searched and sorted in a browser from the file system.
 *
 *     npm run study:archive [-- jobs]
 */
import { mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { lookAtIndex } from "./index-in-browser.ts";

const count = Number(process.argv[2] ?? 10_000);
const folder = mkdtempSync(join(tmpdir(), "index-"));
try {
  const looked = await lookAtIndex(folder, count, "harbour rowan 2019");
  const megabytes = statSync(join(folder, "index.html")).size / 1e6;
  console.log(`${count} jobs, index of ${megabytes.toFixed(1)} MB`);
  console.log(
    `opened in ${looked.loadMs.toFixed(0)} ms, searched in ${looked.searchMs.toFixed(0)} ms (${looked.found}), sorted in ${looked.sortMs.toFixed(0)} ms`,
  );
  for (const error of looked.errors) console.error(error);
  process.exitCode = looked.errors.length === 0 ? 0 : 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
