/** Rooms, one by one and together. */
import type { Ring } from "../geometry/point.ts";
import { type Bounds, boundsOf, intersectionOf, polygonArea } from "../geometry/polygon.ts";
import { type PlacedDoor, roomDoors } from "./doors.ts";
import { type JobReader, objectAt, refuseClashes, warnAt } from "./job-reader.ts";
import { spellPlanLength } from "./lengths.ts";
import type { Obstacle, Room } from "./model.ts";
import { roomObstacles } from "./obstacles.ts";
import { type RoomOutline, roomOutline } from "./room-outline.ts";
import { doorSchema, obstacleSchema, roomSchema } from "./schema.ts";
import { parts } from "./schema-parts.ts";
import { nearName } from "./suggest.ts";
import { type Path, valueAt } from "./yaml-places.ts";

/** More than this of two floors in one place is a mistake, not rounding: 1 cm². */
const OVERLAP_M2 = 1e-4;

interface Built {
  readonly id: string;
  readonly name: string;
  readonly path: Path;
  readonly outline: RoomOutline;
  readonly obstacles: readonly Obstacle[];
  readonly doors: readonly PlacedDoor[];
}

/** Builds every room at `rooms` that can be built, and objects to the rest. */
export function buildRooms(reader: JobReader): Room[] {
  const { document } = reader;
  const rooms = parts(document, ["rooms"], roomSchema, ["name", "columns", "openings", "doors"]);
  refuseAllClashes(reader);
  const outlined = rooms.flatMap(({ text, path }) => {
    const outline = roomOutline(reader, text, path);
    return outline === undefined ? [] : [{ id: text.id, text, path, outline }];
  });
  const roomIds = idsAt(reader, ["rooms"]).map(({ id }) => id);
  const built = outlined.map((room): Built => {
    const { id, text, path, outline } = room;
    const obstaclesAt = (key: "columns" | "openings") => parts(document, [...path, key], obstacleSchema);
    const doors = parts(document, [...path, "doors"], doorSchema, ["finish_level", "entrance"]);
    return {
      id,
      name: text.name ?? id,
      path,
      outline,
      obstacles: [
        ...roomObstacles(reader, "column", obstaclesAt("columns"), id, outline.outline),
        ...roomObstacles(reader, "opening", obstaclesAt("openings"), id, outline.outline),
      ],
      doors: roomDoors(reader, doors, room, outlined, roomIds),
    };
  });
  objectToOverlaps(reader, built);
  return built.map(({ id, name, outline, obstacles, doors }) => ({
    id,
    name,
    outline: outline.outline,
    walls: outline.walls,
    misclosure: outline.misclosure,
    columns: obstacles,
    doors: doors.map(({ door }) => door),
  }));
}

/** Ids of the entries of a list, of those too that do not pass the schema. */
function idsAt(reader: JobReader, path: Path): { readonly id: string; readonly path: Path }[] {
  const list = valueAt(reader.document, path);
  if (!Array.isArray(list)) return [];
  return list.flatMap((_, k) => {
    const at = [...path, k, "id"];
    const id = valueAt(reader.document, at);
    return typeof id === "string" ? [{ id, path: at }] : [];
  });
}

function refuseAllClashes(reader: JobReader): void {
  const rooms = valueAt(reader.document, ["rooms"]);
  const under = (key: "columns" | "openings" | "doors") =>
    Array.isArray(rooms) ? rooms.flatMap((_, k) => idsAt(reader, ["rooms", k, key])) : [];
  refuseClashes(reader, "rooms", idsAt(reader, ["rooms"]));
  refuseClashes(reader, "columns and openings", [...under("columns"), ...under("openings")]);
  refuseClashes(reader, "doors", under("doors"));
}

/**
 * Warns of a column or door that is called like a point of the grid: on the plan two things would have one name.
 * @param isGridPoint true for the name of a point that the grid has on this floor
 */
