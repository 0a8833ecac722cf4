/** The days before, counted back from the pour; what the lead checks; pallets, water and power. */
import { describe, expect, test } from "vitest";
import { point } from "../../src/geometry/point.ts";
import type { Primer } from "../../src/job/library-model.ts";
import type { FloorCondition, Job } from "../../src/job/model.ts";
import type { PrepStepKind } from "../../src/pour/model.ts";
import { madeRoom, rectangle } from "../layout/made-job.ts";
import { doorOut, outcomeOf, planned, pourJob, withDoors } from "./made-pour.ts";

const hall = madeRoom("hall", rectangle(0, 0, 6, 4));
const oneHall = withDoors(hall, doorOut(hall, 1, 0.2, 1));

const jobOn = (floor: Partial<FloorCondition>, primer: Partial<Primer> = {}): Job => {
  const job = pourJob([oneHall]);
  const depthOn = {
    concrete: { least: 3, greatest: 50 },
    wood: { least: 3, greatest: 50 },
    "old-tile": { least: 3, greatest: 50 },
    "old-adhesive": { least: 3, greatest: 50 },
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
    const tile = kinds(jobOn({ substrate: "old-tile" }));
    const adhesive = kinds(jobOn({ substrate: "old-adhesive" }));
    expect(concrete).toEqual(expect.arrayContaining(["moisture-tests", "cracks-filled", "profile"]));
    expect(wood).toEqual(expect.arrayContaining(["boards-fastened", "gaps-sealed"]));
    expect(wood).not.toContain("moisture-tests");
    // Old tile and old adhesive are tested for asbestos before anyone breaks, scrapes or abrades them.
    expect(tile.indexOf("asbestos-and-lead")).toBeLessThan(tile.indexOf("tiles-sounded"));
    expect(adhesive.indexOf("asbestos-and-lead")).toBeLessThan(adhesive.indexOf("adhesive-removed"));
    expect(tile.indexOf("tiles-sounded")).toBeLessThan(tile.indexOf("tiles-abraded"));
    expect(adhesive.indexOf("adhesive-removed")).toBeLessThan(adhesive.indexOf("profile"));
    expect(tile).not.toContain("adhesive-removed");
    expect(adhesive).not.toContain("tiles-abraded");
    // The slab under either still gives off moisture.
    expect(tile).toContain("moisture-tests");
    expect(adhesive).toContain("moisture-tests");
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

  test("bags by the building's lift: whole pallets where it bears them, else bag by bag", () => {
    const bag = pourJob([oneHall]).material.bag;
    const by = (load: number, way?: number) => {
      const lift = { load, roundTrip: 8, ...(way === undefined ? {} : { way }) };
      return planned(pourJob([oneHall], { pour: { bagsPerPallet: 6, palletTare: 20, goodsLift: lift } }), () => 10);
    };
    const { plan, quantities } = by(2 * (6 * bag + 20));
    const bags = quantities.bags.toOrder;
    expect(bags).toBeGreaterThan(12);
    expect(plan.logistics.goodsLift).toEqual({
      palletsATrip: 2,
      bagsATrip: 12,
      trips: Math.ceil(bags / 12),
      time: 8 * Math.ceil(bags / 12),
    });
    // One gram short of a full pallet: it is broken down, and five bags and the pallet's weight in bags go up at a time.
    const broken = by(6 * bag + 19.999, 25).plan.logistics.goodsLift!;
    expect(broken.palletsATrip).toBe(0);
    expect(broken.bagsATrip).toBe(Math.floor((6 * bag + 19.999) / bag));
    expect(broken.way).toBe(25);
    const { outcome } = outcomeOf(
      pourJob([oneHall], { pour: { goodsLift: { load: bag - 1, roundTrip: 8 } } }),
      () => 10,
    );
    expect(outcome).toMatchObject({ kind: "refused", problems: [{ code: "lift-bears-no-bag" }] });
  });

  test("a pump that mixes by itself: its flow meter, one machine's power, and no barrels beside it", () => {
    const pump = { rate: 56.8, mixesItself: true };
    const crew = { barrels: 1, bagsPerBarrel: 4, barrelCycle: 1, mixTime: 0.5, mixerPower: 7.5, pump };
    const { plan } = planned(
      pourJob([oneHall], { crew, material: { yieldPerBag: 14.2, waterPerBag: 4.75 } }),
      () => 10,
    );
    // By hand: 56.8 L a minute are 4 bags of 14.2 L, and those take 4 × 4.75 L = 19 L of water: 1140 L/h.
    expect(plan.pace.flowMeter).toBeCloseTo(19, 12);
    expect(plan.logistics.power).toBeCloseTo(7.5, 12);
    expect(plan.logistics.mixersRunning).toBe(0);
    const fed = planned(pourJob([oneHall], { crew: { ...crew, pump: { rate: 56.8 } } }), () => 10).plan;
    expect(fed.pace.flowMeter).toBeUndefined();
    const { outcome } = outcomeOf(pourJob([oneHall], { crew: { ...crew, barrels: 2 } }), () => 10);
    expect(outcome).toMatchObject({ kind: "refused", problems: [{ code: "barrels-beside-mixing-pump" }] });
  });

  test("high spots are ground on the days before only where there are any", () => {
    const steps = (depthAt: (p: { x: number }) => number) =>
      planned(pourJob([oneHall]), depthAt).plan.daysBefore.map(({ step }) => step);
    expect(steps(() => 10)).not.toContain("grind");
    expect(steps(({ x }) => (x < 2 ? -2 : 12))).toContain("grind");
  });

  test("water and power by the crew's pace", () => {
    const { plan } = planned(pourJob([oneHall], { crew: { mixerPower: 1.6, barrels: 2, barrelCycle: 6 } }), () => 10);
    // Two bags of 5 qt every 3 min.
    expect(plan.logistics.waterRate).toBeCloseTo((2 * 5 * 0.946352946) / 3, 9);
    expect(plan.logistics.power).toBeCloseTo(3.2, 12);
  });
});
