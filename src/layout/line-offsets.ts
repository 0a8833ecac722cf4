/** How a grid line is found on the floor: one running offset from a wall along it, in each room that it crosses. */

import { distance, type Point, point, pointAlong, type Ring } from "../geometry/point.ts";
import { crossingOf, placeAgainstRing } from "../geometry/polygon.ts";
import type { Wall } from "../job/model.ts";
import type { Metres } from "../units.ts";
import type { GridLine, LineOffset, LineStretch } from "./model.ts";

type Axis = GridLine["axis"];

/** A wall runs along a line where the offsets at both ends of the stretch agree to this: a fifth of the 10 mm that a pin may be off. */
const OFFSETS_AGREE_M = 0.002;

/** A shorter wall gives no direction to measure square from (common practice). */
const LEAST_WALL_TO_SQUARE_FROM_M = 0.6;

/** The tape is held this far inside the ends of the stretch, clear of the walls that the line runs into. */
const CLEAR_OF_END_M = 0.05;

/** Square distance of a place from the line of a wall, positive on the room's side of it. */
export function squareOffset(wall: Wall, p: Point): Metres {
  const length = distance(wall.from, wall.to);
  const dx = wall.to.x - wall.from.x;
  const dy = wall.to.y - wall.from.y;
  // The room lies to the left of its walls, since outlines run counter-clockwise.
  return (dx * (p.y - wall.from.y) - dy * (p.x - wall.from.x)) / length;
}

/** Where the square from the place meets the line of the wall: the foot, and how far along the wall it lies. */
function squareFoot(wall: Wall, p: Point): { readonly foot: Point; readonly along: Metres; readonly length: Metres } {
  const length = distance(wall.from, wall.to);
  const along =
    ((p.x - wall.from.x) * (wall.to.x - wall.from.x) + (p.y - wall.from.y) * (wall.to.y - wall.from.y)) / length;
  return { foot: pointAlong(wall.from, wall.to, along), along, length };
}

/** True where a tape can be held square from the wall itself to the place without leaving the room. */
export function canTapeSquare(outline: Ring, wall: Wall, p: Point): boolean {
  const { foot, along, length } = squareFoot(wall, p);
  const reach = squareOffset(wall, p);
  if (reach < 0 || along < 0 || along > length) return false;
  // Clear of both ends, which may lie on walls, by as much as a tape can tell.
  const clear = 0.001;
  if (reach <= 2 * clear) return true;
  const atWall = pointAlong(foot, p, clear);
  const atPlace = pointAlong(p, foot, clear);
  if (placeAgainstRing(outline, pointAlong(foot, p, reach / 2)) === "outside") return false;
  return outline.every(
    (a, k) => crossingOf(atWall, atPlace, a, outline[(k + 1) % outline.length] as Point) === undefined,
  );
}

/** The stretches of a grid line inside a room's outline, in the direction of the axis. */
export function lineStretches(axis: Axis, at: Metres, roomIndex: number, outline: Ring): LineStretch[] {
  // Turned so that the line is y = at; a numbered line's own axis then runs along x.
  const turned = axis === "lettered" ? outline : outline.map(({ x, y }) => point(y, x));
  // Where a corner, or a whole wall, lies on the line, look a hair to either side of it instead.
  const hair = 1e-6;
  const atCorner = turned.some(({ y }) => Math.abs(y - at) <= hair);
  const found = atCorner
    ? joined([...intervals(turned, at - 2 * hair), ...intervals(turned, at + 2 * hair)])
    : intervals(turned, at);
  const place = (along: number) => (axis === "lettered" ? point(along, at) : point(at, along));
  return found.map(([from, to]) => ({ roomIndex, ends: [place(from), place(to)] }));
}

type Interval = readonly [number, number];

/** The parts of the line y = at inside the ring; no corner may lie on it. */
function intervals(ring: Ring, at: number): Interval[] {
  const crossings: number[] = [];
  for (let k = 0; k < ring.length; k++) {
    const a = ring[k] as Point;
    const b = ring[(k + 1) % ring.length] as Point;
    if (a.y > at !== b.y > at) crossings.push(a.x + ((at - a.y) / (b.y - a.y)) * (b.x - a.x));
  }
  crossings.sort((p, q) => p - q);
  return crossings.flatMap((from, k): Interval[] =>
    k % 2 === 0 && k + 1 < crossings.length ? [[from, crossings[k + 1] as number]] : [],
  );
}

function joined(parts: readonly Interval[]): Interval[] {
  const all: Interval[] = [];
  for (const part of [...parts].sort((p, q) => p[0] - q[0])) {
    const last = all.at(-1);
    if (last !== undefined && part[0] <= last[1]) all[all.length - 1] = [last[0], Math.max(last[1], part[1])];
    else all.push(part);
  }
  return all;
}

/** A wall at least this share of the longest serves as well as the longest. */
const AS_GOOD_AS_LONGEST = 0.8;

/**
 * The running offset of a stretch: square from a wall along it, so that a mark at each end gives the
 * chalk line. Of the walls that a tape reaches from both ends (else from one), the long ones; of those
 * the southern or western one, so that all lines of a room are measured from the same wall. Undefined
 * where the room has no such wall.
 */
export function lineOffset(
  axis: Axis,
  stretch: LineStretch,
  outline: Ring,
  walls: readonly Wall[],
): LineOffset | undefined {
  const [start, end] = stretch.ends;
  const length = distance(start, end);
  const clear = Math.min(CLEAR_OF_END_M, length / 4);
  const held = length > 0 ? [pointAlong(start, end, clear), pointAlong(end, start, clear)] : [start];
  const candidates = walls.flatMap((wall, wallIndex) => {
    const wallLength = distance(wall.from, wall.to);
    const atStart = squareOffset(wall, start);
    const atEnd = squareOffset(wall, end);
    const offset = (atStart + atEnd) / 2;
    const runsAlong = Math.abs(atStart - atEnd) <= OFFSETS_AGREE_M && offset >= -OFFSETS_AGREE_M;
    if (wallLength < LEAST_WALL_TO_SQUARE_FROM_M || !runsAlong) return [];
    const endsReached = held.filter((p) => canTapeSquare(outline, wall, p)).length;
    return endsReached === 0 ? [] : [{ wall, wallIndex, wallLength, endsReached, offset: Math.max(0, offset) }];
  });
  const mostReached = Math.max(...candidates.map(({ endsReached }) => endsReached));
  const reached = candidates.filter(({ endsReached }) => endsReached === mostReached);
  const longest = Math.max(...reached.map(({ wallLength }) => wallLength));
  const [best] = reached
    .filter(({ wallLength }) => wallLength >= AS_GOOD_AS_LONGEST * longest)
    .sort((a, b) => startOf(axis, a.wall) - startOf(axis, b.wall));
  return best && { ...stretch, wallIndex: best.wallIndex, distance: best.offset };
}

/** How far north (of a lettered line's wall) or east (of a numbered line's wall) it stands. */
const startOf = (axis: Axis, { from, to }: Wall): Metres =>
  axis === "lettered" ? Math.min(from.y, to.y) : Math.min(from.x, to.x);
