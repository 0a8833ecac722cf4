/** The way that material takes from the station to each bay, over floor that is still open. */
import { type FloorPath, shortestPath, type WalkableFloor } from "../geometry/paths.ts";
import { distance, type Point, type Polygon, pointAlong } from "../geometry/point.ts";
import { boundsOf, crossingOf, differenceOf, placeAgainstRing } from "../geometry/polygon.ts";
import type { Metres } from "../units.ts";
import { edgesOf } from "./borders.ts";
import type { PartedFloor } from "./floor.ts";
import { portalPlace, walkableThrough, withoutColumns } from "./walking.ts";

export interface CarryWay {
  readonly length: Metres;
  readonly places: readonly Point[];
}

/**
 * The shortest way from the station to a place while `fresh` lies on the floor; undefined where fresh
 * material cuts the place off.
 */
export function carryWay(parted: PartedFloor, to: Point, fresh: readonly Polygon[]): CarryWay | undefined {
  const free = wayOver(parted, parted.floor.walkable, to);
  if (free && !crossesAny(free.places, fresh)) return free;
  const open = openFloor(parted, fresh);
  return open && wayOver(parted, open, to);
}

function wayOver({ portals, station }: PartedFloor, walkable: WalkableFloor, to: Point): CarryWay | undefined {
  if (station.roomIndex !== undefined) return shortestPath(walkable, station.at, to);
  let best: CarryWay | undefined;
  for (const portal of portals) {
    if (portal.other !== undefined) continue;
    const door = portalPlace(portal);
    const outside = distance(station.at, door);
    if (best && outside + distance(door, to) >= best.length) continue;
    const path: FloorPath | undefined = shortestPath(walkable, door, to);
    if (!path || (best && outside + path.length >= best.length)) continue;
    best = { length: outside + path.length, places: outside > 0 ? [station.at, ...path.places] : path.places };
  }
  return best;
}

/** The floor less what is fresh on it. */
function openFloor({ floor }: PartedFloor, fresh: readonly Polygon[]): WalkableFloor | undefined {
  const open = floor.plan.floors.flatMap(({ polygon }) => differenceOf([withoutColumns(polygon)], fresh));
  if (open.length === 0) return undefined;
  return walkableThrough(open, floor.openings);
}

/** A way that only grazes the edge of fresh material does not cross it: two millimetres, twice the finest mark of a tape. */
const GRAZE_M: Metres = 2e-3;

/** True where a way runs through the inside of any of the floors. */
export function crossesAny(way: readonly Point[], floors: readonly Polygon[]): boolean {
  return floors.some((floor) => {
    const box = boundsOf(floor.outline);
    return way.some((from, k) => {
      const to = way[k + 1];
      if (!to) return false;
      if (Math.max(from.x, to.x) < box.minX || Math.min(from.x, to.x) > box.maxX) return false;
      if (Math.max(from.y, to.y) < box.minY || Math.min(from.y, to.y) > box.maxY) return false;
      return crosses(floor, from, to);
    });
  });
}

function crosses(floor: Polygon, from: Point, to: Point): boolean {
  const length = distance(from, to);
  if (length === 0) return false;
  const cuts = edgesOf(floor).flatMap((edge) => crossingOf(from, to, edge.from, edge.to) ?? []);
  const places = [0, ...cuts.map((p) => distance(from, p)).sort((p, q) => p - q), length];
  return places.some((at, k) => {
    const next = places[k + 1];
    if (next === undefined || next - at <= GRAZE_M) return false;
    const middle = pointAlong(from, to, (at + next) / 2);
    return (
      placeAgainstRing(floor.outline, middle) === "inside" &&
      floor.holes.every((hole) => placeAgainstRing(hole, middle) === "outside")
    );
  });
}
