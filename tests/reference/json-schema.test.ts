/**
 * The JSON Schemas that the program writes, put to a general validator (ajv, JSON Schema draft 2020-12): they hold for
 * the shipped job and library files and for their packets, and they see what is wrong.
 */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { load } from "js-yaml";
import { describe, expect, test } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { makePacket } from "../../src/build.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { packetJsonSchema } from "../../src/sheets/packet-schema.ts";
import { projectFolder } from "../build/small-job.ts";

const jobsFolder = join(projectFolder, "jobs");
const libraryFolder = join(jobsFolder, "_library");
const { library } = loadLibrary(jobsFolder);
const yamlIn = (folder: string): string[] => readdirSync(folder).filter((name) => name.endsWith(".yaml"));
const schemaAt = (name: string): object => JSON.parse(readFileSync(join(libraryFolder, name), "utf8")) as object;
const validatorOf = (schema: object) => new Ajv2020({ strict: false, allErrors: true }).compile(schema);
const textOf = (id: string): string => readFileSync(join(jobsFolder, `${id}.yaml`), "utf8");

describe("the schema of job files", () => {
  const isJob = validatorOf(schemaAt("job.schema.json"));

  test.each(yamlIn(jobsFolder))("holds for %s", (name) => {
    expect(isJob(load(readFileSync(join(jobsFolder, name), "utf8"))), JSON.stringify(isJob.errors)).toBe(true);
  });

  test.each([
    ["a key that there is not", /^material:/m, "materials:"],
    ["a paper that there is not", /^paper: .*$/m, "paper: foolscap"],
    ["no rooms", /^rooms:/m, "halls:"],
  ])("refuses %s", (_, what, instead) => {
    const text = textOf("tern-street-clinic");
    expect(text).toMatch(what);
    expect(isJob(load(text.replace(what, instead)))).toBe(false);
  });
});

describe("the schema of library files", () => {
  const isLibrary = validatorOf(schemaAt("library.schema.json"));

  test.each(yamlIn(libraryFolder))("holds for %s", (name) => {
    expect(isLibrary(load(readFileSync(join(libraryFolder, name), "utf8"))), JSON.stringify(isLibrary.errors)).toBe(
      true,
    );
  });

  test("refuses a material with a misspelt key", () => {
    const text = readFileSync(join(libraryFolder, "materials.yaml"), "utf8");
    expect(isLibrary(load(text.replace(/^ {4}yield:/m, "    yeild:")))).toBe(false);
  });
});

describe("the schema of packets", async () => {
  const solve = await loadSolver();
  const isPacket = validatorOf(packetJsonSchema());
  const packetOf = (jobId: string): Record<string, unknown> => {
    const made = makePacket({ jobId, file: `jobs/${jobId}.yaml`, text: textOf(jobId), beside: [], library }, solve);
    if (made.kind !== "made") throw new Error(`${jobId} was refused`);
    return JSON.parse(made.packet.packetJson) as Record<string, unknown>;
  };

  test.each(["maple-loft-bath", "larch-yard-studio"])("holds for %s", (id) => {
    expect(isPacket(packetOf(id)), JSON.stringify(isPacket.errors)).toBe(true);
  });

  test("refuses a packet without depths, one with a number in words, and one with a key too many", () => {
    const packet = packetOf("maple-loft-bath");
    const { depths, ...without } = packet;
    expect(depths).toBeDefined();
    expect(isPacket(without)).toBe(false);
    expect(isPacket({ ...packet, packetFormat: "one" })).toBe(false);
    expect(isPacket({ ...packet, surplus: 1 })).toBe(false);
  });
});
