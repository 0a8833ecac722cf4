import fc from "fast-check";
import { expect, test } from "vitest";
import { bandLimits } from "../../src/depths/classes.ts";
import { decimal, inches } from "../../src/format.ts";

const inch = 25.4;

test.each([
  ["mm", 4, 37, 3, [3, 10, 20, 30, 40]],
  ["mm", 1, 37, 3, [0, 3, 10, 20, 30, 40]],
  ["mm", -6, 37, 3, [undefined, 0, 3, 10, 20, 30, 40]],
  ["mm", -6, 12, 3, [undefined, 0, 3, 5, 10, 15]],
  ["mm", 10, 10, 3, [10, 11]],
  ["mm", 9.6, 10.2, 3, [9, 10, 11]],
  ["mm", 3, 3, 3, [3, 4]],
  ["in", 0.3 * inch, 1.6 * inch, 0.125 * inch, [6.35, 12.7, 19.05, 25.4, 31.75, 38.1, 44.45]],
] as const)("%s, from %d to %d, at least %d", (unit, least, greatest, allowed, limits) => {
  expect(bandLimits(unit, least, greatest, allowed).map((v) => v && Math.round(v * 1e6) / 1e6)).toEqual(limits);
});

test("at most six bands, limits rising and printed exactly, every depth in one of them", () => {
  fc.assert(
    fc.property(
      fc.constantFrom("mm" as const, "in" as const),
      fc.double({ min: -60, max: 60, noNaN: true }),
      fc.double({ min: 0, max: 120, noNaN: true }),
      fc.double({ min: 0.5, max: 20, noNaN: true }),
      (unit, least, over, allowed) => {
        const greatest = Math.max(least + over, allowed);
        const limits = bandLimits(unit, least, greatest, allowed);
        expect(limits.length).toBeLessThanOrEqual(7);
        expect(limits.slice(1).every((v, k) => v! > (limits[k] ?? Number.NEGATIVE_INFINITY))).toBe(true);
        expect(limits[0] ?? Number.NEGATIVE_INFINITY).toBeLessThanOrEqual(least);
        expect(limits.at(-1)!).toBeGreaterThanOrEqual(greatest);
        for (const limit of limits) {
          if (limit === undefined || limit === allowed) continue;
          const printed =
            unit === "mm"
              ? Number(
                  decimal(limit, 0)
                    .replace("\u2212", "-")
                    .replace(/\u00a0/g, ""),
                )
              : limit;
          expect(printed).toBeCloseTo(limit, 5);
          if (unit === "in") expect((limit / inch) * 16).toBeCloseTo(Math.round((limit / inch) * 16), 4);
        }
        expect(inches(limits.at(-1)!, 16).text).toMatch(/in$/);
      },
    ),
    { seed: 11, numRuns: 300 },
  );
});
