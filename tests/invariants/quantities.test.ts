/** What must hold for depths and quantities of any floor: rooms of any shape, any readings, any target. */
import fc from "fast-check";
import { expect, test } from "vitest";
import type { Depths } from "../../src/depths/model.ts";
import { type Point, point } from "../../src/geometry/point.ts";
import type { Job } from "../../src/job/model.ts";
import { countQuantities } from "../../src/quantities/count-quantities.ts";
import type { Quantities } from "../../src/quantities/model.ts";
import { depthsOf, levelTarget } from "../depths/made-slab.ts";
import { madeJob, madeRoom, madeSurvey } from "../layout/made-job.ts";

interface MadeFloor {
  readonly corners: readonly (readonly [number, number])[];
  readonly points: readonly (readonly [number, number])[];
  readonly waves: readonly [number, number, number, number];
  readonly top: number;
}

/** A room that is seen whole from its middle, points in it, and a slab with humps and hollows of some millimetres. */
const floors: fc.Arbitrary<MadeFloor> = fc
  .record({
    radii: fc.array(fc.double({ min: 2, max: 6, noNaN: true }), { minLength: 4, maxLength: 9 }),
    spots: fc.array(
      fc.tuple(fc.double({ min: 0, max: 0.999, noNaN: true }), fc.double({ min: 0.05, max: 0.9, noNaN: true })),
      {
        minLength: 6,
        maxLength: 20,
      },
    ),
    waves: fc.tuple(
      fc.double({ min: -3, max: 3, noNaN: true }),
      fc.double({ min: -3, max: 3, noNaN: true }),
      fc.double({ min: 0, max: 12, noNaN: true }),
      fc.double({ min: 0.2, max: 2, noNaN: true }),
    ),
    top: fc.double({ min: 8, max: 40, noNaN: true }),
  })
  .map(({ radii, spots, waves, top }) => {
    const n = radii.length;
    const corner = (k: number): [number, number] => {
      const angle = (2 * Math.PI * k) / n;
      return [radii[k % n]! * Math.cos(angle), radii[k % n]! * Math.sin(angle)];
    };
    const points = spots.map(([turn, out]): [number, number] => {
      const k = Math.floor(turn * n);
      const t = turn * n - k;
      const [ax, ay] = corner(k);
      const [bx, by] = corner(k + 1);
      return [out * (ax + t * (bx - ax)), out * (ay + t * (by - ay))];
    });
    return { corners: radii.map((_, k) => corner(k)), points, waves, top };
  });

type Move = (p: readonly [number, number]) => [number, number];
const stay: Move = ([x, y]) => [x, y];

interface Result {
  readonly depths: Depths;
  readonly quantities: Quantities;
  readonly job: Job;
}

function computed(
  floor: MadeFloor,
  { there = stay, back = stay, extra = 0, height = "mm" as "mm" | "in" } = {},
): Result {
  const grid = { origin: point(-500, -500), spacingEast: 2000, spacingNorth: 2000 };
  const survey = {
    ...madeSurvey([], grid),
    extraPoints: floor.points.map((p, k) => ({ id: `P${k}`, at: point(...there(p)) })),
  };
  const base = madeJob([madeRoom("room", floor.corners.map(there))], { survey, units: { plan: "m", height } });
  const job: Job = {
    ...base,
    material: {
      ...base.material,
      depthOn: { concrete: { least: 4, greatest: 500 } },
      greatestLift: 17,
      pinSpacing: 5000,
    },
    pins: { ...base.pins, greatestCut: 500 },
    pour: { ...base.pour, lossAllowance: 0.05, profileAllowance: 0.4 },
  };
  const [a, b, c, d] = floor.waves;
  const levelAt = (p: Point): number => {
    const [x, y] = back([p.x, p.y]);
    return a * x + b * y + c * Math.sin(d * x) * Math.cos(d * y);
  };
  const { depths } = depthsOf(job, levelAt, levelTarget(floor.top + extra));
  const quantities = countQuantities(job, depths);
  if (quantities.kind !== "ready") throw new Error("no quantities");
  return { depths, quantities: quantities.value, job };
}

