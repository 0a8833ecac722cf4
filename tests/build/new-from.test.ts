/** `new --from`: a job like another one, its survey planned, the readings blank. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { plannedJob } from "../../src/cli/new-verb.ts";
import { withSetUps } from "../../src/cli/planned-readings.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { projectFolder } from "./small-job.ts";

const { library } = loadLibrary(`${projectFolder}jobs`);
const fileOf = (id: string) => ({
  file: `jobs/${id}.yaml`,
  text: readFileSync(`${projectFolder}jobs/${id}.yaml`, "utf8"),
});

test("keeps rooms, rules and material of the other job, plans its set-ups, and leaves every reading blank", async () => {
  const source = fileOf("larkspur-offices");
  const made = plannedJob({ id: "larkspur-again", ...source }, library, await loadSolver());
  expect(made.problems).toEqual([]);
  const { job } = readJob(made.text!, "jobs/larkspur-again.yaml", library);
  const before = readJob(source.text, source.file, library).job;
  expect(job?.id).toBe("larkspur-again");
  expect(job?.survey.setUps.map(({ id, readings }) => [id, readings.length])).toEqual([
    ["S1", 0],
    ["S2", 0],
  ]);
  expect(job?.rooms).toEqual(before?.rooms);
  expect(job?.survey.adjustment).toEqual(before?.survey.adjustment);
  expect(job?.contract).toEqual(before?.contract);
  // The reservoir stands to the inch: 44 ft and 2 ft 6 in.
  expect(job?.survey.setUps[0]?.reservoir?.x).toBeCloseTo(44 * 0.3048, 9);
  expect(made.text).toContain("#   - { after: 20, reading: , at: }");
}, 60_000);

test("says what a job without planning wants, and refuses an id that cannot be a file", async () => {
  const solve = await loadSolver();
  const bath = plannedJob({ id: "bath-again", ...fileOf("maple-loft-bath") }, library, solve);
  expect(bath.problems.map(({ code }) => code)).toEqual(["nothing-to-plan-from"]);
  const named = plannedJob({ id: "No Such Id", ...fileOf("larkspur-offices") }, library, solve);
  expect(named.text).toBeUndefined();
  expect(named.problems).toHaveLength(1);
});

test("set-ups go where the old ones stood, or to the end of the survey; what follows stays", () => {
  const setUps = "  set_ups:\n    - id: S1\n";
  const rest = "target: { top: 0 mm }\n";
  const grid = "job: a\nsurvey:\n  grid: { spacing: 6' }\n";
  expect(withSetUps(`${grid}\n${rest}`, "b", setUps)).toBe(`${grid.replace("job: a", "job: b")}${setUps}\n${rest}`);
  const old = "  set_ups:\n    - id: L1\n      readings: |\n        A  1\n\n        B  2\n";
  const rules = "  adjustment: {}\n";
  expect(withSetUps(grid + old + rules + rest, "b", setUps)).toBe(
    grid.replace("job: a", "job: b") + setUps + rules + rest,
  );
  expect(withSetUps(`${grid}  scan:\n    file: a.csv\n    sd: 1 mm\n${rest}`, "b", setUps)).toBe(
    grid.replace("job: a", "job: b") + setUps + rest,
  );
  expect(withSetUps("job: a\nsurvey: { grid: {} }\n", "b", setUps)).toBeUndefined();
});
