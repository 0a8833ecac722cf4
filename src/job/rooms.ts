/** Rooms, one by one and together. */
import type { Ring } from "../geometry/point.ts";
import { boundsOf, intersectionOf, polygonArea } from "../geometry/polygon.ts";
import { roomDoors } from "./doors.ts";
import { type JobReader, objectAt, refuseClashes } from "./job-reader.ts";
import { spellPlanLength } from "./lengths.ts";
import type { Door, Obstacle, Room } from "./model.ts";
import { roomObstacles } from "./obstacles.ts";
import { type RoomOutline, roomOutline } from "./room-outline.ts";
import type { RoomText } from "./schema.ts";
import type { Path } from "./yaml-text.ts";

/** A room as the schema let it through, with where it stands in the file. */
export interface RoomAt {
  readonly text: RoomText;
  readonly path: Path;
}

/** More than this of two floors in one place is a mistake, not rounding: 1 cm². */
const OVERLAP_M2 = 1e-4;

/**
 * Builds every room that can be built, and objects to the rest.
 * @param roomIds ids of all rooms in the file, those that did not pass the schema included
 */
export function buildRooms(reader: JobReader, rooms: readonly RoomAt[], roomIds: readonly string[]): Room[] {
  refuseAllClashes(reader, rooms);
  const outlined = rooms.flatMap(({ text, path }) => {
    const outline = roomOutline(reader, text, path);
    return outline === undefined ? [] : [{ id: text.id, text, path, outline }];
  });
  const built = outlined.map((room): Built => {
    const { id, text, path, outline } = room;
    const obstacles = [
      ...roomObstacles(reader, "column", text.columns ?? [], id, outline.outline, [...path, "columns"]),
      ...roomObstacles(reader, "opening", text.openings ?? [], id, outline.outline, [...path, "openings"]),
    ];
    const doors = roomDoors(reader, text.doors ?? [], room, outlined, roomIds, [...path, "doors"]);
    return { id, name: text.name ?? id, path, outline, obstacles, doors };
  });
  objectToOverlaps(reader, built);
  return built.map(({ id, name, outline, obstacles, doors }) => ({
    id,
    name,
    outline: outline.outline,
    walls: outline.walls,
    misclosure: outline.misclosure,
    columns: obstacles,
    doors,
  }));
}

interface Built {
  readonly id: string;
  readonly name: string;
  readonly path: Path;
  readonly outline: RoomOutline;
  readonly obstacles: readonly Obstacle[];
  readonly doors: readonly Door[];
}

function refuseAllClashes(reader: JobReader, rooms: readonly RoomAt[]): void {
  const under = (key: "columns" | "openings" | "doors") =>
    rooms.flatMap(({ text, path }) => (text[key] ?? []).map(({ id }, k) => ({ id, path: [...path, key, k, "id"] })));
  refuseClashes(
    reader,
    "rooms",
    rooms.map(({ text, path }) => ({ id: text.id, path: [...path, "id"] })),
  );
  refuseClashes(reader, "columns and openings", [...under("columns"), ...under("openings")]);
  refuseClashes(reader, "doors", under("doors"));
}

interface Area {
  readonly what: string;
  readonly ring: Ring;
  readonly path: Path;
  readonly room: string;
}

/** Floors of two rooms in one place, and doorways that lie in a room or in each other. */
function objectToOverlaps(reader: JobReader, rooms: readonly Built[]): void {
  const areas: Area[] = rooms.flatMap(({ id, path, outline, doors }) => [
    { what: `room ${id}`, ring: outline.outline, path, room: id },
    ...doors.flatMap((door, k) =>
      door.doorway === undefined
        ? []
        : [{ what: `the doorway of door ${door.id}`, ring: door.doorway, path: [...path, "doors", k], room: id }],
    ),
  ]);
  const boxes = areas.map(({ ring }) => boundsOf(ring));
  for (const [j, later] of areas.entries()) {
    for (const [i, earlier] of areas.slice(0, j).entries()) {
      const a = boxes[i]!;
      const b = boxes[j]!;
      if (a.minX >= b.maxX || b.minX >= a.maxX || a.minY >= b.maxY || b.minY >= a.maxY) continue;
      const shared = intersectionOf([{ outline: earlier.ring, holes: [] }], [{ outline: later.ring, holes: [] }]);
      const area = shared.reduce((sum, part) => sum + polygonArea(part), 0);
      if (area <= OVERLAP_M2) continue;
      const box = boundsOf(shared.flatMap(({ outline }) => outline));
      const spell = (length: number) => spellPlanLength(length, reader.units.plan);
      const isDoor = later.what.startsWith("the");
      objectAt(reader, later.path, {
        code: isDoor || earlier.what.startsWith("the") ? "doorway-overlaps" : "rooms-overlap",
        message: `${later.what.charAt(0).toUpperCase() + later.what.slice(1)} overlaps ${earlier.what}: they share ${spell(box.maxX - box.minX)} by ${spell(box.maxY - box.minY)} at [${spell(box.minX)}, ${spell(box.minY)}].`,
        expected: "floors that share no area: give the inside faces of the walls",
        hint: isDoor
          ? "Give each doorway in one of its two rooms only, and check the wall's thickness."
          : "Check the start of each room: it is measured from the plan's origin, the same for all rooms.",
      });
    }
  }
}