export function warnOfPointNames(reader: JobReader, isGridPoint: (id: string) => boolean): void {
  const rooms = valueAt(reader.document, ["rooms"]);
  if (!Array.isArray(rooms)) return;
  for (const [key, what] of [
    ["columns", "Column"],
    ["openings", "Opening"],
    ["doors", "Door"],
  ] as const) {
    for (const { id, path } of rooms.flatMap((_, k) => idsAt(reader, ["rooms", k, key]))) {
      if (!isGridPoint(id)) continue;
      warnAt(reader, path, {
        code: "named-like-grid-point",
        message: `${what} ${id} has the name of a grid point: on the plan there are two things called ${id}.`,
        hint: `Call it something else, such as ${what === "Door" ? "DR" : what === "Column" ? "COL" : "OP"}${id.replace(/\D+/, "")}.`,
      });
    }
  }
}

/** A finished level beyond a door is from the zero of a set-up that there has to be. */
export function refuseUnknownSetUps(reader: JobReader, setUpIds: readonly string[]): void {
  const rooms = valueAt(reader.document, ["rooms"]);
  if (!Array.isArray(rooms)) return;
  for (const [k] of rooms.entries()) {
    const doors = valueAt(reader.document, ["rooms", k, "doors"]);
    if (!Array.isArray(doors)) continue;
    for (const [j] of doors.entries()) {
      const at = ["rooms", k, "doors", j, "finish_read_in"];
      const id = valueAt(reader.document, at);
      if (typeof id !== "string" || setUpIds.includes(id)) continue;
      const near = nearName(id, setUpIds);
      objectAt(reader, at, {
        code: "no-such-set-up",
        message: `The job has no set-up ${id}.`,
        expected: setUpIds.length === 0 ? "a set-up that the survey has" : `one of ${setUpIds.join(", ")}`,
        hint: near === undefined ? undefined : `Did you mean "${near}"?`,
      });
    }
  }
}

interface Area {
  readonly what: string;
  readonly isDoorway: boolean;
  readonly ring: Ring;
  readonly box: Bounds;
  readonly path: Path;
}

/** Floors of two rooms in one place, and doorways that lie in a room or in each other. */
function objectToOverlaps(reader: JobReader, rooms: readonly Built[]): void {
  const areas = rooms.flatMap(({ id, path, outline, doors }): Area[] => [
    { what: `room ${id}`, isDoorway: false, ring: outline.outline, box: boundsOf(outline.outline), path },
    ...doors.flatMap(({ door: { id: doorId, doorway }, path: at }): Area[] =>
      doorway === undefined
        ? []
        : [{ what: `the doorway of door ${doorId}`, isDoorway: true, ring: doorway, box: boundsOf(doorway), path: at }],
    ),
  ]);
  for (const [j, later] of areas.entries()) {
    for (const earlier of areas.slice(0, j)) {
      if (!boxesMeet(earlier.box, later.box)) continue;
      const shared = intersectionOf([{ outline: earlier.ring, holes: [] }], [{ outline: later.ring, holes: [] }]);
      const area = shared.reduce((sum, part) => sum + polygonArea(part), 0);
      if (area > OVERLAP_M2)
        objectToOverlap(reader, earlier, later, boundsOf(shared.flatMap(({ outline }) => outline)));
    }
  }
}

const boxesMeet = (a: Bounds, b: Bounds): boolean =>
  a.minX < b.maxX && b.minX < a.maxX && a.minY < b.maxY && b.minY < a.maxY;

function objectToOverlap(reader: JobReader, earlier: Area, later: Area, box: Bounds): void {
  const spell = (length: number) => spellPlanLength(length, reader.units.plan);
  const ofDoorway = earlier.isDoorway || later.isDoorway;
  // Of a room and a doorway it is the doorway that is at fault.
  const [at, other] = earlier.isDoorway && !later.isDoorway ? [earlier, later] : [later, earlier];
  const capital = at.what.charAt(0).toUpperCase() + at.what.slice(1);
  objectAt(reader, at.path, {
    code: ofDoorway ? "doorway-overlaps" : "rooms-overlap",
    message: `${capital} overlaps ${other.what}: they share ${spell(box.maxX - box.minX)} by ${spell(box.maxY - box.minY)} at [${spell(box.minX)}, ${spell(box.minY)}].`,
    expected: "floors that share no area: give the inside faces of the walls",
    hint: ofDoorway
      ? "Give each doorway in one of its two rooms only, and check the wall's thickness and the start of the rooms."
      : "Check the start of each room: it is measured from the plan's origin, the same for all rooms.",
  });
}
