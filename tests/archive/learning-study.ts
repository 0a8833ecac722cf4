/**
 * What is learned from a larger archive whose truth is known: jobs computed by the real program, then learned from.
 *
 *     npm run study:learning [-- jobs]
 */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { SUMMARY } from "../../src/archive/built-packets.ts";
import { taughtJobs } from "../../src/archive/taught-jobs.ts";
import { loadSolver } from "../../src/build/load-solver.ts";
import { makePacket } from "../../src/build.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { pastOf } from "../../src/pages/past.ts";
import { pastLines, pastPage } from "../../src/pages/past-page.ts";
import { offTruth, pouredId, pouredJobText } from "./poured-archive.ts";

const count = Number(process.argv[2] ?? 60);
const output = mkdtempSync(join(tmpdir(), "learning-"));
try {
  const solve = await loadSolver();
  const { library } = loadLibrary("jobs");
  for (let number = 0; number < count; number += 1) {
    const [id, text] = [pouredId(number), pouredJobText(number)];
    const answer = makePacket({ jobId: id, file: `jobs/${id}.yaml`, text, beside: [], library }, solve);
    if (answer.kind !== "made") throw new Error(`${id}: ${JSON.stringify(answer)}`);
    mkdirSync(join(output, id));
    writeFileSync(join(output, id, SUMMARY), JSON.stringify(answer.packet.summary));
  }
  const { jobs, unread } = taughtJobs(output);
  const past = pastOf(jobs);
  console.log(pastLines(pastPage(past, unread)).join("\n"));
  const off = offTruth(past);
  console.log("\nOff the truth, in stated standard deviations:");
  for (const { what, off: by } of off) console.log(`  ${what}: ${by.toFixed(2)}`);
  // Of a dozen figures one in three is off by more than one, and next to none by more than three and a half.
  process.exitCode = off.every(({ off: by }) => Math.abs(by) < 3.5) ? 0 : 1;
} finally {
  rmSync(output, { recursive: true, force: true });
}