const options = { seed: 20270305, numRuns: 60 };
const near = (a: number, b: number, scale: number) => expect(Math.abs(a - b)).toBeLessThanOrEqual(scale);

/** Area and volume of the part of a triangle where the depth is above a limit: clipped corner by corner, then fanned. */
function partAbove(
  corner: readonly (readonly [number, number, number])[],
  limit: number,
): { area: number; over: number } {
  const ring: [number, number, number][] = [];
  for (const [k, p] of corner.entries()) {
    const q = corner[(k + 1) % 3]!;
    if (p[2] >= limit) ring.push([p[0], p[1], p[2] - limit]);
    if (p[2] >= limit !== q[2] >= limit) {
      const t = (limit - p[2]) / (q[2] - p[2]);
      ring.push([p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1]), 0]);
    }
  }
  let area = 0;
  let over = 0;
  for (let k = 1; k + 1 < ring.length; k++) {
    const [p, q, r] = [ring[0]!, ring[k]!, ring[k + 1]!];
    const piece = Math.abs((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])) / 2;
    area += piece;
    over += (piece * (p[2] + q[2] + r[2])) / 3;
  }
  return { area, over };
}

function sumAbove({ mesh, depthMm }: Depths, limit: number): { area: number; over: number } {
  const sum = { area: 0, over: 0 };
  for (let t = 0; t < mesh.regionOf.length; t++) {
    const corners = [0, 1, 2].map((k): [number, number, number] => {
      const v = mesh.corners[3 * t + k]!;
      return [mesh.xM[v]!, mesh.yM[v]!, depthMm[v]!];
    });
    const part = partAbove(corners, limit);
    sum.area += part.area;
    sum.over += part.over;
  }
  return sum;
}

test("volumes and classes agree with a second way of clipping, and add up to the floor", () => {
  fc.assert(
    fc.property(floors, (floor) => {
      const { depths } = computed(floor);
      const shoelace = floor.corners.reduce((sum, [x, y], k) => {
        const [nx, ny] = floor.corners[(k + 1) % floor.corners.length]!;
        return sum + (x * ny - nx * y) / 2;
      }, 0);
      near(depths.area, shoelace, 1e-9 * shoelace);
      near(depths.proudArea + depths.thinArea + depths.pouredArea, shoelace, 1e-9 * shoelace);
      const overZero = sumAbove(depths, 0);
      const overLeast = sumAbove(depths, depths.leastAllowed);
      near(depths.volumeAsRead, overZero.over, 1e-6);
      near(depths.volumeToOrder, overLeast.over + depths.leastAllowed * shoelace, 1e-6);
      near(depths.proudArea, shoelace - overZero.area, 1e-6);
      near(depths.thinArea, overZero.area - overLeast.area, 1e-6);
      near(depths.rooms[0]!.volumeToOrder, depths.volumeToOrder, 1e-6);
      near(
        depths.bands.reduce((sum, { volume }) => sum + volume, 0),
        depths.volumeToOrder,
        1e-6,
      );
      // What is ground away is what the order has more than the slab as it lies, less what is filled up to the least depth.
      const ground = depths.highSpots.reduce((sum, { groundVolume }) => sum + groundVolume, 0);
      const whole = sumAbove(depths, -1e4).over - 1e4 * shoelace;
      // Places that lack less than 0.1 mm are left as they are.
      const listed = depths.highSpots.reduce((sum, { area }) => sum + area, 0);
      near(ground, depths.volumeToOrder - whole, 0.1 * (shoelace - overLeast.area - listed) + 1e-6);
      expect(depths.extrapolatedVolume).toBeGreaterThan(0);
      expect(depths.extrapolatedVolume).toBeLessThanOrEqual(1);
    }),
    options,
  );
});

