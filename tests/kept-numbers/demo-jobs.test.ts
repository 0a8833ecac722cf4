/** The demo jobs' numbers are those that were kept; where they are meant to move: `npm run kept-numbers`. */
import { expect, test } from "vitest";
import { DEMO_JOBS, demoJob, digestsOf, readKept } from "./numbers.ts";

const kept = readKept().demoJobs;

test.each(DEMO_JOBS)("every stage of %s says what it said", (id) => {
  const findings = demoJob(id);
  expect(findings && digestsOf(findings)).toEqual(kept[id]);
});
