/** The floor of a room: its outline with its own doorways joined on, less its columns and openings. */
import type { Diagnostic } from "../diagnostics.ts";
import { distance, type Point, type Polygon, type Ring } from "../geometry/point.ts";
import { boundsOf, crossingOf, differenceOf, nearestOnRing, ON_LINE_M, placeAgainstRing } from "../geometry/polygon.ts";
import type { Door, Job, Room } from "../job/model.ts";
import type { RoomFloor } from "./model.ts";
import { withSharedCorners } from "./shared-corners.ts";

/**
 * The floors in the order of the job's rooms. Corners come through unchanged, and the jambs on the
 * wall's face are corners of the floor too. A problem names a room that its columns cut into parts.
 */
export function roomFloors(job: Job): { readonly floors: RoomFloor[]; readonly problems: Diagnostic[] } {
  const floors: RoomFloor[] = [];
  const problems: Diagnostic[] = [];
  for (const [roomIndex, room] of job.rooms.entries()) {
    const parts = withoutObstacles(
      outlineWithDoorways(room),
      room.columns.map(({ ring }) => ring),
    );
    const polygon = parts[0];
    if (polygon === undefined || parts.length > 1) {
      problems.push({
        code: "room-cut-apart",
        severity: "error",
        message: `the columns and openings of room ${room.id} leave ${parts.length} separate floors`,
        expected: "one floor that can be walked from end to end",
        hint: "give each part as a room of its own",
        place: job.source.place(["rooms", roomIndex, "columns"]),
      });
      continue;
    }
    const behind = room.doors.findIndex(({ jambs }) => jambs.some((jamb) => !isAtEdge(polygon, jamb)));
    if (behind >= 0) {
      problems.push({
        code: "column-in-doorway",
        severity: "error",
        message: `a column or opening of room ${room.id} takes in a jamb of door ${room.doors[behind]?.id}`,
        expected: "a doorway that stands clear of columns and openings",
        hint: "check the door's place along its wall, and the places of the columns there",
        place: job.source.place(["rooms", roomIndex, "doors", behind]),
      });
      continue;
    }
    const { id: roomId, name, walls, columns: obstacles, doors } = room;
    floors.push({ roomId, name, polygon, walls, obstacles, doors });
  }
  return { floors, problems };
}

const isAtEdge = ({ outline, holes }: Polygon, p: Point): boolean =>
  [outline, ...holes].some((ring) => nearestOnRing(p, ring).distance <= ON_LINE_M);

/** The outline with, along each wall, the jambs of its doors in order, and between two jambs the way round the doorway. */
function outlineWithDoorways(room: Room): Ring {
  const ring: Point[] = [];
  // A jamb in the corner of the room is that corner.
  const add = (p: Point) => {
    const last = ring.at(-1);
    if (last === undefined || distance(last, p) > ON_LINE_M) ring.push(p);
  };
  for (const [wallIndex, corner] of room.outline.entries()) {
    add(corner);
    const onWall = room.doors
      .filter((door) => door.wallIndex === wallIndex)
      .sort((a, b) => distance(corner, a.jambs[0]) - distance(corner, b.jambs[0]));
    for (const door of onWall) for (const p of roundDoorway(door)) add(p);
  }
  while (ring.length > 1 && distance(ring[0] as Point, ring.at(-1) as Point) <= ON_LINE_M) ring.pop();
  return ring;
}

/** From the first jamb to the second, by the far side of the doorway where the wall has a thickness. */
function roundDoorway(door: Door): readonly Point[] {
  const [first, second] = door.jambs;
  const ring = door.doorway;
  if (!ring) return [first, second];
  const start = ring.findIndex((p) => distance(p, first) <= ON_LINE_M);
  if (start < 0) throw new Error(`the doorway of door ${door.id} does not have its first jamb as a corner`);
  const turned = [...ring.slice(start), ...ring.slice(0, start)];
  if (distance(turned.at(-1) as Point, second) > ON_LINE_M)
    throw new Error(`the doorway of door ${door.id} does not run counter-clockwise from its first jamb to its second`);
  return turned;
}

/** The parts of the floor within the outline that the obstacles' rings leave. */
export function withoutObstacles(outline: Ring, rings: readonly Ring[]): readonly Polygon[] {
  // Columns that stand free are holes as they are; only those that touch need a boolean operation,
  // which leaves its new corners on a grid of micrometres.
  const free = rings.every(
    (ring, k) =>
      !ringsMeet(ring, outline) &&
      rings.slice(k + 1).every((other) => !ringsMeet(ring, other) && !isNested(ring, other) && !isNested(other, ring)),
  );
  if (free) return [{ outline, holes: rings }];
  const [walls, ...obstacles] = withSharedCorners([outline, ...rings]) as [Point[], ...Point[][]];
  return differenceOf(
    [{ outline: walls, holes: [] }],
    obstacles.map((ring) => ({ outline: ring.toReversed(), holes: [] })),
  );
}

const isNested = (inner: Ring, outer: Ring): boolean => placeAgainstRing(outer, inner[0] as Point) === "inside";

/** True where the two rings cross or touch. */
function ringsMeet(a: Ring, b: Ring): boolean {
  const boxA = boundsOf(a);
  const boxB = boundsOf(b);
  if (boxA.maxX + ON_LINE_M < boxB.minX || boxB.maxX + ON_LINE_M < boxA.minX) return false;
  if (boxA.maxY + ON_LINE_M < boxB.minY || boxB.maxY + ON_LINE_M < boxA.minY) return false;
  if (a.some((p) => nearestOnRing(p, b).distance <= ON_LINE_M)) return true;
  if (b.some((p) => nearestOnRing(p, a).distance <= ON_LINE_M)) return true;
  return a.some((p, i) => {
    const q = a[(i + 1) % a.length] as Point;
    return b.some((r, j) => crossingOf(p, q, r, b[(j + 1) % b.length] as Point) !== undefined);
  });
}
