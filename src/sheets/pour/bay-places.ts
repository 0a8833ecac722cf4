/** Where bays and fronts lie on the floor, by offsets square from named walls. */
import { distance, type Point, type Ring } from "../../geometry/point.ts";
import { intersectionOf } from "../../geometry/polygon.ts";
import type { PlanUnit, Wall } from "../../job/model.ts";
import type { Plan, RoomFloor } from "../../layout/model.ts";
import type { Bay } from "../../pour/model.ts";
import { M_PER_FOOT, type Metres, metres } from "../../units.ts";

/** A range of offsets square from one wall of the bay's room. */
export interface OffsetRange {
  readonly wallIndex: number;
  readonly from: Metres;
  readonly to: Metres;
}

/** A bay's sides as they are marked on the slab; a side that has no wall along it is absent. */
export interface BayPlace {
  /** Its two long sides, from a wall along the lane. */
  readonly sides?: OffsetRange;
  /** Where it begins and ends, from a wall across the lane: `from` is where the pour begins. */
  readonly ends?: OffsetRange;
}

/** A wall runs along a direction where its own is off by less than this: 1 mm in 1 m. */
const ALONG_SINE = 1e-3;
/** A shorter wall gives no direction to measure square from (common practice). */
const LEAST_WALL_M = 0.6;
/** Farther behind a wall than this the wall cannot serve: a tape is read to a millimetre. */
const BEHIND_M = 2e-3;
/** A wall at least this share of the longest serves as well as the longest. */
const AS_GOOD_AS_LONGEST = 0.8;

interface Direction {
  readonly x: number;
  readonly y: number;
}

const squareFrom = ({ from, to }: Wall, p: Point): Metres =>
  ((to.x - from.x) * (p.y - from.y) - (to.y - from.y) * (p.x - from.x)) / distance(from, to);

/** Of the walls along a direction behind which none of the places lies, the long ones; of those the southern, then the western one. */
function wallAlong(floor: RoomFloor, direction: Direction, places: Ring): number | undefined {
  const candidates = floor.walls.flatMap((wall, wallIndex) => {
    const length = distance(wall.from, wall.to);
    const sine = (direction.x * (wall.to.y - wall.from.y) - direction.y * (wall.to.x - wall.from.x)) / length;
    if (length < LEAST_WALL_M || Math.abs(sine) > ALONG_SINE) return [];
    if (places.some((p) => squareFrom(wall, p) < -BEHIND_M)) return [];
    return [{ wallIndex, length, middle: wall.from.y + wall.to.y, west: wall.from.x + wall.to.x }];
  });
  const longest = Math.max(...candidates.map(({ length }) => length));
  const [best] = candidates
    .filter(({ length }) => length >= AS_GOOD_AS_LONGEST * longest)
    .sort((p, q) => p.middle - q.middle || p.west - q.west || p.wallIndex - q.wallIndex);
  return best?.wallIndex;
}

/** The bay's corners inside its room's walls: doorways, which reach beyond, are left out. */
function cornersInRoom(floor: RoomFloor, bay: Bay): Point[] {
  const room = floor.walls.map(({ from }) => from);
  const inside = intersectionOf([bay.floor], [{ outline: room, holes: [] }]);
  const corners = inside.flatMap(({ outline }) => [...outline]);
  return corners.length > 0 ? corners : [...bay.floor.outline];
}

export function bayPlace(plan: Plan, bay: Bay): BayPlace {
  const floor = plan.floors[bay.roomIndex] as RoomFloor;
  const corners = cornersInRoom(floor, bay);
  const across = { x: -bay.along.y, y: bay.along.x };
  const range = (direction: Direction): OffsetRange | undefined => {
    const wallIndex = wallAlong(floor, direction, corners);
    if (wallIndex === undefined) return undefined;
    const offsets = corners.map((p) => Math.max(0, squareFrom(floor.walls[wallIndex] as Wall, p)));
    return { wallIndex, from: Math.min(...offsets), to: Math.max(...offsets) };
  };
  const sides = range(bay.along);
  const ends = range(across);
  return {
    ...(sides ? { sides } : {}),
    ...(ends
      ? { ends: growsAlong(floor, ends.wallIndex, bay) ? ends : { ...ends, from: ends.to, to: ends.from } }
      : {}),
  };
}

/** Whether the pour runs away from the wall. */
function growsAlong(floor: RoomFloor, wallIndex: number, { along }: Bay): boolean {
  const { from, to } = floor.walls[wallIndex] as Wall;
  return (to.x - from.x) * along.y - (to.y - from.y) * along.x > 0;
}

/** A line across a room: its offset square from a wall along it; undefined where no wall runs so. */
export function linePlace(plan: Plan, roomIndex: number, from: Point, to: Point): Required<FrontPlace> | undefined {
  const floor = plan.floors[roomIndex] as RoomFloor;
  const length = distance(from, to);
  const direction = { x: (to.x - from.x) / length, y: (to.y - from.y) / length };
  const wallIndex = wallAlong(floor, direction, [from, to]);
  if (wallIndex === undefined) return undefined;
  return { wallIndex, distance: metres(Math.max(0, squareFrom(floor.walls[wallIndex] as Wall, from))) };
}

/** A front across the bay: its offset from a wall, or without one its distance from where the bay begins. */
export interface FrontPlace {
  readonly wallIndex?: number;
  readonly distance: Metres;
}

/**
 * The line that a front must have reached, `reaches` metres along the bay: in whole inches or centimetres, for a
 * raked front is no sharper, and never past the planned line. The last line of a bay is its end, doorways left out.
 */
export function frontPlace(plan: Plan, bay: Bay, { ends }: BayPlace, reaches: Metres, unit: PlanUnit): FrontPlace {
  const step = unit === "m" ? 0.01 : M_PER_FOOT / 12;
  // A step that is all but full counts as full: a ten-thousandth of an inch or a centimetre is rounding.
  const down = (value: Metres): Metres => metres(Math.max(0, Math.floor(value / step + 1e-4)) * step);
  const up = (value: Metres): Metres => metres(Math.max(0, Math.ceil(value / step - 1e-4)) * step);
  if (ends === undefined) return { distance: down(reaches) };
  const wall = (plan.floors[bay.roomIndex] as RoomFloor).walls[ends.wallIndex] as Wall;
  const { from, along } = bay;
  const at = squareFrom(wall, { x: metres(from.x + reaches * along.x), y: metres(from.y + reaches * along.y) });
  // A bay may begin and end in doorways: fronts that stand in one are told to the wall's inside face.
  const inRoom = metres(Math.min(Math.max(at, Math.min(ends.from, ends.to)), Math.max(ends.from, ends.to)));
  return { wallIndex: ends.wallIndex, distance: ends.to >= ends.from ? down(inRoom) : up(inRoom) };
}
