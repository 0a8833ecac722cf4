/** The job that anyone can do by head, through every stage from readings to batches. */
import { describe, expect, test } from "vitest";
import { measureDepths } from "../../src/depths/measure-depths.ts";
import type { Depths } from "../../src/depths/model.ts";
import type { Outcome } from "../../src/diagnostics.ts";
import { height, volume } from "../../src/format.ts";
import type { Job } from "../../src/job/model.ts";
import { layOut } from "../../src/layout/lay-out.ts";
import type { MixingSchedule } from "../../src/pour/model.ts";
import { planPour } from "../../src/pour/plan-pour.ts";
import { countQuantities } from "../../src/quantities/count-quantities.ts";
import type { Quantities } from "../../src/quantities/model.ts";
import { surfaceOf } from "../../src/slab/surface-of.ts";
import { adjustLevels } from "../../src/survey/adjust-levels.ts";
import { placeTarget } from "../../src/target/place-target.ts";
import { FOOT, madeDoor, madeJob, madeReading, madeRoom, rectangle } from "../layout/made-job.ts";

function value<T>(outcome: Outcome<T>): T {
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return outcome.value;
}

function throughAllStages(job: Job): { depths: Depths; quantities: Quantities; schedule: MixingSchedule } {
  const plan = value(layOut(job));
  const levels = value(adjustLevels(job, plan));
  const slab = value(surfaceOf(plan, levels));
  const target = value(placeTarget(job, plan, levels, slab));
  const depths = value(measureDepths(job, plan, levels, slab, target));
  const quantities = value(countQuantities(job, depths));
  return { depths, quantities, schedule: value(planPour(job, plan, depths, quantities)) };
}

const bare = madeRoom("hall", rectangle(0, 0, 20 * FOOT, 20 * FOOT));
const gridIds = ["A", "B", "C", "D"].flatMap((letter) => [1, 2, 3, 4].map((number) => `${letter}${number}`));

describe("20 × 20 ft, 10 mm low everywhere, 0.50 ft³ a bag", () => {
  test.each([
    ["below zero in mm, zero at the top", -10, 0, "mm"],
    ["above zero in mm, the top 30 mm above", 20, 30, "mm"],
    ["below zero in inches", -0.393700787401575 * 25.4, 0, "in"],
    ["zero itself, the top 10 mm above", 0, 10, "mm"],
  ] as const)("%s → 371.6 L, 26.25, so 27 bags", (_, level, top, unit) => {
    const readings = gridIds.map((id, k) => madeReading(id, level, k + 1));
    const base = madeJob([bare], { units: { plan: "ft-in", height: unit } }, readings);
    const job: Job = { ...base, target: { kind: "level", top, zeroIsTop: top === 0 } };
    const { depths, quantities, schedule } = throughAllStages(job);
    expect(volume(depths.volumeToOrder, "m").large.number).toBe("371.6");
    expect(quantities.bags.neat.toFixed(2)).toBe("26.25");
    expect(quantities.bags.toOrder).toBe(27);
    expect(schedule.batches).toHaveLength(14);
    expect(schedule.batches.at(-1)!.cumulativeBags).toBe(27);
    expect([depths.highSpots, depths.contours]).toEqual([[], []]);
    expect(depths.bands).toHaveLength(1);
    for (const { depth, cut } of depths.pins) {
      expect(height(depth, unit).large.text).toBe(unit === "mm" ? "10\u00a0mm" : "3/8\u00a0in");
      expect(cut.kind).toBe("cut");
    }
  });

  test("a doorway in a 6 in wall adds 3 ft × 6 in of floor; its pins are interpolated and all to be checked", () => {
    const room = { ...bare, doors: [madeDoor(bare, "D1", 0, 3 * FOOT, 3 * FOOT, 0.5 * FOOT)] };
    const job = madeJob(
      [room],
      {},
      gridIds.map((id, k) => madeReading(id, -10, k + 1)),
    );
    const { depths } = throughAllStages(job);
    expect(depths.area).toBeCloseTo(401.5 * FOOT * FOOT, 9);
    expect(depths.volumeToOrder).toBeCloseTo(401.5 * FOOT * FOOT * 10, 4);
    const atDoor = depths.pins.filter(({ pin }) => pin.doorId === "D1");
    expect(atDoor).toHaveLength(2);
    for (const { from, checkOnTheDay, depth } of atDoor)
      expect({ from, checkOnTheDay, depth }).toEqual({ from: "interpolated", checkOnTheDay: true, depth: 10 });
  });
});
