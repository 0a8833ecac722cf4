/** What the shipped jobs show of readiness: most are tested and signed, one is on HOLD on purpose, one is still to be tested. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { loadLibrary, readBesideFiles } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { layOut } from "../../src/layout/lay-out.ts";
import { jointSurveyHold } from "../../src/record/joint-survey.ts";
import { judgeReadiness } from "../../src/record/readiness.ts";

const { library } = loadLibrary("jobs");

test.each([
  ["tern-street-clinic", "accept", undefined],
  ["hollin-wharf-bay-4", "accept", undefined],
  ["maple-loft-bath", "accept", undefined],
  ["alder-court-laundry", "accept", undefined],
  ["larch-yard-studio", "accept", undefined],
  ["wren-gate-store", "accept", undefined],
  ["larkspur-offices", "refuse", ["general-contractor"]],
  ["sorrel-row-surgery", "missing", ["general-contractor", "contractor"]],
  ["test-pad", "not-required", undefined],
])("%s: tests %s, still to sign %j", (id, verdict, missing) => {
  const file = `jobs/${id}.yaml`;
  const text = readFileSync(file, "utf8");
  const { files } = readBesideFiles({ path: file, file }, text);
  const { job } = readJob(text, file, library, files);
  const plan = job && layOut(job);
  if (plan?.kind !== "ready") throw new Error(`${id} cannot be laid out`);
  expect(judgeReadiness(job!, plan.value).verdict).toBe(verdict);
  const hold = jointSurveyHold(job!, { bags: 1, from: "order", planned: 1 });
  expect(hold?.kind === "joint-survey-unsigned" ? hold.missing : undefined).toEqual(missing);
});
