import { describe, expect, test } from "vitest";
import { floorLoad } from "../../src/format.ts";
import { point } from "../../src/geometry/point.ts";
import type { Job } from "../../src/job/model.ts";
import { countQuantities } from "../../src/quantities/count-quantities.ts";
import type { Quantities } from "../../src/quantities/model.ts";
import {
  KG_PER_L_PER_POUND_PER_CUBIC_FOOT,
  KG_PER_POUND,
  L_PER_US_GALLON,
  M2_PER_L_PER_SQUARE_FOOT_PER_GALLON,
} from "../../src/units.ts";
import { depthsOf } from "../depths/made-slab.ts";
import { FOOT, madeJob, madeRoom, madeSurvey, rectangle } from "../layout/made-job.ts";

function counted(job: Job, levelAt: (p: { x: number; y: number }) => number): Quantities {
  const { depths } = depthsOf(job, levelAt);
  const outcome = countQuantities(job, depths);
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return outcome.value;
}

const psf = (kgM2: number): string => floorLoad(kgM2, "ft-in").large.number;

const hall = madeRoom("hall", rectangle(0, 0, 20 * FOOT, 20 * FOOT));

describe("bags", () => {
  test("the job by head: 20 × 20 ft, 10 mm low, 0.50 ft³ a bag → 371.6 L, 26.25, 27 bags", () => {
    const { bags, water, bagWeight } = counted(madeJob([hall]), () => -10);
    expect(bags.volume).toBeCloseTo(371.612, 3);
    // 400 ft² × 10/304.8 ft = 13.1234 ft³; halves of a ft³: 26.2467.
    expect(bags.neat).toBeCloseTo(26.2467, 4);
    expect([bags.profile, bags.loss, bags.toOrder]).toEqual([0, 0, 27]);
    // 27 × 5 qt = 33.75 gal; 27 × 50 lb = 1350 lb.
    expect(water / L_PER_US_GALLON).toBeCloseTo(33.75, 9);
    expect(bagWeight / KG_PER_POUND).toBeCloseTo(1350, 9);
  });

  test("0.50 ft³ covers 24 ft² at 1/4 in: one bag, and the rounding of doubles does not make it two", () => {
    const room = madeRoom("closet", rectangle(0, 0, 6 * FOOT, 4 * FOOT));
    const survey = madeSurvey([], { origin: point(0.3, 0.3), spacingEast: 0.5, spacingNorth: 0.5 });
    const { bags } = counted(madeJob([room], { survey }), () => -6.35);
    expect(bags.neat).toBeCloseTo(1, 9);
    expect(bags.toOrder).toBe(1);
  });

  test("allowances are lines of their own; loss is taken on profile too; rounded up once", () => {
    // 10 × 10 m, 10 mm: 1000 L. Profile 0.5 mm: 50 L. Loss 8 % of 1050 L: 84 L. In bags of 12.5 L: 80, 4, 6.72.
    const room = madeRoom("hall", rectangle(0, 0, 10, 10));
    const base = madeJob([room]);
    const job: Job = {
      ...base,
      material: { ...base.material, yieldPerBag: 12.5 },
      pour: { ...base.pour, lossAllowance: 0.08, profileAllowance: 0.5 },
      contract: { allowedBags: 88 },
    };
    const { bags, againstAllowed } = counted(job, () => -10);
    expect(bags.profileVolume).toBeCloseTo(50, 6);
    expect([bags.neat, bags.profile, bags.loss, bags.sum].map((n) => Math.round(n * 1e6) / 1e6)).toEqual([
      80, 4, 6.72, 90.72,
    ]);
    expect(bags.toOrder).toBe(91);
    expect(againstAllowed).toEqual({ allowedBags: 88, differenceBags: 3 });
  });
});

describe("primer", () => {
  // Common practice: 150–300 ft² a gallon and coat on porous, 300–600 on dense.
  test("by absorbency and coats, concentrate and water apart", () => {
    const coverage = 200 * M2_PER_L_PER_SQUARE_FOOT_PER_GALLON;
    const base = madeJob([hall]);
    const job: Job = {
      ...base,
      primer: {
        ...base.primer,
        coatsOn: {
          porous: [
            { waterToOne: 3, coverage },
            { waterToOne: 1, coverage: 2 * coverage },
          ],
          dense: [{ waterToOne: 0, coverage: 2 * coverage }],
        },
      },
    };
    const gallons = (litres: number) => Math.round((litres / L_PER_US_GALLON) * 1e6) / 1e6;
    const { primer } = counted(job, () => -10);
    // 400 ft²: 2 gal of the first coat, a quarter of it concentrate; 1 gal of the second, half of it.
    expect(primer.coats.map(({ mixed, concentrate, water }) => [mixed, concentrate, water].map(gallons))).toEqual([
      [2, 0.5, 1.5],
      [1, 0.5, 0.5],
    ]);
    expect(gallons(primer.concentrate)).toBe(1);
    const dense = counted({ ...job, floor: { ...job.floor, absorbency: "dense" } }, () => -10).primer;
    expect(dense.coats.map(({ concentrate, water }) => [concentrate, water].map(gallons))).toEqual([[1, 0]]);
  });
});

