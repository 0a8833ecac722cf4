/** Columns, shafts and holes in a room. */
import { distance, type Point, point, type Ring } from "../geometry/point.ts";
import { boundsOf, intersectionOf, polygonArea, ringContains, ringCrossings, signedArea } from "../geometry/polygon.ts";
import { type JobReader, objectAt, toMetres, toPoint, warnAt } from "./job-reader.ts";
import { spellPlanLength } from "./lengths.ts";
import type { Obstacle } from "./model.ts";
import type { ObstacleText } from "./schema.ts";
import type { At } from "./schema-parts.ts";
import type { Path } from "./yaml-places.ts";

/** How far a round column's sides may stand off the circle: finer than the floor is read or a column is taped. */
export const ROUND_SAGITTA_M = 0.002;

/** Less than this of a column outside the room is the rounding of the tape: 1 mm along a side of 0.1 m. */
const SLIVER_M2 = 1e-4;

/** The obstacles of a room, clockwise. Those that could not be read are left out, after objecting. */
export function roomObstacles(
  reader: JobReader,
  kind: Obstacle["kind"],
  texts: readonly At<ObstacleText>[],
  roomId: string,
  outline: Ring,
): Obstacle[] {
  return texts.flatMap(({ text, path: at }): Obstacle[] => {
    const ring = ringOf(reader, text, kind, at);
    if (ring === undefined || !isInRoom(reader, ring, `${kind} ${text.id}`, roomId, outline, at)) return [];
    return [{ id: text.id, kind, ring }];
  });
}

/** Clockwise. */
function ringOf(reader: JobReader, text: ObstacleText, kind: string, path: Path): Ring | undefined {
  const { center, size, diameter, vertices } = text;
  const shapes = [size, diameter, vertices].filter((shape) => shape !== undefined).length;
  const name = `${kind === "column" ? "Column" : "Opening"} ${text.id}`;
  if (shapes !== 1 || (vertices === undefined) !== (center !== undefined)) {
    objectAt(reader, path, {
      code: "obstacle-without-shape",
      message:
        shapes === 0
          ? `${name} has no size.`
          : shapes > 1
            ? `${name} gives more than one shape.`
            : vertices === undefined
              ? `${name} has no center.`
              : `${name} gives a center besides its corners.`,
      expected: `center: [12', 9'] with size: 16" x 16" or diameter: 18", or else vertices: [[…], […], […]]`,
    });
    return undefined;
  }
  if (vertices !== undefined) {
    const corners = vertices.map((vertex) => toPoint(reader, vertex));
    if (ringCrossings(corners).length > 0 || signedArea(corners) === 0) {
      objectAt(reader, [...path, "vertices"], {
        code: "walls-cross",
        message: `${name}: its sides cross or touch each other.`,
        expected: "corners in order, round a shape with area",
      });
      return undefined;
    }
    return signedArea(corners) < 0 ? corners : corners.reverse();
  }
  const middle = toPoint(reader, center!);
  if (size !== undefined) return clockwiseRectangle(middle, toMetres(reader, size[0]), toMetres(reader, size[1]));
  return roundRing(middle, toMetres(reader, diameter!) / 2);
}

const clockwiseRectangle = (middle: Point, east: number, north: number): Ring => [
  point(middle.x - east / 2, middle.y - north / 2),
  point(middle.x - east / 2, middle.y + north / 2),
  point(middle.x + east / 2, middle.y + north / 2),
  point(middle.x + east / 2, middle.y - north / 2),
];

/**
 * A circle as a regular polygon of the same area, so that no floor is gained or lost; clockwise. The
 * sides stand off the circle by ROUND_SAGITTA_M at most: sagitta r(1 − cos(π/n)), n a multiple of four.
 */
export function roundRing(middle: Point, radius: number): Ring {
  const most = Math.acos(Math.max(0, 1 - ROUND_SAGITTA_M / radius));
  const sides = Math.max(8, 4 * Math.ceil(Math.PI / most / 4));
  const corner = radius * Math.sqrt((2 * Math.PI) / (sides * Math.sin((2 * Math.PI) / sides)));
  return Array.from({ length: sides }, (_, k) => {
    const angle = (-2 * Math.PI * (k + 0.5)) / sides;
    return point(middle.x + corner * Math.cos(angle), middle.y + corner * Math.sin(angle));
  });
}

/** The area of a ring that lies in the room. */
function areaInside(ring: Ring, outline: Ring): number {
  const box = boundsOf(ring);
  const nearWall = outline.some((from, k) => {
    const to = outline[(k + 1) % outline.length]!;
    return (
      Math.min(from.x, to.x) <= box.maxX &&
      Math.max(from.x, to.x) >= box.minX &&
      Math.min(from.y, to.y) <= box.maxY &&
      Math.max(from.y, to.y) >= box.minY
    );
  });
  const shape = { outline: ring.toReversed(), holes: [] };
  // Where no wall comes near, it is inside or outside as a whole.
  if (!nearWall) return ringContains(outline, ring[0]!) ? polygonArea(shape) : 0;
  return intersectionOf([shape], [{ outline, holes: [] }]).reduce((sum, part) => sum + polygonArea(part), 0);
}

/** Objects to one that lies outside, and warns of one that reaches into a wall: only what is in the room counts. */
function isInRoom(reader: JobReader, ring: Ring, name: string, roomId: string, outline: Ring, path: Path): boolean {
  const area = Math.abs(signedArea(ring));
  const inside = areaInside(ring, outline);
  const capital = name.charAt(0).toUpperCase() + name.slice(1);
  if (inside < area / 2) {
    const corner = nearestCorner(ring, outline);
    objectAt(reader, path, {
      code: "column-outside-room",
      message: `${capital} lies ${inside < SLIVER_M2 ? "" : "mostly "}outside room ${roomId}.`,
      expected: `a place inside the walls of room ${roomId}`,
      hint: `Places are measured from the plan's origin, east first; the nearest corner of the room is at [${spellPlanLength(corner.x, reader.units.plan)}, ${spellPlanLength(corner.y, reader.units.plan)}].`,
    });
    return false;
  }
  if (area - inside > SLIVER_M2) {
    warnAt(reader, path, {
      code: "column-in-wall",
      message: `${capital} reaches into a wall of room ${roomId}: only the part in the room counts.`,
    });
  }
  return true;
}

function nearestCorner(ring: Ring, outline: Ring): Point {
  const from = ring[0]!;
  return outline.reduce((best, corner) => (distance(corner, from) < distance(best, from) ? corner : best));
}
