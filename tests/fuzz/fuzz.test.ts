/** A small part of the long run, with seeds of its own: no job, however typed, makes the program throw or say what is not so. */
import fc from "fast-check";
import { test } from "vitest";
import { SORTS, type Sort } from "./sorts.ts";

test.each([
  ["jobs", 86],
  ["bytes", 1900],
  ["lists", 6],
  ["packets", 8],
] as const satisfies readonly (readonly [Sort, number])[])(
  "%s: each is made, or refused at a line (%i drawn)",
  (sort, numRuns) => {
    fc.assert(
      fc.property(fc.gen(), (g) => {
        SORTS[sort](g).judge();
      }),
      { seed: 77, numRuns },
    );
  },
  900_000,
);
