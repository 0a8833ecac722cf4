/** Doorways: where their jambs are, and the floor within the thickness of the wall. */

import { distance, type Point, point, pointAlong, type Ring } from "../geometry/point.ts";
import type { Metres } from "../units.ts";
import { given } from "./given.ts";
import { type Finding, type JobReader, objectAt, toMetres, toMillimetres, warnAt } from "./job-reader.ts";
import { spellPlanLength } from "./lengths.ts";
import type { Door, Wall } from "./model.ts";
import type { RoomOutline } from "./room-outline.ts";
import type { DoorText } from "./schema.ts";
import type { At } from "./schema-parts.ts";
import { nearName } from "./suggest.ts";
import type { Path } from "./yaml-places.ts";

/** A jamb this near to a corner is at it: rooms are taped, not machined. */
const AT_CORNER_M = 0.001;
/** Nothing that a floor goes on through is narrower; a door's own corners stay apart, as those of a wall do. */
const LEAST_DOOR_M = 0.05;
/** Walls are thinner than this; what stands further off is not the other face of the same wall. 2 ft, common practice. */
const THICKEST_WALL_M = 0.6096;
/** A given and a found thickness agree within this, and so may the faces of two rooms run into each other. */
const THICKNESS_AGREES_M = 0.01;
/** Opposite faces are parallel within 2 degrees once closing errors are spread. */
const PARALLEL_COSINE = Math.cos((2 * Math.PI) / 180);

export interface NamedOutline {
  readonly id: string;
  readonly outline: RoomOutline;
}

export interface PlacedDoor {
  readonly door: Door;
  readonly path: Path;
}

/** The doors of a room; those that could not be placed are left out, after objecting. */
export function roomDoors(
  reader: JobReader,
  texts: readonly At<DoorText>[],
  room: NamedOutline,
  rooms: readonly NamedOutline[],
  roomIds: readonly string[],
): PlacedDoor[] {
  return texts.flatMap(({ text, path }): PlacedDoor[] => {
    const door = placeDoor(reader, text, room, rooms, roomIds, path);
    return door === undefined ? [] : [{ door, path }];
  });
}

function placeDoor(
  reader: JobReader,
  text: DoorText,
  room: NamedOutline,
  rooms: readonly NamedOutline[],
  roomIds: readonly string[],
  path: Path,
): Door | undefined {
  const { walls, tapedClockwise, misclosure } = room.outline;
  const wallIndex = walls.findIndex(({ number }) => number === text.wall);
  const wall = walls[wallIndex];
  if (wall === undefined) {
    objectAt(reader, [...path, "wall"], {
      code: "no-such-wall",
      message: `Door ${text.id}: room ${room.id} has no wall ${text.wall}.`,
      expected: `a wall from 1 to ${walls.length}, counted as taped`,
    });
    return undefined;
  }
  const spell = (length: number) => spellPlanLength(length, reader.units.plan);
  const length = distance(wall.from, wall.to);
  const from = toMetres(reader, text.from);
  const width = toMetres(reader, text.width);
  if (width < LEAST_DOOR_M) {
    objectAt(reader, [...path, "width"], {
      code: "door-too-narrow",
      message: `Door ${text.id} is ${spell(width)} wide.`,
      expected: `at least ${spell(LEAST_DOOR_M)} between its jambs`,
      hint: "Check the unit.",
    });
    return undefined;
  }
  // The closing error that was spread over the walls must not push a taped door off its wall, nor off its corner.
  const slack = misclosure + AT_CORNER_M;
  if (from + width > length + slack) {
    objectAt(reader, [...path, "from"], {
      code: "door-off-wall",
      message: `Door ${text.id} reaches ${spell(from + width)} along wall ${text.wall}, which is ${spell(length)} long.`,
      expected: `from and width that together stay within ${spell(length)}`,
    });
    return undefined;
  }
  const jambs = jambsOn(wall, tapedClockwise, from, from + width, slack);

  const joinsRoom = roomIds.includes(text.joins);
  if (text.joins === room.id) {
    objectAt(reader, [...path, "joins"], {
      code: "door-joins-own-room",
      message: `Door ${text.id} joins room ${room.id} to itself.`,
      expected: "the room or place on the other side of the wall",
    });
    return undefined;
  }
  if (!joinsRoom) warnOfNearRoom(reader, text, roomIds, [...path, "joins"]);
  const thickness = text.thickness === undefined ? undefined : toMetres(reader, text.thickness);
  if (thickness !== undefined && thickness > THICKEST_WALL_M) {
    objectAt(reader, [...path, "thickness"], {
      code: "wall-too-thick",
      message: `Door ${text.id}: a wall ${spell(thickness)} thick is not one wall.`,
      expected: `at most ${spell(THICKEST_WALL_M)}`,
      hint: "Give a passage between two walls as a room of its own.",
    });
    return undefined;
  }
  const other = rooms.find(({ id }) => id === text.joins);
  // A room that could not be read was objected to already: what is beyond the door cannot be told.
  if (joinsRoom && other === undefined) return undefined;
  const far = other
    ? facesOf(reader, text, wall, jambs, thickness, other, path)
    : squareFrom(wall, jambs, thickness ?? (0 as Metres));
  if (far === undefined) return undefined;

  const wallThickness = ((distance(jambs[0], far[0]) + distance(jambs[1], far[1])) / 2) as Metres;
  const doorway: Ring | undefined = wallThickness > AT_CORNER_M ? [jambs[1], jambs[0], far[0], far[1]] : undefined;
  return {
    id: text.id,
    roomId: room.id,
    wallIndex,
    from,
    width,
    jambs,
    joins: text.joins,
    joinsRoom,
    wallThickness: doorway === undefined ? (0 as Metres) : wallThickness,
    ...given("doorway", doorway, (ring) => ring),
    ...given("neighbourFinish", text.finish_level, (level) => toMillimetres(reader, level)),
    ...given("neighbourSetUpId", text.finish_read_in, (id) => id),
    entrance: text.entrance ?? false,
  };
}

