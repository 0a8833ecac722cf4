/** The rim: folders, encodings, sizes. Folders are made for the test and taken away after it. */
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, onTestFinished, test } from "vitest";
import { putRecord } from "../../src/archive/issued-records.ts";
import { writeSchemaFiles } from "../../src/cli/write-schema-files.ts";
import { listJobs, loadLibrary, readBesideFiles, readTextFile, writeNewJobFile } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { SCHEMA_FILES, schemaFileText } from "../../src/job/schema-files.ts";
import { LIMITS } from "../../src/job/schema-limits.ts";
import { FILE, GOOD, JOBS_FOLDER, library, printed } from "./job-text.ts";

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "jobs-"));
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

const write = (name: string, content: string | Uint8Array): string => {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
};

test("jobs are listed by name; drafts, the library and folders are not jobs", () => {
  for (const name of ["b.yaml", "a.yaml", "_draft.yaml", ".hidden.yaml", "notes.txt", "c.yml", "D.YAML"])
    write(name, "");
  mkdirSync(join(folder, "_library"));
  mkdirSync(join(folder, "a"));
  const { jobs, diagnostics } = listJobs(folder);
  expect(jobs.map(({ id, file }) => [id, file])).toEqual([
    ["a", "jobs/a.yaml"],
    ["b", "jobs/b.yaml"],
  ]);
  expect(diagnostics.map(({ code, hint }) => [code, hint])).toEqual([
    ["job-file-name", "Rename it to D.yaml."],
    ["job-file-name", "Rename it to c.yaml."],
  ]);
});

test("links in the folder of jobs are named and not followed, neither a job file nor the folder of one", () => {
  const elsewhere = mkdtempSync(join(tmpdir(), "elsewhere-"));
  onTestFinished(() => rmSync(elsewhere, { recursive: true, force: true }));
  writeFileSync(join(elsewhere, "points.csv"), "point,height (mm)\n");
  const office = join(folder, "linked");
  mkdirSync(office);
  writeFileSync(join(office, "a.yaml"), "readings_file: points.csv\n");
  symlinkSync(elsewhere, join(office, "a"), "junction");
  symlinkSync(join(office, "a.yaml"), join(office, "b.yaml"));
  const { jobs, folders, diagnostics } = listJobs(office);
  expect(jobs.map(({ id }) => id)).toEqual(["a"]);
  expect([...folders]).toEqual([]);
  expect(diagnostics.map(({ code, message }) => [code, message])).toEqual([
    ["link-not-followed", "jobs/a is a link, and links are not followed."],
    ["link-not-followed", "jobs/b.yaml is a link, and links are not followed."],
  ]);
  const [job] = jobs;
  expect(readBesideFiles(job!, "readings_file: points.csv\n").files).toEqual([]);
  expect(() => putRecord(office, "a", 1, [{ path: "job.yaml", text: "" }])).toThrow("is a link");
  expect(readdirSync(elsewhere)).toEqual(["points.csv"]);
});

test("a file past the limit is refused unread, and so is a text", () => {
  const path = write("large.yaml", "#".repeat(10_000_000));
  expect(readTextFile(path, "jobs/large.yaml").problem).toMatchObject({ code: "file-too-large" });
  const { diagnostics } = readJob("#".repeat(LIMITS.fileBytes + 1), FILE, library);
  expect(diagnostics.map(({ code }) => code)).toEqual(["file-too-large"]);
});

test.each([
  ["UTF-16 with its mark", Buffer.from(`\ufeff${GOOD}`, "utf16le")],
  ["UTF-16 without", Buffer.from(GOOD, "utf16le")],
  ["UTF-16, the other way round", Buffer.from(GOOD, "utf16le").swap16()],
  ["Latin-1", Buffer.from("title: Caf\u00e9\n", "latin1")],
])("%s is said to be no UTF-8", (_, bytes) => {
  expect(readTextFile(write("x.yaml", bytes), "jobs/x.yaml").problem).toMatchObject({
    code: "not-utf-8",
    hint: "Save it again with the encoding UTF-8.",
  });
});

test.each([
  ["a byte order mark", `\ufeff${GOOD}`],
  ["line ends of two characters", GOOD.replaceAll("\n", "\r\n")],
  ["no line end at the end", GOOD.trimEnd()],
])("%s does no harm", (_, text) => {
  const read = readTextFile(write("small-hall.yaml", text), FILE);
  const { job, diagnostics } = readJob(read.text!, FILE, library);
  expect(printed(diagnostics)).toBe("");
  expect(job!.survey.setUps[0]!.readings).toHaveLength(8);
  expect(job!.rooms[0]!.doors).toHaveLength(2);
});

test("a folder without a library has an empty one; others' files in it are left alone", () => {
  expect(loadLibrary(folder).library.files).toEqual([]);
  mkdirSync(join(folder, "_library"));
  write("_library/crews.yaml", "crews: []\n");
  write("_library/readme.txt", "\u0000");
  write("_library/job.schema.json", "{}");
  expect(loadLibrary(folder).library.files.map(({ file }) => file)).toEqual(["jobs/_library/crews.yaml"]);
});

test("a new job is never written over one that is there", () => {
  expect(writeNewJobFile(folder, "new", "first")).toBeUndefined();
  expect(writeNewJobFile(folder, "new", "second")).toMatchObject({ code: "job-exists" });
  expect(readFileSync(join(folder, "new.yaml"), "utf8")).toBe("first");
});

test("the JSON Schemas in the library folder are those of the program", () => {
  for (const of of ["job", "library"] as const) {
    expect(readFileSync(join(JOBS_FOLDER, "_library", SCHEMA_FILES[of]), "utf8")).toBe(schemaFileText(of));
  }
  mkdirSync(join(folder, "_library"));
  expect(writeSchemaFiles(folder)).toEqual(["jobs/_library/job.schema.json", "jobs/_library/library.schema.json"]);
  expect(writeSchemaFiles(folder)).toEqual([]);
});
