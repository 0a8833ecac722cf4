/**
 * The numbers of whole jobs as they were when someone last looked: of the demo jobs and of jobs drawn by the fuzzing
 * grammar. They prove nothing right; they say that a change to the program changed what past jobs would print, which an
 * office with an archive has to know. `npm run kept-numbers` keeps them anew: run it where the change was meant, and say
 * in the commit which numbers moved and why.
 */
import { createHash, type Hash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { readJobText } from "../../src/build/compute-jobs.ts";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf } from "../../src/build.ts";
import { loadLibrary } from "../../src/job/files.ts";
import type { BesideFile } from "../../src/job/job-reader.ts";
import type { Job } from "../../src/job/model.ts";
import { readJob } from "../../src/job/read-job.ts";
import type { Findings } from "../../src/sheets/model.ts";
import { projectFolder } from "../build/small-job.ts";
import { alterInTurn, evidenceOf } from "../check/altered-numbers.ts";
import { nearJob } from "../fuzz/near-job.ts";

/** A few characters for all numbers and words of a stage, by the stage's name. */
export type Digests = Readonly<Record<string, string>>;

export interface KeptNumbers {
  /** By the id of the demo job. */
  readonly demoJobs: Readonly<Record<string, Digests>>;
  /** By the seed that draws the job. */
  readonly drawnJobs: Readonly<Record<string, Digests>>;
  /** By the id of the demo job: what the check before printing says to a number of every kind made wrong. */
  readonly checks: Readonly<Record<string, Digests>>;
}

export const KEPT_FILE = join(projectFolder, "tests/kept-numbers/kept-numbers.json");
export const readKept = (): KeptNumbers => JSON.parse(readFileSync(KEPT_FILE, "utf8")) as KeptNumbers;

export const DEMO_JOBS = [
  "alder-court-laundry",
  "hollin-wharf-bay-4",
  "larch-yard-studio",
  "larkspur-offices",
  "maple-loft-bath",
  "sorrel-row-surgery",
  "tern-street-clinic",
  "test-pad",
  "wren-gate-store",
] as const;

const { library } = loadLibrary(`${projectFolder}jobs`);
const solve = await loadSolver();

/** Nine digits: sums may be added in another order without being other numbers. */
const written = (value: number): string =>
  Number.isFinite(value) && !Number.isInteger(value) ? value.toPrecision(9) : String(value);

/** Everything that a stage says, in its order; what the job file says is the job's own and is not followed. */
function digestOf(stage: unknown, job: object): string {
  const hash = createHash("sha256");
  const seen = new Set<object>(stage === job ? [] : [job]);
  const visit = (at: unknown): void => {
    if (typeof at === "number") hash.update(`${written(at)},`);
    else if (typeof at === "string" || typeof at === "boolean") hash.update(`${at},`);
    else if (typeof at === "object" && at !== null && !seen.has(at)) {
      seen.add(at);
      if (at instanceof Map || at instanceof Set) for (const each of at) visit(each);
      else
        for (const [key, inner] of Object.entries(at)) {
          if (inner === undefined || typeof inner === "function") continue;
          hash.update(`${key}:`);
          visit(inner);
        }
    }
  };
  visit(stage);
  return shortened(hash);
}

export const digestsOf = (findings: Findings): Digests =>
  Object.fromEntries(
    Object.entries(findings).map(([name, stage]) => [
      name,
      // Where the job's text stands is no number of it.
      digestOf(name === "job" ? { ...(stage as Job), source: undefined } : stage, findings.job),
    ]),
  );

function computed(text: string, file: string, beside?: readonly BesideFile[]): Findings | undefined {
  const { job } = readJob(text, file, library, beside);
  const found = job === undefined ? undefined : findingsOf(job, solve);
  return found?.kind === "ready" ? found.value : undefined;
}

export function demoJob(id: string): Findings | undefined {
  const file = `jobs/${id}.yaml`;
  const { text, beside } = readJobText(join(projectFolder, file), file);
  return computed(text, file, beside);
}

/** Packets of several kinds: a small one, one that was scanned, one read along lines, one in two materials with two tops. */
export const CHECKED_JOBS = ["maple-loft-bath", "wren-gate-store", "test-pad", "alder-court-laundry"] as const;

/** What the check says to every kind of wrong number, by stage. */
export async function checksOf(id: string): Promise<Digests> {
  const sound = await evidenceOf(id);
  const hashes = new Map<string, Hash>();
  alterInTurn(sound, {
    placesOfAKind: 1,
    packetAlone: true,
    hear: (path, said) => {
      const stage = path.slice(0, path.indexOf("."));
      const hash = hashes.get(stage) ?? createHash("sha256");
      hashes.set(stage, hash.update(`${path}: ${said.map(({ code, message }) => `${code} ${message}`).join("; ")}\n`));
    },
  });
  return Object.fromEntries([...hashes].map(([stage, hash]) => [stage, shortened(hash)]));
}

const shortened = (hash: Hash): string => hash.digest("base64url").slice(0, 10);

export function drawnJob(seed: number): Findings | undefined {
  const draw = fc.gen().map((g) => nearJob(g, "drawn"));
  return computed(fc.sample(draw, { seed, numRuns: 1 })[0] ?? "", "jobs/drawn.yaml");
}
