/** The index in a real browser from the file system, and the tables for other programs. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { indexEntryOf } from "../../src/pages/index-entry.ts";
import { jobIndex } from "../../src/pages/job-index.ts";
import { jobsCsv, jobsJson } from "../../src/pages/jobs-table.ts";
import { madeSummary } from "../bench/made-archive.ts";
import { lookAtIndex, PATTERN } from "./index-in-browser.ts";

const folder = mkdtempSync(join(tmpdir(), "index-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const made = Array.from({ length: 500 }, (_, number) => indexEntryOf(madeSummary(number, PATTERN)));

test("500 jobs: every word must be found, the deepest come first, a pageful is shown, nothing is asked of a network", async () => {
  const { found, rowsShown, deepest, errors } = await lookAtIndex(folder, 500, "harbour 2019");
  expect(errors).toEqual([]);
  const hits = made.filter(({ client, year }) => client.startsWith("Harbour") && year === "2019");
  expect(hits.length).toBeGreaterThan(0);
  expect(found).toBe(`${hits.length} of 500 jobs`);
  expect(rowsShown).toBe(Math.min(100, hits.length));
  const depths = deepest.map((title) => made.find((entry) => entry.title === title)?.greatestDepthMm);
  const greatest = Math.max(...made.map(({ greatestDepthMm }) => greatestDepthMm ?? 0));
  expect(depths[0]).toBe(greatest);
});

test("what a job file says cannot leave the data of the page", () => {
  const { data } = jobIndex(
    [{ ...(made[0] as (typeof made)[number]), title: "</script><script>alert(1)</script>" }],
    [],
  );
  expect(data).not.toContain("<");
  expect(JSON.parse(data)[0][1]).toBe("</script><script>alert(1)</script>");
});

test("CSV: formulas are text, quotes are doubled, lines end as RFC 4180 has it; JSON has the same jobs", () => {
  const [entry] = made;
  const nasty = ["=1+1", "+1", "-1", "@x", "\t=1", 'a "b", c', "line\nbreak"].map((title, k) => ({
    ...(entry as (typeof made)[number]),
    jobId: `j${k}`,
    title,
  }));
  const lines = jobsCsv(nasty).split("\r\n");
  expect(lines.at(-1)).toBe("");
  const cells = lines.slice(1, -1).map((line) => line.slice(line.indexOf(",") + 1));
  for (const wanted of ["'=1+1,", "'+1,", "'-1,", "'@x,", "'\t=1,", '"a ""b"", c",', '"line\nbreak",'])
    expect(
      cells.some((cell) => cell.startsWith(wanted)),
      wanted,
    ).toBe(true);
  expect(JSON.parse(jobsJson(nasty)).jobs).toHaveLength(7);
});
