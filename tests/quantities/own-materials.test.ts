/** Zones and wedges in materials of their own: each is filled to its own least depth and has its own bags. */
import { describe, expect, test } from "vitest";
import { point } from "../../src/geometry/point.ts";
import type { Material } from "../../src/job/library-model.ts";
import type { Job } from "../../src/job/model.ts";
import { countQuantities } from "../../src/quantities/count-quantities.ts";
import type { Quantities } from "../../src/quantities/model.ts";
import type { Meet, Target } from "../../src/target/model.ts";
import { depthsOf, measured } from "../depths/made-slab.ts";
import { madeJob, madeRoom, rectangle } from "../layout/made-job.ts";

// Two rooms of 4 × 5 m: 20 m² each.
const hall = madeRoom("hall", rectangle(0, 0, 4, 5));
const bath = madeRoom("bath", rectangle(4, 0, 4, 5));
const base = madeJob([hall, bath]);
const job: Job = {
  ...base,
  material: {
    ...base.material,
    yieldPerBag: 10,
    depthOn: { concrete: { least: 3, greatest: 50 } },
    greatestLift: 30,
    wetDensity: 2,
  },
  pour: { ...base.pour, lossAllowance: 0.1, profileAllowance: 0.5 },
};
const stiff: Material = {
  ...job.material,
  id: "stiff",
  name: "Stiff mix",
  yieldPerBag: 8,
  wetDensity: 1.8,
  depthOn: { concrete: { least: 12, greatest: 60 } },
  greatestLift: 10,
  greatestFall: 20,
};
const target = (top: number, material: Material | undefined): Target => ({
  zones: [
    { roomIndices: [0], top: 0, fallEast: 0, fallNorth: 0 },
    { roomIndices: [1], top, fallEast: 0, fallNorth: 0, ...(material ? { material } : {}) },
  ],
  steps: [],
});
const counted = (of: Target, meets: readonly Meet[] = []): Quantities => {
  const outcome = countQuantities(job, depthsOf(job, () => -10, of).depths, meets);
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return outcome.value;
};

describe("a zone in a material of its own", () => {
  // Hall 10 mm deep: 200 L. Bath 15 mm deep: 300 L. Profile 0.5 mm: 10 L each. Loss a tenth.
  const { bags, otherMaterials, wetWeight, greatestDeadLoad, meanDeadLoad } = counted(target(5, stiff));

  test("has its own bags, and the job's material has only its own floor", () => {
    // (200 + 10) × 1.1 / 10 = 23.1; (300 + 10) × 1.1 / 8 = 42.625.
    expect(bags.sum).toBeCloseTo(23.1, 9);
    expect(bags.toOrder).toBe(24);
    expect(otherMaterials).toHaveLength(1);
    const [order] = otherMaterials!;
    expect([order!.material.id, order!.roomIndices, order!.doorIds]).toEqual(["stiff", [1], []]);
    expect(order!.bags.sum).toBeCloseTo(42.625, 9);
    expect(order!.bags.toOrder).toBe(43);
    expect(order!.bagWeight).toBeCloseTo(43 * stiff.bag, 9);
    // 15 mm in lifts of 10 mm at most: two.
    expect(order!.lifts.map(({ thickness }) => thickness)).toEqual([7.5, 7.5]);
  });

  test("weighs what its own mix weighs", () => {
    // 210 L × 2 + 310 L × 1.8 = 978 kg over 40 m²; 15.5 mm × 1.8 against 10.5 mm × 2.
    expect(wetWeight).toBeCloseTo(978, 6);
    expect(meanDeadLoad).toBeCloseTo(24.45, 6);
    expect(greatestDeadLoad).toBeCloseTo(27.9, 6);
  });

  test("is filled to its own least depth, and its pins are cut or ground by it", () => {
    // At the same top the bath is 10 mm deep everywhere, less than the 12 mm that its mix needs.
    const { outcome } = measured(job, ({ x }) => (x < 6 ? -10 : -20), target(0, stiff));
    if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
    const depths = outcome.value;
    const inBath = depths.pins.filter(({ pin }) => pin.roomIndex === 1);
    expect(new Set(inBath.filter(({ depth }) => depth < 11).map(({ cut }) => cut.kind))).toEqual(
      new Set(["after-grinding"]),
    );
    expect(depths.pins.filter(({ pin }) => pin.roomIndex === 0).every(({ cut }) => cut.kind === "cut")).toBe(true);
    expect(depths.highSpots.every(({ roomIndex }) => roomIndex === 1)).toBe(true);
    expect(depths.highSpots[0]!.grind).toBeCloseTo(2, 9);
    // Hall: 10 mm × 20 m². Bath: never under 12 mm × its area.
    expect(depths.rooms[0]!.volumeToOrder).toBeCloseTo(200, 6);
    expect(depths.rooms[1]!.volumeToOrder).toBeGreaterThan(240);
    const sum = (items: readonly { area: number; volume: number }[]) =>
      items.reduce(([a, v], item) => [a! + item.area, v! + item.volume], [0, 0]);
    expect(sum(depths.bands)[0]).toBeCloseTo(depths.area, 6);
    expect(sum(depths.bands)[1]).toBeCloseTo(depths.volumeToOrder, 6);
    expect(depths.proudArea + depths.thinArea + depths.pouredArea).toBeCloseTo(depths.area, 9);
    expect(depths.thinArea).toBeGreaterThan(2);
  });

  test("the same material named again is the job's", () => {
    const again = counted(target(0, { ...job.material }));
    expect(again.otherMaterials).toHaveLength(1);
    const placed = { ...job.material, place: { file: "m.yaml", line: 3, column: 1, length: 1, lineText: "" } };
    const named: Job = { ...job, material: placed };
    const { depths } = depthsOf(named, () => -10, target(0, { ...placed }));
    expect(depths.parts).toBeUndefined();
  });
});

