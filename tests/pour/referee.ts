/**
 * Goes over a finished pour plan again with nothing but its printed values: bays as polygons, batches with
 * their times and lines. Shares no code with the planner but the ways on foot.
 */
import { expect } from "vitest";
import { type Passage, shortestPath, walkableFloor } from "../../src/geometry/paths.ts";
import { distance, type Point, type Polygon, point } from "../../src/geometry/point.ts";
import { boundsOf, differenceOf, intersectionOf, placeAgainstRing, polygonArea } from "../../src/geometry/polygon.ts";
import type { Plan } from "../../src/layout/model.ts";
import type { Bay, PlannedBatch, PourablePlan } from "../../src/pour/model.ts";

/** Strictly inside, by ray crossing on outline and holes. */
const inside = ({ outline, holes }: Polygon, p: Point): boolean =>
  placeAgainstRing(outline, p) === "inside" && holes.every((hole) => placeAgainstRing(hole, p) === "outside");

/** Every batch of a bay, with how far from the bay's beginning it reaches. */
function reachesIn(plan: PourablePlan, bay: Bay): { batch: PlannedBatch; reaches: number }[] {
  return plan.batches.flatMap((batch) =>
    batch.pours.filter(({ bayNumber }) => bayNumber === bay.number).map(({ reaches }) => ({ batch, reaches })),
  );
}

/** How far a place lies from where a bay begins, along its lane. */
const alongOf = ({ from, along }: Bay, p: Point): number => (p.x - from.x) * along.x + (p.y - from.y) * along.y;

/** The batch that covers a place in a bay: the first whose line lies past it. */
function batchAt(plan: PourablePlan, bay: Bay, p: Point): PlannedBatch {
  const along = alongOf(bay, p);
  const list = reachesIn(plan, bay);
  const found = list.find(({ reaches }) => reaches >= along) ?? list.at(-1);
  if (!found) throw new Error(`no batch goes into bay ${bay.number}`);
  return found.batch;
}

/** Every place in exactly one bay, volumes and areas adding up, lanes no wider than the crew rakes. */
export function checkCover(plan: PourablePlan, layout: Plan, volume: number, area: number, laneWidth: number): void {
  const lift = plan.bays.at(-1)!.lift;
  const bays = plan.bays.filter((bay) => bay.lift === lift);
  expect(plan.bays.reduce((sum, bay) => sum + bay.volume, 0)).toBeCloseTo(volume, 5);
  expect(bays.reduce((sum, bay) => sum + bay.area, 0)).toBeCloseTo(area, 6);
  expect(bays.reduce((sum, { floor }) => sum + polygonArea(floor), 0)).toBeCloseTo(area, 3);
  for (const { floor, roomIndex } of bays) {
    const outside = differenceOf([floor], [layout.floors[roomIndex]!.polygon]);
    expect(outside.reduce((sum, part) => sum + polygonArea(part), 0)).toBeLessThan(1e-4);
  }
  for (const { polygon } of layout.floors) {
    const { minX, minY, maxX, maxY } = boundsOf(polygon.outline);
    for (let i = 0; i < 23; i++) {
      for (let j = 0; j < 19; j++) {
        // Irrational steps: no place falls on a line by construction.
        const p = point(minX + ((i + 0.5177) / 23) * (maxX - minX), minY + ((j + 0.4889) / 19) * (maxY - minY));
        if (!inside(polygon, p)) continue;
        expect(bays.filter(({ floor }) => inside(floor, p))).toHaveLength(1);
      }
    }
  }
  for (const bay of bays) {
    // A doorway that lies along the lane widens it by the wall.
    expect(bay.width).toBeLessThan(laneWidth + 0.35);
  }
}

/** What each batch pours adds up to its bays; lines advance; batches follow each other by the barrel's cycle. */
export function checkBatches(plan: PourablePlan, cycle: number, barrels: number): void {
  for (const bay of plan.bays) {
    const pours = plan.batches.flatMap(({ pours }) => pours.filter(({ bayNumber }) => bayNumber === bay.number));
    expect(pours.reduce((sum, { volume }) => sum + volume, 0)).toBeCloseTo(bay.volume, 5);
    expect(pours.at(-1)!.reaches).toBeCloseTo(bay.length, 5);
    for (let k = 1; k < pours.length; k++) expect(pours[k]!.reaches).toBeGreaterThan(pours[k - 1]!.reaches);
    for (const { line } of pours) {
      const middle = point((line[0].x + line[1].x) / 2, (line[0].y + line[1].y) / 2);
      const { minX, minY, maxX, maxY } = boundsOf(bay.floor.outline);
      expect(middle.x).toBeGreaterThan(minX - 1e-6);
      expect(middle.x).toBeLessThan(maxX + 1e-6);
      expect(middle.y).toBeGreaterThan(minY - 1e-6);
      expect(middle.y).toBeLessThan(maxY + 1e-6);
    }
  }
  for (const barrel of new Set(plan.batches.map((batch) => batch.barrel))) {
    const own = plan.batches.filter((batch) => batch.barrel === barrel);
    for (let k = 1; k < own.length; k++)
      expect(own[k]!.powderMeetsWater - own[k - 1]!.powderMeetsWater).toBeGreaterThan(cycle - 1e-9);
    expect(barrel).toBeLessThanOrEqual(barrels);
  }
}

/** Places a little to both sides of a bay's edge, every so many metres. */
function besides(floor: Polygon): { here: Point; there: Point }[] {
  const rings = [floor.outline, ...floor.holes];
  return rings.flatMap((ring) =>
    ring.flatMap((from, k) => {
      const to = ring[(k + 1) % ring.length]!;
      const length = distance(from, to);
      const count = Math.ceil(length / 0.043);
      return Array.from({ length: count }, (_, i) => {
        const s = (i + 0.5) / count;
        const x = from.x + s * (to.x - from.x);
        const y = from.y + s * (to.y - from.y);
        const nx = (-0.002 * (to.y - from.y)) / length;
        const ny = (0.002 * (to.x - from.x)) / length;
        // The floor lies to the left of its ring.
        return { here: point(x + nx, y + ny), there: point(x - nx, y - ny) };
      });
    }),
  );
}