describe("weights and loads", () => {
  test("dead load is density/12 psf an inch: 120 lb/ft³ → 10.0, 125 → 10.42 (calculated)", () => {
    for (const [density, load] of [
      [120, "10.0"],
      [125, "10.4"],
    ] as const) {
      const base = madeJob([hall]);
      const wetDensity = density * KG_PER_L_PER_POUND_PER_CUBIC_FOOT;
      const job: Job = { ...base, material: { ...base.material, wetDensity } };
      const { greatestDeadLoad, meanDeadLoad, wetWeight } = counted(job, () => -25.4);
      expect(psf(greatestDeadLoad)).toBe(load);
      expect(psf(meanDeadLoad)).toBe(load);
      // 400 ft² an inch deep are 33.33 ft³.
      expect(wetWeight / KG_PER_POUND).toBeCloseTo((400 / 12) * density, 4);
    }
  });

  test("56 bags of 50 lb on a 40 × 48 in pallet are 210 psf (calculated)", () => {
    const base = madeJob([hall]);
    const many = counted(base, () => -40);
    expect(many.bags.toOrder).toBeGreaterThan(56);
    expect(psf(many.palletLoad)).toBe("210.0");
    expect(many.pallets).toBe(Math.ceil(many.bags.toOrder / 56));
    // Fewer bags than a pallet holds: what is there, and the pallet itself.
    const few = counted({ ...base, pour: { ...base.pour, palletTare: 40 * KG_PER_POUND } }, () => -10);
    expect(few.pallets).toBe(1);
    // 27 × 50 + 40 lb on 13.33 ft².
    expect(psf(few.palletLoad)).toBe("104.3");
  });

  test("the greatest dead load is that of the deepest place, profile included; the mean that of the whole", () => {
    const room = madeRoom("wedge", rectangle(0, 0, 10, 1));
    const survey = madeSurvey([], { origin: point(0, 0), spacingEast: 1, spacingNorth: 1 });
    const base = madeJob([room], { survey });
    const job: Job = { ...base, pour: { ...base.pour, profileAllowance: 1 } };
    // 10 to 50 mm and 1 mm of profile, at 1.95 kg/L: 51 × 1.95, and (30 + 1) × 1.95.
    const { greatestDeadLoad, meanDeadLoad } = counted(job, ({ x }) => -10 - 4 * x);
    expect(greatestDeadLoad).toBeCloseTo(99.45, 6);
    expect(meanDeadLoad).toBeCloseTo(60.45, 6);
  });

  test("a suspended floor is on HOLD until an engineer accepted; a load past the allowed one too", () => {
    const base = madeJob([hall]);
    expect(counted(base, () => -10).holds).toEqual([]);
    const suspended: Job = { ...base, floor: { ...base.floor, support: "suspended" } };
    // 10 mm of 1.95 kg/L.
    expect(counted(suspended, () => -10).holds).toEqual([
      { kind: "suspended-floor-not-accepted", valueKgM2: expect.closeTo(19.5, 9) },
    ]);
    const accepted: Job = {
      ...suspended,
      floor: { ...suspended.floor, acceptedBy: { name: "N. N., P.E.", date: "2027-02-01" } },
      contract: { allowedDeadLoad: 19 },
    };
    expect(counted(accepted, () => -10).holds.map(({ kind }) => kind)).toEqual(["dead-load-past-allowed"]);
    expect(counted({ ...accepted, contract: { allowedDeadLoad: 20 } }, () => -10).holds).toEqual([]);
  });
});

describe("lifts", () => {
  test("a wedge from 10 to 50 mm under a greatest lift of 30 mm, by hand", () => {
    // 10 m² of mean 30 mm: 300 L in two lifts of 25 mm at the deep end. Deeper than 25 mm: 6.25 m², 0 … 25 mm: 78.125 L.
    const room = madeRoom("wedge", rectangle(0, 0, 10, 1));
    const survey = madeSurvey([], { origin: point(0, 0), spacingEast: 1, spacingNorth: 1 });
    const base = madeJob([room], { survey });
    const job: Job = { ...base, material: { ...base.material, greatestLift: 30 } };
    const { lifts } = counted(job, ({ x }) => -10 - 4 * x);
    expect(lifts.map(({ number, thickness, topBelowTarget }) => [number, thickness, topBelowTarget])).toEqual([
      [1, 25, 25],
      [2, 25, 0],
    ]);
    expect(lifts.map(({ area, volume }) => [area, volume])).toEqual([
      [expect.closeTo(6.25, 6), expect.closeTo(78.125, 6)],
      [expect.closeTo(10, 6), expect.closeTo(221.875, 6)],
    ]);
    // Exactly as deep as one lift may be: one lift.
    expect(
      counted({ ...job, material: { ...job.material, greatestLift: 50 } }, ({ x }) => -10 - 4 * x).lifts,
    ).toHaveLength(1);
  });
});
