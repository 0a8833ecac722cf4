/** The days before, counted back from the pour; what the lead checks; pallets, water and power. */
import { describe, expect, test } from "vitest";
import { point } from "../../src/geometry/point.ts";
import type { Primer } from "../../src/job/library-model.ts";
import type { FloorCondition, Job } from "../../src/job/model.ts";
import type { PrepStepKind } from "../../src/pour/model.ts";
import { madeRoom, rectangle } from "../layout/made-job.ts";
import { doorOut, planned, pourJob, withDoors } from "./made-pour.ts";

const hall = madeRoom("hall", rectangle(0, 0, 6, 4));
const oneHall = withDoors(hall, doorOut(hall, 1, 0.2, 1));

const jobOn = (floor: Partial<FloorCondition>, primer: Partial<Primer> = {}): Job => {
  const job = pourJob([oneHall]);
  const depthOn = {
    concrete: { least: 3, greatest: 50 },
    wood: { least: 3, greatest: 50 },
    "old-covering": { least: 3, greatest: 50 },
  };
  return {
    ...job,
    floor: { ...job.floor, ...floor },
    primer: { ...job.primer, ...primer },
    material: { ...job.material, depthOn },
  };
};
const stepsOf = (job: Job) => planned(job, () => 10).plan.daysBefore;
const kinds = (job: Job): PrepStepKind[] => stepsOf(job).map(({ step }) => step);
const doneBefore = (job: Job, step: PrepStepKind): number => stepsOf(job).find((one) => one.step === step)!.doneBefore;

describe("the days before", () => {
  test("each substrate asks for its own steps", () => {
    const concrete = kinds(jobOn({ substrate: "concrete" }));
    const wood = kinds(jobOn({ substrate: "wood" }));
    const covering = kinds(jobOn({ substrate: "old-covering" }));
    expect(concrete).toEqual(expect.arrayContaining(["moisture-tests", "cracks-filled", "profile"]));
    expect(wood).toEqual(expect.arrayContaining(["boards-fastened", "gaps-sealed"]));
    expect(wood).not.toContain("moisture-tests");
    // Whatever is under an old covering is tested before anyone scrapes it.
    expect(covering.indexOf("asbestos-and-lead")).toBeLessThan(covering.indexOf("adhesive-removed"));
    expect(covering.indexOf("bond-checked")).toBeLessThan(covering.indexOf("profile"));
    expect(concrete.indexOf("asbestos-and-lead")).toBeLessThan(concrete.indexOf("profile"));
  });

  test("earliest first, and what hangs together in its order: clean, vacuum, prime, then strips, dams and pins", () => {
    const job = jobOn({ absorbency: "porous" }, { dryingTime: 180, openTime: 1440 });
    const steps = stepsOf(job);
    for (let k = 1; k < steps.length; k++) expect(steps[k]!.doneBefore).toBeLessThanOrEqual(steps[k - 1]!.doneBefore);
    const order = kinds(job);
    const inOrder: PrepStepKind[] = ["profile", "clean", "vacuum", "prime", "perimeter-strip", "pins-checked"];
    for (let k = 1; k < inOrder.length; k++)
      expect(order.indexOf(inOrder[k - 1]!), inOrder[k]).toBeLessThan(order.indexOf(inOrder[k]!));
    expect(doneBefore(job, "prime")).toBe(180);
    // 48 h before the pour.
    expect(doneBefore(job, "conditioning-on")).toBe(48 * 60);
  });

  test("a second coat waits for the first, and both dry before the pour", () => {
    const coat = { waterToOne: 3, coverage: 5 };
    const job = jobOn({ absorbency: "porous" }, { dryingTime: 180, coatsOn: { porous: [coat, coat], dense: [coat] } });
    expect(doneBefore(job, "prime")).toBe(360);
    expect(doneBefore(job, "second-coat")).toBe(180);
    expect(kinds(jobOn({ absorbency: "dense" }))).not.toContain("second-coat");
  });

  test("a drying time that was not read is said to be unknown, and so is all that waits for it", () => {
    const steps = stepsOf(jobOn({}));
    expect(steps.filter(({ timeUnknown }) => timeUnknown).map(({ step }) => step)).toEqual(
      expect.arrayContaining(["prime", "vacuum", "pins-placed"]),
    );
    expect(stepsOf(jobOn({}, { dryingTime: 120 })).some(({ timeUnknown }) => timeUnknown)).toBe(false);
  });

  test("primer is not put down before its open time would run out", () => {
    const job = jobOn({}, { dryingTime: 120, openTime: 1200 });
    expect(stepsOf(job).find(({ step }) => step === "prime")!.notBefore).toBe(1200);
    const { plan, warnings } = planned(jobOn({}, { dryingTime: 8, openTime: 10 }), () => 10);
    expect(plan.goNoGo.primerLatestStart).toBeLessThan(0);
    expect(warnings.map(({ code }) => code)).toContain("primer-closes");
  });

  test("a suspended floor waits for whoever accepts it, and nothing is staged on it", () => {
    const { plan } = planned(jobOn({ support: "suspended" }), () => 10);
    expect(plan.daysBefore.map(({ step }) => step)).toContain("structure-accepted");
    expect(plan.logistics.holdStaging).toBe(true);
  });
});

describe("go or no-go, and what stands where", () => {
  test("values from the data sheet and the plan, nothing in place of what was not read", () => {
    const job = jobOn({}, { dryingTime: 120, openTime: 1200 });
    const material = {
      ...job.material,
      slabTemperatures: { least: 10, greatest: 30 },
      flowRing: { least: 125, greatest: 145, everyBatches: 5 },
    };
    const { plan, quantities } = planned({ ...job, material }, () => 10);
    expect(plan.goNoGo).toMatchObject({
      slabTemperatures: { least: 10, greatest: 30 },
      bags: quantities.bags.toOrder,
      primerDry: 120,
      primerLatestStart: 1200 - plan.duration,
    });
    expect(plan.goNoGo.waterTemperatures).toBeUndefined();
    // 5 °F are 25/9 K.
    expect(plan.goNoGo.aboveDewPointC).toBeCloseTo(25 / 9, 12);
    expect(plan.goNoGo.flowRing!.batches).toEqual([1, 6]);
    expect(plan.batches.length).toBeGreaterThan(6 - 1);
    expect(plan.batches.length).toBeLessThan(11);
  });

  test("pallets in order at the places of the job, with the bags on each", () => {
    const palletsAt = [point(8, 1), point(8, 3)];
    const { plan, quantities } = planned(pourJob([oneHall], { pour: { bagsPerPallet: 6, palletsAt } }), () => 10);
    const { pallets } = plan.logistics;
    expect(pallets).toHaveLength(quantities.pallets);
    expect(pallets[0]).toEqual({ number: 1, firstBag: 1, lastBag: 6, at: palletsAt[0] });
    expect(pallets[2]!.at).toEqual(palletsAt[0]);
    expect(pallets.at(-1)!.lastBag).toBe(quantities.bags.toOrder);
  });

  test("water and power by the crew's pace", () => {
    const { plan } = planned(pourJob([oneHall], { crew: { mixerPower: 1.6, barrels: 2, barrelCycle: 6 } }), () => 10);
    // Two bags of 5 qt every 3 min.
    expect(plan.logistics.waterRate).toBeCloseTo((2 * 5 * 0.946352946) / 3, 9);
    expect(plan.logistics.power).toBeCloseTo(3.2, 12);
  });
});
