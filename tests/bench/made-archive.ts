/**
 * An archive of many jobs for benchmarks and tests: what a build leaves of its packets to look at them by,
 * each under its own id with a summary of its own. Invented.
 */
import { mkdirSync, readFileSync, utimesSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { BUILT_FROM, SUMMARY } from "../../src/archive/built-packets.ts";
import { jobHash } from "../../src/build/compute-jobs.ts";
import { programHash } from "../../src/build/program-hash.mjs";
import { loadLibrary } from "../../src/job/files.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import type { JobSummary } from "../../src/pages/index-entry.ts";
import { projectFolder } from "../../src/print/cache-folder.ts";
import { smallJobText } from "../build/small-job.ts";

const STREETS = ["Alder", "Birch", "Cedar", "Elm", "Fir", "Hazel", "Larch", "Maple", "Rowan", "Willow"];
const KINDS = ["Clinic", "School", "Depot", "Library", "Studio", "Kitchen", "Store", "Hall"];
const CLIENTS = ["Harbour Trust", "Northfield Homes", "Quay Builders", "Ridge Estates", "Vale Works"];
const ROOMS = ["Hall", "Office", "Store", "Ward", "Laboratory", "Kitchen"];

export const idOf = (number: number): string => `job-${String(number).padStart(5, "0")}`;

/** Summaries of `count` jobs of twenty years, each told from the others. */
export function madeSummary(number: number, pattern: JobSummary): JobSummary {
  const source = randomFrom(number + 1);
  const random = () => source.uniform();
  const pick = (list: readonly string[]) => list[Math.floor(random() * list.length)] as string;
  const areaM2 = Math.round(20 + 2000 * random());
  const depthMm = Math.round(8 + 60 * random());
  const kind = pick(KINDS);
  return {
    ...pattern,
    jobId: idOf(number),
    title: `${pick(STREETS)} ${kind} ${number}`,
    place: `${1 + (number % 97)} ${pick(STREETS)} Street, Port ${pick(STREETS)}`,
    client: pick(CLIENTS),
    rooms: [pick(ROOMS), pick(ROOMS)],
    year: String(2006 + (number % 20)),
    area: { metric: `${areaM2} m²`, inch: `${Math.round(areaM2 * 10.76)} ft²`, leads: "inch" },
    areaM2,
    greatestDepth: { metric: `${depthMm} mm`, inch: `${Math.round(depthMm / 25.4)} in`, leads: "metric" },
    greatestDepthMm: depthMm,
    bags: Math.round(areaM2 / 2),
    bagsPastAllowed: Math.round(40 * random() - 20),
  };
}

export const textOf = (number: number): string => smallJobText(idOf(number), { title: `Job ${number}` });

/**
 * Writes job files and packets. The packets say that they were built from these files, by this program, without PDFs.
 * @param pattern a packet's folder as a build left it: what an archive is looked at by, its pages are not copied
 */
export function makeArchive(jobs: string, output: string, count: number, pattern: string): void {
  const { library } = loadLibrary(jobs);
  const program = programHash(projectFolder);
  const summary = JSON.parse(readFileSync(join(pattern, SUMMARY), "utf8")) as JobSummary;

  // Files that were written just now are looked at again: these are of the day before.
  const then = Date.now() / 1000 - 86_400;
  for (let number = 0; number < count; number += 1) {
    const id = idOf(number);
    const text = textOf(number);
    const file = join(jobs, `${id}.yaml`);
    writeFileSync(file, text);
    utimesSync(file, then, then);
    const folder = join(output, id);
    mkdirSync(folder, { recursive: true });

    writeFileSync(join(folder, SUMMARY), `${JSON.stringify(madeSummary(number, summary))}\n`);
    const from = { program, job: jobHash(text, [], library), printedWith: null };
    writeFileSync(join(folder, BUILT_FROM), `${JSON.stringify(from)}\n`);
  }
}
