/** A quarter of the drawn jobs each: a file of tests for each of them is quick, and fails early. */
import { expect, test } from "vitest";
import { digestsOf, drawnJob, readKept } from "./numbers.ts";

export function holdQuarter(quarter: 0 | 1 | 2 | 3): void {
  const kept = Object.entries(readKept().drawnJobs).filter((_, k) => k % 4 === quarter);
  test.each(kept)("every stage of the job that seed %s draws says what it said", (seed, digests) => {
    const findings = drawnJob(Number(seed));
    expect(findings && digestsOf(findings)).toEqual(digests);
  });
}
