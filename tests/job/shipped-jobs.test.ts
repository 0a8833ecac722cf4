/** The jobs that ship, and the floor that anyone can do by head. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { parse } from "csv-parse/sync";
import { describe, expect, test } from "vitest";
import { polygonArea } from "../../src/geometry/polygon.ts";
import { listJobs, readBesideFiles, readTextFile } from "../../src/job/files.ts";
import type { Job } from "../../src/job/model.ts";
import { readJob } from "../../src/job/read-job.ts";
import { JOBS_FOLDER, library, printed } from "./job-text.ts";

const { jobs, diagnostics: listing } = listJobs(JOBS_FOLDER);

const shipped = (id: string): Job => {
  const file = jobs.find((job) => job.id === id)!;
  const text = readTextFile(file.path, file.file).text!;
  const { job, diagnostics } = readJob(text, file.file, library, readBesideFiles(file, text).files);
  if (job === undefined) throw new Error(printed(diagnostics));
  return job;
};

/** Floor of all rooms, columns left in. */
const floorArea = (job: Job): number =>
  job.rooms.reduce((sum, { outline }) => sum + polygonArea({ outline, holes: [] }), 0);

const levels = (job: Job): number[] => job.survey.setUps.flatMap(({ readings }) => readings.map(({ level }) => level));

test("every job in the folder is read without an error, and completes in an editor", () => {
  expect(listing).toEqual([]);
  for (const { id, path } of jobs) {
    expect(shipped(id).id).toBe(id);
    expect(readFileSync(path, "utf8")).toMatch(/^# yaml-language-server: \$schema=\.\/_library\/job\.schema\.json\n/);
  }
});

test("the clinic has rooms joined by doors, columns, a place to grind at a door, and two languages", () => {
  const job = shipped("tern-street-clinic");
  expect(job.rooms).toHaveLength(6);
  expect(job.languages).toEqual(["en", "es"]);
  const joined = job.rooms.flatMap(({ doors }) => doors.filter(({ joinsRoom }) => joinsRoom));
  expect(joined.map(({ id, wallThickness }) => [id, Math.round(wallThickness * 1000)])).toEqual([
    ["DR2", 152],
    ["DR3", 152],
    ["DR4", 152],
    ["DR5", 152],
    ["DR6", 152],
  ]);
  // The slab stands above zero, the top of the pour, beside the laboratory door.
  const proud = job.survey.setUps[0]!.readings.filter(({ level }) => level > 0).map(({ pointId }) => pointId);
  expect(proud).toEqual(["DR6b"]);
});

test("the warehouse bay is at least 12,000 ft², in metres, on A4", () => {
  const job = shipped("hollin-wharf-bay-4");
  expect(floorArea(job) / 0.09290304).toBeGreaterThan(12_000);
  expect(job.units).toEqual({ plan: "m", height: "mm" });
  expect(job.paper).toBe("a4");
  expect(levels(job).length).toBeGreaterThan(200);
});

test("the bathroom is gypsum-based on wood joists, read in fractions of an inch, and nobody has accepted its weight", () => {
  const job = shipped("maple-loft-bath");
  expect(job.material.binder).toBe("gypsum");
  expect(job.floor).toMatchObject({ support: "suspended", substrate: "wood" });
  expect(job.floor.acceptedBy).toBeUndefined();
  for (const { typed } of job.survey.setUps[0]!.readings) expect(typed.text).toMatch(/^(\d+|\d+\/\d+|\d+-\d+\/\d+)$/);
});

test("the test pad's readings are the published elevations, under a zero at 430 mm", () => {
  // Concrete test pad: E1155M data sheet, Stanford Linear Accelerator Center, Alignment Engineering Group, 2003.
  const csv = readFileSync(join(JOBS_FOLDER, "test-pad", "test-pad.csv"), "utf8");
  const rows = parse(csv, { comment: "#", columns: true, skip_empty_lines: true }) as Record<string, string>[];
  const published = rows.flatMap((row) =>
    Object.entries(row)
      .filter(([key, value]) => key !== "line" && value !== "")
      .map(([key, value]) => [`${"ABCDE"[Number(row.line)]}${Number(key.slice(1)) + 1}`, Number(value)] as const),
  );
  const job = shipped("test-pad");
  const readings = job.survey.setUps[0]!.readings;
  expect(readings.map(({ pointId }) => pointId)).toEqual(published.map(([pointId]) => pointId));
  for (const [k, [, elevation]] of published.entries()) expect(430 + readings[k]!.level).toBeCloseTo(elevation, 6);
  expect(readings).toHaveLength(72);
  // 3.36 m by 6.11 m; points 300 mm apart along lines laid 0.6 m apart.
  expect(floorArea(job)).toBeCloseTo(3.36 * 6.11, 9);
  expect(job.survey.grid).toMatchObject({ spacingEast: 0.3, spacingNorth: 0.6 });
  // Flatness by the standard is not claimed.
  expect(job.contract).toEqual({});
});

describe("by head: 20 ft × 20 ft, 10 mm low everywhere, half a cubic foot a bag", () => {
  test.each(["mm-below", "mm-above", "in-below", "in-above"])("%s", (spelling) => {
    const file = `by-head-${spelling}.yaml`;
    const text = readFileSync(fileURLToPath(new URL(`../jobs/fixtures/${file}`, import.meta.url)), "utf8");
    const { job, diagnostics } = readJob(text, `jobs/${file}`, { files: [] });
    expect(printed(diagnostics)).toBe("");
    const target = job!.target;
    if (target.kind !== "level") throw new Error("the target is a level");
    expect(job!.survey.setUps[0]!.readings).toHaveLength(25);
    for (const level of levels(job!)) expect(target.top - level).toBeCloseTo(10, 9);
    // 400 ft² × 10 mm = 371.612 L, and 26.246 bags of 14.158 L.
    const litres = floorArea(job!) * 10;
    expect(litres).toBeCloseTo(371.612, 2);
    expect(litres / job!.material.yieldPerBag).toBeCloseTo(26.2467, 3);
  });
});
