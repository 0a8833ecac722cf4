import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Material } from "../../src/job/library-model.ts";
import { edgeLimit, USUAL_MARGIN } from "../../src/pour/edge-limit.ts";
import { madeJob, madeRoom, rectangle } from "../layout/made-job.ts";

const base = madeJob([madeRoom("hall", rectangle(0, 0, 4, 4))]);
const limitOf = (material: Partial<Material>, pour: Partial<typeof base.pour> = {}) =>
  edgeLimit({ material: { ...base.material, ...material }, pour: { ...base.pour, ...pour } });

describe("how old a fresh edge may grow", () => {
  test("the least of the data sheet's times, less the margin", () => {
    expect(limitOf({ flowTime: 15, healingTime: 10 })).toMatchObject({ least: 10, limit: 10 - USUAL_MARGIN });
    expect(limitOf({ flowTime: 9, healingTime: 12 }, { edgeMargin: 2 })).toMatchObject({ least: 9, limit: 7 });
  });

  test("a time that was not read leaves no limit at all", () => {
    const { least, limit, missing } = limitOf({ flowTime: 15 });
    expect([least, limit, missing]).toEqual([undefined, undefined, ["healing-time"]]);
  });

  const table = [
    { temperature: 10, flowTime: 20, healingTime: 16 },
    { temperature: 20, flowTime: 15, healingTime: 10 },
    { temperature: 30, flowTime: 10, healingTime: 6 },
  ];
  const warm = { flowTime: 15, healingTime: 10, timesAt: table };

  test("between two rows of the table the shorter counts; at a row, that row; never longer than the sheet's own time", () => {
    expect(limitOf(warm, { slabTemperature: 25 }).least).toBe(6);
    expect(limitOf(warm, { slabTemperature: 30 }).least).toBe(6);
    expect(limitOf(warm, { slabTemperature: 20 }).least).toBe(10);
    expect(limitOf(warm, { slabTemperature: 12 }).least).toBe(10);
    expect(limitOf({ ...warm, flowTime: 30, healingTime: 20 }, { slabTemperature: 10 }).least).toBe(16);
  });

  test("beyond the table, and where the job expects no temperature, there is no limit", () => {
    for (const slabTemperature of [5, 35])
      expect(limitOf(warm, { slabTemperature }).missing).toEqual(["times-at-temperature"]);
    expect(limitOf(warm).limit).toBeUndefined();
  });

  /** No limit means that nothing is poured: shorter than any. */
  const strictness = (material: Partial<Material>, slabTemperature?: number): number =>
    limitOf(material, slabTemperature === undefined ? {} : { slabTemperature }).limit ?? Number.NEGATIVE_INFINITY;

  test("leaving out a time, or a row, never lengthens the limit", () => {
    const time = fc.double({ min: 4, max: 40, noNaN: true });
    fc.assert(
      fc.property(
        time,
        time,
        fc.uniqueArray(fc.integer({ min: 5, max: 35 }), { maxLength: 5 }),
        time,
        fc.option(fc.integer({ min: 0, max: 40 }), { nil: undefined }),
        (flowTime, healingTime, temperatures, atCold, expected) => {
          // Warmer is quicker, as on any data sheet.
          const timesAt = temperatures
            .toSorted((p, q) => p - q)
            .map((temperature, k) => ({
              temperature,
              flowTime: atCold / (1 + k / 3),
              healingTime: atCold / (1.5 + k / 3),
            }));
          const whole = { flowTime, healingTime, timesAt };
          const limit = strictness(whole, expected);
          expect(strictness({ flowTime, timesAt }, expected)).toBeLessThanOrEqual(limit);
          for (let k = 0; k < timesAt.length; k++) {
            if (timesAt.length > 1) {
              expect(strictness({ ...whole, timesAt: timesAt.toSpliced(k, 1) }, expected)).toBeLessThanOrEqual(limit);
            }
            const { temperature, flowTime: flows } = timesAt[k]!;
            const healless = timesAt.with(k, { temperature, flowTime: flows } as (typeof timesAt)[0]);
            expect(strictness({ ...whole, timesAt: healless }, expected)).toBeLessThanOrEqual(limit);
          }
        },
      ),
      { numRuns: 300, seed: 7 },
    );
  });
});
