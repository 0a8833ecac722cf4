/** `npm run kept-numbers`: keeps the numbers anew, and tells which differ from those that were kept. */
import { existsSync, writeFileSync } from "node:fs";
import {
  CHECKED_JOBS,
  checksOf,
  DEMO_JOBS,
  type Digests,
  demoJob,
  digestsOf,
  drawnJob,
  KEPT_FILE,
  type KeptNumbers,
  readKept,
} from "./numbers.ts";

/** So many drawn jobs that come as far as a pour plan. */
const DRAWN = 160;

const before: KeptNumbers = existsSync(KEPT_FILE) ? readKept() : { demoJobs: {}, drawnJobs: {}, checks: {} };
const demoJobs: Record<string, Digests> = {};
for (const id of DEMO_JOBS) {
  const findings = demoJob(id);
  if (findings === undefined) throw new Error(`${id} does not compute`);
  demoJobs[id] = digestsOf(findings);
}
const drawnJobs: Record<string, Digests> = {};
for (let seed = 1; Object.keys(drawnJobs).length < DRAWN; seed++) {
  const findings = drawnJob(seed);
  // Of ten drawn jobs nine end at a message, and say little of numbers.
  if (findings?.schedule.kind === "ready") drawnJobs[seed] = digestsOf(findings);
}
const checks: Record<string, Digests> = {};
for (const id of CHECKED_JOBS) checks[id] = await checksOf(id);

const now: KeptNumbers = { demoJobs, drawnJobs, checks };
for (const sort of Object.keys(now) as (keyof KeptNumbers)[])
  for (const [id, digests] of Object.entries(now[sort])) {
    const were = before[sort][id] ?? {};
    const other = Object.keys(digests).filter((stage) => digests[stage] !== were[stage]);
    if (other.length > 0) console.log(`${sort} ${id}: ${other.join(", ")}`);
  }
writeFileSync(KEPT_FILE, `${JSON.stringify(now, null, 1)}\n`);
