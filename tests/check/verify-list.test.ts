/** Readings from files beside the job, read a second time: a fault planted in either reading of them is found. */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { jobHash, readJobText } from "../../src/build/compute-jobs.ts";
import { loadSolver } from "../../src/build/load-solver.ts";
import { makePacket } from "../../src/build.ts";
import { checkReadings } from "../../src/check/check-readings.ts";
import { gatherDisagreements } from "../../src/check/evidence.ts";
import { readWrittenList } from "../../src/check/second-reading.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import type { Findings } from "../../src/sheets/model.ts";

const FILE = "jobs/wren-gate-store.yaml";
const { library } = loadLibrary("jobs");
const { text: jobText, beside } = readJobText(FILE, FILE);

const codesOf = (files: typeof beside): string[] => {
  const { job } = readJob(jobText, FILE, library, beside);
  const findings = { job } as unknown as Findings;
  const evidence = { file: FILE, jobText, beside: files, findings } as unknown as Parameters<typeof checkReadings>[0];
  return gatherDisagreements((disagree) => checkReadings(evidence, disagree)).map(({ code }) => code);
};

const withFault = (name: string, from: string, to: string) =>
  beside.map((file) => {
    if (file.name !== name) return file;
    if (!file.text.includes(from)) throw new Error(`${from} does not stand in ${name}`);
    return { ...file, text: file.text.replace(from, to) };
  });

describe("the store, read from two files", () => {
  it("has both files, and its packet is made", async () => {
    expect(beside.map(({ name }) => name)).toEqual(["points.csv", "rod.csv"]);
    const answer = makePacket(
      { jobId: "wren-gate-store", file: FILE, text: jobText, beside, library },
      await loadSolver(),
    );
    expect(answer.kind).toBe("made");
  }, 60_000);

  it("is in order by the second reading", () => {
    expect(codesOf(beside)).toEqual([]);
  });

  it.each([
    ["a height with a digit changed", "points.csv", "99.9987", "99.9978", "reading-differs"],
    ["a rod reading with a digit changed", "rod.csv", "1388.8", "1388.0", "reading-differs"],
    ["a point with another name", "points.csv", "\nB7,", "\nB8,", "reading-differs"],
    ["a row left out", "rod.csv", "\nB4;1385.2;", "", "readings-lost"],
    ["a heading in another unit", "points.csv", "height (m)", "height (ft)", "reading-differs"],
  ])("does not agree with %s", (_, name, from, to, code) => {
    expect(codesOf(withFault(name, from, to))).toContain(code);
  });

  it("is made again when a file beside it changes", () => {
    expect(jobHash(jobText, withFault("rod.csv", "1388.8", "1388.0"), library)).not.toBe(
      jobHash(jobText, beside, library),
    );
  });
});

it("heights of the list stand as published: 1 ft is 0.3048 m, quoted cells hold commas", () => {
  const list = 'no;north;east;Height [ft];note\n1;0;0;10;"a;b"\n2;0;0;-;\n3;0;0;9.5;\n';
  expect(readWrittenList(list, "S", 1, 3048, false)).toEqual([
    { pointId: "1", levelMm: 0 },
    { pointId: "3", levelMm: expect.closeTo(-152.4, 9) },
  ]);
  expect(readFileSync(FILE, "utf8")).toContain("readings_file: points.csv");
});
