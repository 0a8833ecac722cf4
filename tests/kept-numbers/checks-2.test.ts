import { expect, test } from "vitest";
import { checksOf, readKept } from "./numbers.ts";

test.each(["wren-gate-store", "alder-court-laundry"] as const)(
  "the check says of every kind of wrong number in the packet of %s what it said",
  { timeout: 240_000 },
  async (id) => {
    expect(await checksOf(id)).toEqual(readKept().checks[id]);
  },
);
