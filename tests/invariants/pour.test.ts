/** Whatever the floor: a plan that says it can be poured passes the referee, and says the same each time. */
import fc from "fast-check";
import { expect, test } from "vitest";
import { type Point, point } from "../../src/geometry/point.ts";
import { madeRoom, squareColumn, turned } from "../layout/made-job.ts";
import { doorOut, planned, pourJob, withDoors } from "../pour/made-pour.ts";
import { checkAges, checkBatches, checkCover, checkWays } from "../pour/referee.ts";

/** Rectangles, L and T shapes by the depth of two corners that are cut away; a column; a door somewhere; a sloping floor. */
const floor = fc.record({
  east: fc.integer({ min: 30, max: 110 }),
  north: fc.integer({ min: 25, max: 90 }),
  cutWest: fc.constantFrom(0, 0, 0.4),
  cutEast: fc.constantFrom(0, 0, 0.35),
  cutNorth: fc.double({ min: 0.3, max: 0.6, noNaN: true }),
  column: fc.boolean(),
  turn: fc.constantFrom(0, 0, 0.6),
  door: fc.double({ min: 0, max: 1, noNaN: true }),
  thick: fc.constantFrom(0, 0.2),
  slope: fc.double({ min: -0.6, max: 0.6, noNaN: true }),
  barrels: fc.integer({ min: 2, max: 6 }),
  loss: fc.constantFrom(0, 0.07),
});

test("rooms of every shape", () => {
  let poured = 0;
  fc.assert(
    fc.property(
      floor,
      ({ east, north, cutWest, cutEast, cutNorth, column, turn, door, thick, slope, barrels, loss }) => {
        const [w, h] = [east / 10, north / 10];
        const corners: [number, number][] = [
          [0, 0],
          [w, 0],
        ];
        if (cutEast > 0)
          corners.push([w, h * (1 - cutNorth)], [w * (1 - cutEast), h * (1 - cutNorth)], [w * (1 - cutEast), h]);
        else corners.push([w, h]);
        if (cutWest > 0) corners.push([w * cutWest, h], [w * cutWest, h * (1 - cutNorth)], [0, h * (1 - cutNorth)]);
        else corners.push([0, h]);
        const columns = column && turn === 0 ? [squareColumn("C1", w * 0.45, h * 0.3, 0.3)] : [];
        const room = madeRoom("room", turned(corners, turn, [12, 3]), {
          columns: columns.map((one) => ({ ...one, ring: one.ring.map(({ x, y }) => point(x + 12, y + 3)) })),
        });
        const from = 0.05 + door * (w - 1.1);
        const job = pourJob([withDoors(room, doorOut(room, 0, from, 0.95, thick))], {
          crew: { barrels, people: 12 },
          pour: { lossAllowance: loss },
        });
        const depthAt = ({ x, y }: Point): number => 11 + slope * (x - 12) - 0.5 * slope * (y - 3);
        const { plan, layout, depths, quantities } = planned(job, depthAt);
        expect(plan.batches.at(-1)!.cumulativeBags).toBe(quantities.bags.toOrder);
        if (plan.kind === "cannot-be-poured") {
          expect(plan.reasons.length).toBeGreaterThan(0);
          return;
        }
        poured++;
        checkCover(plan, layout, depths.volumeToOrder, depths.area, job.crew.laneWidth);
        checkBatches(plan, job.crew.barrelCycle, barrels);
        checkAges(plan, plan.edgeLimit.limit!, () => false);
        const opening = layout.floors[0]!.doors[0]!;
        const [p, q] = opening.doorway ? [opening.doorway[1]!, opening.doorway[2]!] : opening.jambs;
        checkWays(plan, layout, [point((p.x + q.x) / 2, (p.y + q.y) / 2)], []);
        expect(JSON.stringify(planned(job, depthAt).plan)).toBe(JSON.stringify(plan));
      },
    ),
    { numRuns: 20, seed: 20 },
  );
  expect(poured).toBeGreaterThan(10);
});
