/** One packet each: a file of tests for each of them is quick, and fails early. */
import { expect, test } from "vitest";
import { type CHECKED_JOBS, checksOf, readKept } from "./numbers.ts";

export function holdChecks(id: (typeof CHECKED_JOBS)[number]): void {
  test(`the check says of every kind of wrong number in the packet of ${id} what it said`, {
    timeout: 240_000,
  }, async () => {
    expect(await checksOf(id)).toEqual(readKept().checks[id]);
  });
}
