/** The examples of the page on readings from files are jobs that are read without an objection. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { readJob } from "../../src/job/read-job.ts";
import { LIMITS } from "../../src/job/schema-limits.ts";
import { MOST_SHOWN } from "../../src/survey/scan-levels.ts";
import { library } from "../job/job-text.ts";

const page = readFileSync("templates/docs/lists.njk", "utf8");
const example = (id: string): string => new RegExp(`<pre id="${id}">\n([\\s\\S]*?)</pre>`).exec(page)![1]!;

const jobWith = (survey: string): string => `job: example
title: Example
units: { plan: m, height: mm }
rooms: [{ id: hall, vertices: [[0, 0], [18.02, 0], [18.02, 9], [0, 9]] }]
floor: { support: on-ground, substrate: concrete, absorbency: porous }
${survey}target: { top: 0 mm }
material: cement-25kg
crew: two-barrel
`;

test.each([
  ["list-example", "points.csv", "point,height (m)\nA1,99.9881\nA2,99.988\nB1,99.987\n"],
  ["scan-example", "scan.csv", example("scan-rows")],
])("%s is read", (id, name, csv) => {
  const beside = [{ name, file: `jobs/example/${name}`, text: csv }];
  const { job, diagnostics } = readJob(jobWith(example(id)), "jobs/example.yaml", library, beside);
  expect(diagnostics).toEqual([]);
  expect(job!.survey.scan?.xM.length ?? job!.survey.setUps[0]!.readings.length).toBe(3);
});

test("the limits on the page are those of the program", () => {
  const inWords = (value: number): string => value.toString().replace(/\B(?=(\d{3})+$)/g, ",");
  expect(page).toContain(`up to ${inWords(LIMITS.readings)} rows and ${LIMITS.fileBytes / 1e6} MB`);
  expect(page).toContain(`up to ${inWords(LIMITS.scanPoints)} rows and ${LIMITS.scanBytes / 1e6} MB`);
  expect(page).toContain(`at most some ${inWords(MOST_SHOWN)} points`);
});
