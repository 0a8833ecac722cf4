/** A build split into parts and joined is, to the byte, the build that was not split. */
import { readdirSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, test } from "vitest";
import { COMPUTE_LIMITS } from "../../src/build/compute-pool.ts";
import type { Shard } from "../../src/build/model.ts";
import { openBuilder } from "../../src/build/open-builder.ts";
import { smallJobText, temporaryOffice } from "./small-job.ts";

const ids = ["attic", "bath", "cellar"];
const office = temporaryOffice({
  ...Object.fromEntries(ids.map((id) => [id, smallJobText(id, { title: `=${id}`, readings: [] })])),
  broken: smallJobText("broken").replace("material: cement-50lb", "material: cement-50b"),
});
afterAll(() => rmSync(office.folder, { recursive: true, force: true }));

const builderFor = (output: string) =>
  openBuilder({
    jobsFolder: office.jobs,
    outputFolder: join(office.folder, output),
    cacheFolder: join(office.folder, "cache"),
    pdfFolder: join(office.folder, "pdf"),
    fresh: false,
    limits: COMPUTE_LIMITS,
    lanes: 1,
  });
const buildInto = async (output: string, shard?: Shard) => {
  const builder = builderFor(output);
  try {
    return await builder.build("all", "no-pdfs", () => undefined, shard);
  } finally {
    await builder.close();
  }
};
const joinInto = async (output: string, parts: readonly string[]) => {
  const builder = builderFor(output);
  try {
    return await builder.join(
      parts.map((part) => join(office.folder, part)),
      () => undefined,
    );
  } finally {
    await builder.close();
  }
};
const treeOf = (output: string) => {
  const folder = join(office.folder, output);
  const files = readdirSync(folder, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
  return new Map(
    files
      .map((entry) => join(entry.parentPath, entry.name))
      .sort()
      .map((path) => [path.slice(folder.length + 1), readFileSync(path, "utf8")]),
  );
};

describe("two parts of four jobs", () => {
  test("hold each its own jobs, and joined are the whole", async () => {
    await buildInto("whole");
    const [one, two] = [
      await buildInto("part-1", { number: 1, of: 2 }),
      await buildInto("part-2", { number: 2, of: 2 }),
    ];
    expect(one.jobs.map(({ jobId }) => jobId)).toEqual(["attic", "broken"]);
    expect(two.jobs.map(({ jobId }) => jobId)).toEqual(["bath", "cellar"]);
    expect(await joinInto("joined", ["part-2", "part-1"])).toMatchObject({ jobs: 3, broken: [{ jobId: "broken" }] });
    const [whole, joined] = [treeOf("whole"), treeOf("joined")];
    expect([...joined.keys()]).toEqual([...whole.keys()]);
    expect([...whole].filter(([path, text]) => joined.get(path) !== text).map(([path]) => path)).toEqual([]);
    expect(whole.get("index.html")).toContain("NOT BUILT</span>broken");
    expect(whole.has(join("cellar", "packet.json"))).toBe(true);
  });

  test("a cell that a table program would take for a formula is text in the CSV", () => {
    expect(treeOf("joined").get("jobs.csv")).toMatch(/^attic,'=attic,/m);
  });

  test("a part that is missing, there twice, or of another split is named, and nothing is joined", async () => {
    await expect(joinInto("none", ["part-1"])).rejects.toThrow("Part 2 of 2 is missing");
    await expect(joinInto("none", ["part-1", "part-1", "part-2"])).rejects.toThrow("Part 1 of 2 is there twice");
    await expect(joinInto("none", ["part-1", "whole"])).rejects.toThrow(/whole is no part of a build/);
    expect(readdirSync(join(office.folder, "none"))).toEqual([]);
  });
});