/** In the direction of the counter-clockwise outline; a jamb at a corner is that corner. */
function jambsOn(wall: Wall, tapedClockwise: boolean, near: number, far: number, slack: number): [Point, Point] {
  const length = distance(wall.from, wall.to);
  const at = (along: number): Point => {
    if (along <= slack) return wall.from;
    if (along >= length - slack) return wall.to;
    return pointAlong(wall.from, wall.to, along);
  };
  return tapedClockwise ? [at(length - far), at(length - near)] : [at(near), at(far)];
}

function warnOfNearRoom(reader: JobReader, text: DoorText, roomIds: readonly string[], path: Path): void {
  const near = nearName(text.joins, roomIds);
  if (near === undefined) return;
  warnAt(reader, path, {
    code: "door-joins-unknown-room",
    message: `Door ${text.id} joins "${text.joins}", which is no room of this job: it is taken for a place outside.`,
    hint: `Did you mean "${near}"?`,
  });
}

const outwardOf = (wall: Wall): { x: number; y: number } => {
  const length = distance(wall.from, wall.to);
  return { x: (wall.to.y - wall.from.y) / length, y: -(wall.to.x - wall.from.x) / length };
};

function squareFrom(wall: Wall, jambs: readonly [Point, Point], thickness: Metres): [Point, Point] {
  const out = outwardOf(wall);
  const move = (jamb: Point) => point(jamb.x + out.x * thickness, jamb.y + out.y * thickness);
  return [move(jambs[0]), move(jambs[1])];
}

/**
 * The far corners of the doorway, on the face that the other room's wall turns to this one: each
 * jamb goes straight out until it meets it.
 */
function facesOf(
  reader: JobReader,
  text: DoorText,
  wall: Wall,
  jambs: readonly [Point, Point],
  thickness: Metres | undefined,
  other: NamedOutline,
  path: Path,
): [Point, Point] | undefined {
  const object = (finding: Finding, key: string) => objectAt(reader, [...path, key], finding);
  const spell = (length: number) => spellPlanLength(length, reader.units.plan);
  const out = outwardOf(wall);
  const along = { x: -out.y, y: out.x };
  const faces = other.outline.walls.flatMap((face) => {
    const length = distance(face.from, face.to);
    const cosine = -((face.to.x - face.from.x) * along.x + (face.to.y - face.from.y) * along.y) / length;
    if (cosine < PARALLEL_COSINE) return [];
    const reach = jambs.map((jamb) => reachTo(jamb, out, along, face));
    return reach.every(({ off }) => off >= -THICKNESS_AGREES_M && off <= THICKEST_WALL_M) &&
      reach.some(({ past }) => past <= AT_CORNER_M)
      ? [{ face, reach }]
      : [];
  });
  const opposite = faces.sort((a, b) => a.reach[0]!.off - b.reach[0]!.off)[0];
  if (opposite === undefined) {
    object(
      {
        code: "door-leads-nowhere",
        message: `Door ${text.id} joins ${text.joins}, but that room has no wall along wall ${text.wall} within ${spell(THICKEST_WALL_M)} behind the door.`,
        expected: "two rooms whose walls stand back to back at the door",
        hint: `Check the door's wall and place, and the start of room ${text.joins}.`,
      },
      "joins",
    );
    return undefined;
  }
  const past = Math.max(...opposite.reach.map((reach) => reach.past));
  if (past > AT_CORNER_M) {
    object(
      {
        code: "door-past-opposite-wall",
        message: `Door ${text.id} reaches ${spell(past)} past the end of wall ${opposite.face.number} of room ${text.joins} on the other side.`,
        expected: "a doorway that opens into both rooms over its whole width",
        hint: `Check from and width, and the start of room ${text.joins}.`,
      },
      "from",
    );
    return undefined;
  }
  const found = (opposite.reach[0]!.off + opposite.reach[1]!.off) / 2;
  if (thickness !== undefined && Math.abs(found - thickness) > THICKNESS_AGREES_M) {
    object(
      {
        code: "wall-thickness-disagrees",
        message: `Door ${text.id}: the wall is given as ${spell(thickness)} thick, but the rooms stand ${spell(found)} apart there.`,
        expected: `a thickness of ${spell(found)}, or none, for it is found from the rooms`,
        hint: `Check the thickness and the start of room ${text.joins}.`,
      },
      "thickness",
    );
    return undefined;
  }
  if (found <= AT_CORNER_M) return [jambs[0], jambs[1]];
  const move = (jamb: Point, off: number) => point(jamb.x + out.x * off, jamb.y + out.y * off);
  return [move(jambs[0], opposite.reach[0]!.off), move(jambs[1], opposite.reach[1]!.off)];
}

/** How far off a face is from a jamb, straight out, and how far past the face's ends that line passes it. */
function reachTo(
  jamb: Point,
  out: { x: number; y: number },
  along: { x: number; y: number },
  face: Wall,
): { off: number; past: number } {
  const u = (p: Point) => (p.x - jamb.x) * along.x + (p.y - jamb.y) * along.y;
  const v = (p: Point) => (p.x - jamb.x) * out.x + (p.y - jamb.y) * out.y;
  const [u0, u1] = [u(face.from), u(face.to)];
  const off = v(face.from) + ((0 - u0) / (u1 - u0)) * (v(face.to) - v(face.from));
  return { off, past: Math.max(0, Math.min(u0, u1), -Math.max(u0, u1)) };
}
