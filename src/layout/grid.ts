/** The grid: how many lines it has, where they cross, and in which room a place lies. */
import { type Point, type Polygon, point } from "../geometry/point.ts";
import { type Bounds, boundsOf, nearestOnRing, polygonContains } from "../geometry/polygon.ts";
import { rowLetters } from "../job/grid-names.ts";
import type { GridSpec } from "../job/model.ts";
import type { Metres } from "../units.ts";
import type { RoomFloor } from "./model.ts";

/** A grid point this near to a wall or column, on the wrong side, counts as at it: rooms are taped, not machined. */
export const TAPED_WITHIN_M = 0.01;

/** Lettered and numbered lines from the origin to the northern and eastern end of all floors. */
export interface GridSize {
  readonly lettered: number;
  readonly numbered: number;
}

export function gridSize(grid: GridSpec, floors: readonly RoomFloor[]): GridSize {
  const bounds = boundsOf(floors.flatMap(({ polygon }) => polygon.outline));
  const lines = (reach: number, spacing: Metres) => Math.max(0, Math.floor((reach + TAPED_WITHIN_M) / spacing) + 1);
  return {
    lettered: lines(bounds.maxY - grid.origin.y, grid.spacingNorth),
    numbered: lines(bounds.maxX - grid.origin.x, grid.spacingEast),
  };
}

/** Where lettered line `letter` meets numbered line `number`, both from 0; fractions lie between the lines. */
export const gridPlace = (grid: GridSpec, letter: number, number: number): Point =>
  point(grid.origin.x + number * grid.spacingEast, grid.origin.y + letter * grid.spacingNorth);

export const gridPointId = (letter: number, number: number): string => `${rowLetters(letter)}${number + 1}`;

/** A place on a floor. */
export interface PlaceOnFloor {
  readonly roomIndex: number;
  readonly at: Point;
}

/** Finds floors by place; made once, since a large job asks for thousands of points. */
export interface FloorFinder {
  /** The first floor that the place lies on or at the edge of. */
  on(p: Point): PlaceOnFloor | undefined;
  /** The same; a place off every floor by no more than TAPED_WITHIN_M is moved to the nearest edge. */
  onOrAt(p: Point): PlaceOnFloor | undefined;
  /** The nearest floor and how far off it is. */
  nearest(p: Point): { readonly roomIndex: number; readonly at: Point; readonly distance: Metres };
}

export function floorFinder(floors: readonly RoomFloor[]): FloorFinder {
  const boxes = floors.map(({ polygon }) => boundsOf(polygon.outline));
  const holes = floors.map(({ polygon }) => polygon.holes.map((ring) => ({ ring, box: boundsOf(ring) })));
  const on = (p: Point): PlaceOnFloor | undefined => {
    const roomIndex = floors.findIndex(({ polygon: { outline } }, index) => {
      if (!isInBox(boxes[index] as Bounds, p)) return false;
      // Only holes whose box holds the place: a warehouse has hundreds of columns and thousands of points.
      const near = (holes[index] as (typeof holes)[0]).filter(({ box }) => isInBox(box, p)).map(({ ring }) => ring);
      return polygonContains({ outline, holes: near }, p);
    });
    return roomIndex < 0 ? undefined : { roomIndex, at: p };
  };
  const nearest = (p: Point) => {
    let best = { roomIndex: -1, at: p, distance: Number.POSITIVE_INFINITY };
    for (const [roomIndex, { polygon }] of floors.entries()) {
      const edge = nearestEdge(polygon, p);
      if (edge.distance < best.distance) best = { roomIndex, ...edge };
    }
    return best;
  };
  return {
    on,
    onOrAt: (p) => {
      const found = on(p);
      if (found) return found;
      const { roomIndex, at, distance } = nearest(p);
      return distance <= TAPED_WITHIN_M ? { roomIndex, at } : undefined;
    },
    nearest,
  };
}

const isInBox = (box: Bounds, p: Point): boolean =>
  p.x >= box.minX - TAPED_WITHIN_M &&
  p.x <= box.maxX + TAPED_WITHIN_M &&
  p.y >= box.minY - TAPED_WITHIN_M &&
  p.y <= box.maxY + TAPED_WITHIN_M;

/** The nearest place on the edge of a floor, walls and columns alike. */
function nearestEdge(polygon: Polygon, p: Point): { readonly at: Point; readonly distance: Metres } {
  let best = nearestOnRing(p, polygon.outline);
  for (const hole of polygon.holes) {
    const edge = nearestOnRing(p, hole);
    if (edge.distance < best.distance) best = edge;
  }
  return { at: best.at, distance: best.distance };
}