test("lifts add up to the volume to order, and none is thicker than the material allows", () => {
  fc.assert(
    fc.property(floors, (floor) => {
      const { depths, quantities, job } = computed(floor);
      const { lifts } = quantities;
      near(
        lifts.reduce((sum, { volume }) => sum + volume, 0),
        depths.volumeToOrder,
        1e-6,
      );
      expect(lifts).toHaveLength(Math.ceil(depths.greatest / job.material.greatestLift - 1e-6));
      for (const [k, lift] of lifts.entries()) {
        expect(lift.thickness).toBeLessThanOrEqual(job.material.greatestLift + 1e-6);
        // Each lift covers all that the one under it covers, and no more than the floor.
        expect(lift.area).toBeGreaterThanOrEqual(lifts[k - 1]?.area ?? 0);
        expect(lift.volume).toBeLessThanOrEqual(lift.area * (lift.thickness + depths.leastAllowed) + 1e-6);
      }
      near(lifts.at(-1)!.area, depths.area, 1e-9 * depths.area);
    }),
    options,
  );
});

test("moving and turning the plan leaves quantities alone", () => {
  fc.assert(
    fc.property(
      floors,
      fc.double({ min: 0, max: 6.28, noNaN: true }),
      fc.double({ min: -300, max: 300, noNaN: true }),
      (floor, turn, far) => {
        const [c, s] = [Math.cos(turn), Math.sin(turn)];
        const there: Move = ([x, y]) => [c * x - s * y + far, s * x + c * y - far];
        const back: Move = ([x, y]) => [c * (x - far) + s * (y + far), -s * (x - far) + c * (y + far)];
        const one = computed(floor);
        const other = computed(floor, { there, back });
        near(other.depths.area, one.depths.area, 1e-9 * one.depths.area);
        near(other.depths.volumeToOrder, one.depths.volumeToOrder, 1e-5 * one.depths.area);
        near(other.depths.volumeAsRead, one.depths.volumeAsRead, 1e-5 * one.depths.area);
        near(other.depths.extrapolatedVolume, one.depths.extrapolatedVolume, 1e-4);
        near(other.quantities.bags.sum, one.quantities.bags.sum, 1e-4);
        near(other.quantities.primer.concentrate, one.quantities.primer.concentrate, 1e-6);
        expect(other.depths.pins.map(({ depth, cut }) => [Math.round(depth * 1000), cut.kind])).toEqual(
          one.depths.pins.map(({ depth, cut }) => [Math.round(depth * 1000), cut.kind]),
        );
      },
    ),
    { ...options, numRuns: 30 },
  );
});

test("the unit that leads changes bands and contours, and no quantity", () => {
  fc.assert(
    fc.property(floors, (floor) => {
      const mm = computed(floor);
      const inches = computed(floor, { height: "in" });
      expect(inches.quantities).toEqual(mm.quantities);
      expect(inches.depths.pins).toEqual(mm.depths.pins);
      near(inches.depths.pouredArea, mm.depths.pouredArea, 1e-9 * mm.depths.area);
      for (const { depths } of [mm, inches]) {
        expect(depths.bands.length).toBeLessThanOrEqual(6);
        expect(depths.contours.length).toBeLessThanOrEqual(20);
        near(
          depths.bands.reduce((sum, { area }) => sum + area, 0),
          depths.area,
          1e-9 * depths.area,
        );
      }
    }),
    { ...options, numRuns: 30 },
  );
});

test("raising the top by a millimetre adds a litre a square metre at most, and never saves a bag", () => {
  fc.assert(
    fc.property(floors, fc.double({ min: 0, max: 10, noNaN: true }), (floor, extra) => {
      const low = computed(floor);
      const high = computed(floor, { extra });
      const added = high.depths.volumeToOrder - low.depths.volumeToOrder;
      expect(added).toBeGreaterThanOrEqual(-1e-5);
      expect(added).toBeLessThanOrEqual(extra * low.depths.area + 1e-4);
      expect(high.quantities.bags.toOrder).toBeGreaterThanOrEqual(low.quantities.bags.toOrder);
      // Neat, 0.4 mm of profile, and 5 % of both.
      const { bags } = low.quantities;
      near(bags.sum * bags.yieldPerBag, 1.05 * (low.depths.volumeToOrder + 0.4 * low.depths.area), 1e-6);
      expect(bags.toOrder - bags.sum).toBeLessThan(1);
    }),
    options,
  );
});
