/** The referee itself: a plan that is spoilt must not pass. */
import { describe, expect, test } from "vitest";
import { point } from "../../src/geometry/point.ts";
import type { Bay, PourablePlan } from "../../src/pour/model.ts";
import { madeRoom, rectangle } from "../layout/made-job.ts";
import { doorOut, pourable, pourJob, withDoors } from "./made-pour.ts";
import { checkAges, checkBatches, checkCover, checkWays } from "./referee.ts";

const hall = madeRoom("hall", rectangle(0, 0, 12, 6));
const job = pourJob([withDoors(hall, doorOut(hall, 1, 0.2, 1))]);
const { plan, depths, layout } = pourable(job, () => 10);
const exit = point(12, 0.7);
const never = () => false;

/** The bays poured in another order, with the batches as they were. */
function reordered(order: readonly number[]): PourablePlan {
  const places = order.map((number) => plan.bays[number - 1] as Bay);
  const bays = places.map((bay, k) => ({ ...(plan.bays[k] as Bay), ...bay, number: k + 1 }));
  const numberOf = new Map(order.map((number, k) => [number, k + 1]));
  const batches = plan.batches.map((batch) => ({
    ...batch,
    pours: batch.pours.map((pour) => ({ ...pour, bayNumber: numberOf.get(pour.bayNumber)! })),
  }));
  return { ...plan, bays, batches };
}

describe("a referee that finds nothing wrong with the plan finds", () => {
  const numbers = plan.bays.map(({ number }) => number);

  test("nothing wrong", () => {
    expect(plan.bays.length).toBeGreaterThan(3);
    checkCover(plan, layout, depths.volumeToOrder, depths.area, 3);
    checkBatches(plan, job.crew.barrelCycle, job.crew.barrels);
    checkAges(plan, plan.edgeLimit.limit!, never);
    checkWays(plan, layout, [exit], []);
  });

  test("a bay that was left out, and one that is there twice", () => {
    expect(() =>
      checkCover({ ...plan, bays: plan.bays.slice(1) }, layout, depths.volumeToOrder, depths.area, 3),
    ).toThrow();
    const [first] = plan.bays;
    expect(() =>
      checkCover({ ...plan, bays: [...plan.bays, first!] }, layout, depths.volumeToOrder, depths.area, 3),
    ).toThrow();
  });

  test("an order that starts at the door", () => {
    expect(() => checkWays(reordered(numbers.toReversed()), layout, [exit], [])).toThrow();
  });

  test("batches that come late", () => {
    const late = plan.batches.map((batch) => ({
      ...batch,
      placed: batch.placed * 1.3,
      powderMeetsWater: batch.powderMeetsWater * 1.3,
    }));
    expect(() => checkAges({ ...plan, batches: late }, plan.edgeLimit.limit!, never)).toThrow();
  });

  test("an edge that nobody counted", () => {
    expect(() => checkAges({ ...plan, edges: plan.edges.slice(1) }, plan.edgeLimit.limit!, never)).toThrow();
  });

  test("a barrel that is filled before it is empty", () => {
    expect(() => checkBatches(plan, job.crew.barrelCycle + 0.1, job.crew.barrels)).toThrow();
  });
});