/**
 * Ages of all edges from the batches' own times, at places 43 mm apart: none over the limit, and none over
 * what the plan says of the pair. `apart` tells bays between which a dam stands. Returns the greatest.
 */
export function checkAges(plan: PourablePlan, limit: number, apart: (a: Bay, b: Bay) => boolean): number {
  let oldest = 0;
  for (const bay of plan.bays) {
    const others = plan.bays.filter(({ number, lift }) => number !== bay.number && lift === bay.lift);
    const worst = new Map<number, number>();
    for (const { here, there } of besides(bay.floor)) {
      if (!inside(bay.floor, here)) continue;
      const neighbour = others.find(({ floor }) => inside(floor, there));
      if (!neighbour || neighbour.number < bay.number || apart(bay, neighbour)) continue;
      const age = batchAt(plan, neighbour, there).placed - batchAt(plan, bay, here).powderMeetsWater;
      worst.set(neighbour.number, Math.max(worst.get(neighbour.number) ?? 0, age));
    }
    for (const [number, age] of worst) {
      expect(age, `edge between bays ${bay.number} and ${number}`).toBeLessThan(limit + 1e-6);
      const said = plan.edges.find(({ earlier, later }) => earlier === bay.number && later === number);
      expect(said, `bays ${bay.number} and ${number} share an edge`).toBeDefined();
      // Two batches can share the last placing of a barrel that ends one bay and begins the next.
      expect(age).toBeLessThan(said!.age + 0.25);
      oldest = Math.max(oldest, age);
    }
    const inBay = reachesIn(plan, bay);
    for (let k = 1; k < inBay.length; k++) {
      const front = inBay[k]!.batch.placed - inBay[k - 1]!.batch.powderMeetsWater;
      expect(front).toBeLessThan(limit + 1e-6);
    }
  }
  return oldest;
}

/**
 * Walks it: before every batch someone comes from a way out to where it is poured, and after every bay
 * everyone still at work comes out, over floor that no fresh material covers.
 */
export function checkWays(
  plan: PourablePlan,
  layout: Plan,
  exits: readonly Point[],
  passages: readonly Passage[],
): void {
  const rooms = layout.floors.map(({ polygon }) => polygon);
  const fresh: Polygon[] = [];
  let lift = 0;
  for (const bay of plan.bays) {
    if (bay.lift !== lift) fresh.length = 0;
    lift = bay.lift;
    const list = reachesIn(plan, bay);
    for (const [k] of list.entries()) {
      const before = k === 0 ? 0 : list[k - 1]!.reaches;
      // A hand's breadth is poured from where the batch before was.
      if (list[k]!.reaches - before < 0.1) continue;
      const poured = before > 0 ? intersectionOf([bay.floor], [strip(bay, -1, before)]) : [];
      const open = differenceOf(rooms, [...fresh, ...poured]);
      const walkable = walkableFloor(open, passages);
      // Just past the front; the last of a bay is poured from firm floor or a doorway that a rake reaches from (1.5 m).
      const atEnd = before >= bay.length - 1.5;
      const reach = atEnd ? placesAhead(bay, before) : placesAt(bay, before + 0.02);
      const reached =
        reach.some((p) => exits.some((exit) => shortestPath(walkable, exit, p))) ||
        (atEnd && exits.some((exit) => placesAhead(bay, before).some((p) => distance(exit, p) < 1.5 + 0.5)));
      expect(reached, `batch ${list[k]!.batch.number} in bay ${bay.number} is reached from outside`).toBe(true);
    }
    fresh.push(bay.floor);
    const left = plan.bays.filter(({ number, lift: other }) => number > bay.number && other === lift);
    if (left.length === 0) continue;
    const walkable = walkableFloor(differenceOf(rooms, fresh), passages);
    for (const later of left) {
      const out = placesAt(later, later.length / 2).some((p) => exits.some((exit) => shortestPath(walkable, exit, p)));
      expect(out, `bay ${later.number} is shut in once bay ${bay.number} is poured`).toBe(true);
    }
  }
}

/** The part of the plane between two distances from a bay's beginning. */
function strip(bay: Bay, from: number, to: number): Polygon {
  const { x: ux, y: uy } = bay.along;
  const corner = (along: number, across: number): Point =>
    point(bay.from.x + along * ux - across * uy, bay.from.y + along * uy + across * ux);
  return { outline: [corner(from, -50), corner(to, -50), corner(to, 50), corner(from, 50)], holes: [] };
}

/** Places across a bay at a distance from its beginning. */
function placesAt(bay: Bay, at: number): Point[] {
  const parts = intersectionOf([bay.floor], [strip(bay, Math.max(0, at - 0.01), at + 0.03)]);
  return parts.flatMap((part) => {
    const { minX, minY, maxX, maxY } = boundsOf(part.outline);
    return [0.1, 0.3, 0.5, 0.7, 0.9].flatMap((east) =>
      [0.1, 0.3, 0.5, 0.7, 0.9]
        .map((north) => point(minX + east * (maxX - minX), minY + north * (maxY - minY)))
        .filter((p) => inside(part, p)),
    );
  });
}

const placesAhead = (bay: Bay, from: number): Point[] =>
  [0.02, 0.3, 0.6, 0.9, 1.2, 1.45].flatMap((step) => (from + step < bay.length ? placesAt(bay, from + step) : []));