describe("wedges at doors", () => {
  const ramp = (material: Material): Meet => ({
    doorId: "D1",
    higherZone: 1,
    lowerZone: 0,
    lowerRoom: 0,
    step: 12,
    // 12 mm high, 1.2 m long, 1 m wide: 12 × 1.2 / 2 = 7.2 L.
    how: {
      kind: "ramp",
      length: 1.2,
      fall: 10,
      volume: 7.2,
      material,
      wedge: { head: [point(4, 1), point(4, 2)], into: { x: -1, y: 0 }, length: 1.2, rises: [12, 12] },
      onto: { material: job.material, depth: 10, rise: 12 },
    },
  });

  test("the head of a ramp weighs on the pour that it stands on", () => {
    // Rooms: (22 + 0.5) mm of the job's mix at most, 45 kg/m²; head of the ramp: (10 + 0.5) × 2 + 12 × 1.8 = 42.6.
    expect(counted(target(12, undefined), [ramp(stiff)]).greatestDeadLoad).toBeCloseTo(45, 9);
    // Both rooms 10 mm deep: 21 kg/m², and the head again 42.6.
    expect(counted(target(0, undefined), [ramp(stiff)]).greatestDeadLoad).toBeCloseTo(42.6, 9);
  });

  test("bags of all materials count against what the contract allows", () => {
    const bounded: Job = { ...job, contract: { ...job.contract, allowedBags: 70 } };
    const { depths } = depthsOf(job, () => -10, target(12, undefined));
    const outcome = countQuantities(bounded, depths, [ramp(stiff)]);
    // 73 bags and one of the ramp's.
    expect(outcome.kind === "ready" && outcome.value.againstAllowed).toEqual({ allowedBags: 70, differenceBags: 4 });
  });

  test("a ramp has bags of its material, without profile, and fills no room", () => {
    const { bags, otherMaterials } = counted(target(12, undefined), [ramp(stiff)]);
    // (200 + 440 + 20) × 1.1 / 10 = 72.6.
    expect(bags.sum).toBeCloseTo(72.6, 9);
    expect(bags.wedgeVolume).toBeUndefined();
    const [order] = otherMaterials!;
    expect([order!.roomIndices, order!.doorIds, order!.lifts]).toEqual([[], ["D1"], []]);
    // 7.2 × 1.1 / 8 = 0.99.
    expect(order!.bags.sum).toBeCloseTo(0.99, 9);
    expect(order!.bags.toOrder).toBe(1);
  });

  test("a run-out in the job's material is added to its bags", () => {
    const meet = ramp(job.material);
    const { bags, otherMaterials } = counted(target(12, undefined), [
      { ...meet, how: { ...meet.how, kind: "feather" } as Meet["how"] },
    ]);
    // 7.2 × 1.1 / 10 = 0.792 more.
    expect(bags.sum).toBeCloseTo(73.392, 9);
    expect(bags.wedgeVolume).toBeCloseTo(7.2, 9);
    expect(otherMaterials).toBeUndefined();
  });
});
