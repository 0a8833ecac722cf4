import { describe, expect, test } from "vitest";
import type { Diagnostic } from "../../src/diagnostics.ts";
import { point } from "../../src/geometry/point.ts";
import type { Job } from "../../src/job/model.ts";
import type { PourPlan } from "../../src/pour/model.ts";
import { L_PER_US_QUART, M2_PER_SQUARE_FOOT } from "../../src/units.ts";
import { FOOT, madeJob, madeRoom, madeSurvey, rectangle, turned } from "../layout/made-job.ts";
import { doorOut, outcomeOf, planned, withDoors } from "./made-pour.ts";

/** At one depth everywhere, whatever comes of the bays. */
function schedules(job: Job, depth: number): { schedule: PourPlan; warnings: readonly Diagnostic[] } {
  const { plan, warnings } = planned(job, () => depth);
  return { schedule: plan, warnings };
}

describe("batches", () => {
  test("27 bags, two barrels of two bags with a cycle of 5 min and 2.5 min of mixing, by hand", () => {
    const { schedule } = schedules(madeJob([madeRoom("hall", rectangle(0, 0, 20 * FOOT, 20 * FOOT))]), 10);
    expect(schedule.interval).toBe(2.5);
    expect(schedule.bagsPerMinute).toBeCloseTo(0.8, 12);
    expect(schedule.batches).toHaveLength(14);
    const told = schedule.batches.map(({ barrel, bags, cumulativeBags, powderMeetsWater, poured }) => [
      barrel,
      bags,
      cumulativeBags,
      powderMeetsWater,
      poured,
    ]);
    expect(told.slice(0, 3)).toEqual([
      [1, 2, 2, 0, 2.5],
      [2, 2, 4, 2.5, 5],
      [1, 2, 6, 5, 7.5],
    ]);
    // The last batch takes what is left: one bag, with the water of one bag.
    expect(told.at(-1)).toEqual([2, 1, 27, 32.5, 35]);
    expect(schedule.batches[0]!.water / L_PER_US_QUART).toBeCloseTo(10, 9);
    expect(schedule.batches.at(-1)!.water / L_PER_US_QUART).toBeCloseTo(5, 9);
    expect(schedule.duration).toBe(35);
  });

  test("each barrel has its whole cycle to itself", () => {
    const base = madeJob([madeRoom("hall", rectangle(0, 0, 20 * FOOT, 20 * FOOT))]);
    const { schedule } = schedules(
      { ...base, crew: { ...base.crew, barrels: 3, barrelCycle: 6, bagsPerBarrel: 1 } },
      10,
    );
    for (const barrel of [1, 2, 3]) {
      const own = schedule.batches.filter((batch) => batch.barrel === barrel);
      for (const [k, batch] of own.entries()) {
        if (k > 0) expect(batch.powderMeetsWater - own[k - 1]!.powderMeetsWater).toBeCloseTo(6, 9);
      }
    }
    expect(schedule.batches.at(-1)!.cumulativeBags).toBe(27);
  });
});

describe("the plain rate rule: bags a minute × yield ÷ depth = area a minute", () => {
  // Common practice. 0.8 bags a minute × 0.50 ft³ at 3/8 in cover 12.8 ft² a minute, 192 ft² in 15 min.
  const lanes = { laneWidth: 10 * FOOT };
  const job = (east: number, north: number, healingTime: number): Job => {
    const room = madeRoom("bay", rectangle(0, 0, east * FOOT, north * FOOT));
    const base = madeJob([withDoors(room, doorOut(room, 0, 40 * FOOT))]);
    return { ...base, crew: { ...base.crew, ...lanes }, material: { ...base.material, healingTime } };
  };

  test("a lane across a narrow room is covered", () => {
    const { schedule, warnings } = schedules(job(60, 12, 15), 25.4 * 0.375);
    expect(schedule.areaInFlowTime / M2_PER_SQUARE_FOOT).toBeCloseTo(192, 6);
    expect(schedule.laneArea / M2_PER_SQUARE_FOOT).toBeCloseTo(120, 6);
    expect(schedule.tooSlow).toBe(false);
    expect(schedule.kind).toBe("can-be-poured");
    expect(warnings).toEqual([]);
  });

  test("a lane across a wide one is not, and the warning says by how much", () => {
    const { schedule, warnings } = schedules(job(60, 40, 8), 25.4 * 0.375);
    expect(schedule.tooSlow).toBe(true);
    expect(schedule.kind).toBe("cannot-be-poured");
    expect(warnings.map(({ code }) => code)).toEqual(["cannot-be-poured", "slower-than-a-lane"]);
    const message = warnings[1]!.message.replaceAll("\u00a0", " ");
    expect(message).toContain("covers 192 ft²");
    expect(message).toContain(`10' 0" wide, has 400 ft²`);
  });

  test("the room with least to spare decides; turning it changes nothing", () => {
    const narrow = madeRoom("narrow", rectangle(0, 0, 60 * FOOT, 8 * FOOT));
    const wide = madeRoom("wide", turned(rectangle(0, 0, 60 * FOOT, 15 * FOOT), 0.7, [30, 10]));
    const base = madeJob([narrow, wide], { survey: madeSurvey([], { origin: point(1, 1) }) });
    const { schedule } = schedules({ ...base, crew: { ...base.crew, ...lanes } }, 25.4 * 0.375);
    expect(schedule.tightestRoomIndex).toBe(1);
    expect(schedule.laneArea / M2_PER_SQUARE_FOOT).toBeCloseTo(150, 6);
    expect(schedule.tooSlow).toBe(false);
  });
});

test("a mix that stops flowing in the barrel, and a cycle shorter than its mixing, are refused", () => {
  const base = madeJob([madeRoom("hall", rectangle(0, 0, 4, 4))]);
  const job: Job = { ...base, crew: { ...base.crew, mixTime: 15, barrelCycle: 10 } };
  const { outcome } = outcomeOf(job, () => 10);
  if (outcome.kind !== "refused") throw new Error("expected a refusal");
  expect(outcome.problems.map(({ code }) => code)).toEqual(["mix-outlasts-flow", "cycle-shorter-than-mix"]);
});
