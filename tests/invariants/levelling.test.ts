/** What must not change a survey's levels, for random nets and readings. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Reading, SetUp } from "../../src/job/model.ts";
import { adjustSurvey } from "../../src/survey/adjust-levels.ts";
import type { AdjustedLevels } from "../../src/survey/model.ts";
import { millimetres } from "../../src/units.ts";
import { gridPlan, LITRES_PER_BAG, reading, setUp, surveyOf } from "../survey/fixtures.ts";

const plan = gridPlan(4, 5, 2);
const ids = plan.points.map((one) => one.id);

/** Two to four set-ups, each reading a run of points that reaches into the next. */
const nets = fc
  .record({
    count: fc.integer({ min: 2, max: 4 }),
    overlap: fc.integer({ min: 1, max: 4 }),
    levels: fc.array(fc.integer({ min: -400, max: 400 }), { minLength: 20, maxLength: 20 }),
    errors: fc.array(fc.integer({ min: -15, max: 15 }), { minLength: 60, maxLength: 60 }),
    zeros: fc.array(fc.integer({ min: -900, max: 900 }), { minLength: 4, maxLength: 4 }),
  })
  .map(({ count, overlap, levels, errors, zeros }): SetUp[] => {
    const each = Math.ceil(ids.length / count);
    let k = 0;
    return Array.from({ length: count }, (_, s) => {
      const readings: Reading[] = [];
      for (let j = s * each; j < Math.min(ids.length, (s + 1) * each + overlap); j++)
        readings.push(reading(ids[j]!, (levels[j]! - zeros[s]! + errors[k++ % errors.length]!) / 10));
      return setUp(`S${s + 1}`, 0.6 + s / 4, readings);
    });
  });

function adjusted(setUps: readonly SetUp[]): AdjustedLevels {
  const outcome = adjustSurvey(surveyOf(setUps), [], plan, LITRES_PER_BAG, "not surveyed");
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return outcome.value;
}

const moved = (one: SetUp, byMm: number): SetUp => ({
  ...one,
  readings: one.readings.map((each) => ({ ...each, level: millimetres(each.level + byMm) })),
});

function expectSameLevels(actual: AdjustedLevels, expected: AdjustedLevels, shiftMm = 0): void {
  expect(actual.points.map((one) => one.id)).toEqual(expected.points.map((one) => one.id));
  actual.points.forEach((one, k) => {
    expect(one.level).toBeCloseTo(expected.points[k]!.level + shiftMm, 7);
    expect(one.sd).toBeCloseTo(expected.points[k]!.sd, 9);
  });
}

const RUNS = { numRuns: 40, seed: 20_27 };

describe("levels", () => {
  it("do not ask where the zero of a set-up that is tied to the first stood", () => {
    fc.assert(
      fc.property(nets, fc.integer({ min: -5000, max: 5000 }), (setUps, by) => {
        const before = adjusted(setUps);
        const after = adjusted(setUps.map((one, s) => (s === 1 ? moved(one, by) : one)));
        expectSameLevels(after, before);
        expect(after.report.setUps[1]!.zeroCorrection).toBeCloseTo(before.report.setUps[1]!.zeroCorrection - by, 6);
        after.report.readings.forEach((one, k) => {
          const same = before.report.readings[k]!;
          if (one.kind !== "used" || same.kind !== "used") throw new Error("not used");
          expect(one.residual).toBeCloseTo(same.residual, 6);
        });
      }),
      RUNS,
    );
  });
  it("move with all readings together", () => {
    fc.assert(
      fc.property(nets, fc.integer({ min: -5000, max: 5000 }), (setUps, by) => {
        expectSameLevels(adjusted(setUps.map((one) => moved(one, by))), adjusted(setUps), by);
      }),
      RUNS,
    );
  });
  it("do not depend on the order of readings within a set-up, nor of the set-ups after the first", () => {
    fc.assert(
      fc.property(nets, (setUps) => {
        const [first, ...rest] = setUps.map((one) => ({ ...one, readings: one.readings.toReversed() }));
        expectSameLevels(adjusted([first!, ...rest.reverse()]), adjusted(setUps));
      }),
      RUNS,
    );
  });
  it("scale with the unit: readings and standard deviations ten times as large", () => {
    fc.assert(
      fc.property(nets, (setUps) => {
        const before = adjusted(setUps);
        const after = adjusted(
          setUps.map((one) => ({
            ...one,
            instrument: { ...one.instrument, readingSd: millimetres(10 * one.instrument.readingSd) },
            readings: one.readings.map((each) => ({ ...each, level: millimetres(10 * each.level) })),
          })),
        );
        after.points.forEach((one, k) => {
          expect(one.level).toBeCloseTo(10 * before.points[k]!.level, 6);
          expect(one.sd).toBeCloseTo(10 * before.points[k]!.sd, 8);
        });
        if (before.report.global.kind === "tested" && after.report.global.kind === "tested")
          expect(after.report.global.sumOfSquares).toBeCloseTo(before.report.global.sumOfSquares, 6);
      }),
      RUNS,
    );
  });
  it("a struck reading is as if it had not been typed", () => {
    fc.assert(
      fc.property(nets, fc.nat(), (setUps, which) => {
        const s = which % setUps.length;
        // Not one that ties: the set-up could come loose.
        const own = setUps[s]!.readings.findIndex(
          ({ pointId }) => setUps.filter((one) => one.readings.some((each) => each.pointId === pointId)).length === 1,
        );
        fc.pre(own >= 0);
        const struck = setUps.map((one, k) =>
          k === s
            ? {
                ...one,
                readings: one.readings.map((each, j) => (j === own ? { ...each, struck: { reason: "kicked" } } : each)),
              }
            : one,
        );
        const gone = setUps.map((one, k) =>
          k === s ? { ...one, readings: one.readings.filter((_, j) => j !== own) } : one,
        );
        expectSameLevels(adjusted(struck), adjusted(gone));
      }),
      RUNS,
    );
  });
});
