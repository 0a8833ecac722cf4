/** A place on the plan as a person finds it on the floor. */
import type { Point } from "../geometry/point.ts";
import { polygonContains, ringContains } from "../geometry/polygon.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import { pinOffsets } from "../layout/pin-offsets.ts";
import type { FoundPlace } from "./model.ts";

/**
 * The place with two offsets from walls of its room. In a doorway, past the walls' inside faces, it
 * is found by the door instead. Throws for a place that is on no floor of the plan.
 */
export function findPlace(
  job: Job,
  plan: Plan,
  at: Point,
  more: Pick<FoundPlace, "ends" | "contacts" | "name"> = {},
): FoundPlace {
  const onFloor = plan.floors.findIndex(({ polygon }) => polygonContains(polygon, at));
  // Slivers between a column and a wall are no floor, and still a place of their room.
  const roomIndex =
    onFloor >= 0
      ? onFloor
      : job.rooms.findIndex(
          ({ outline, doors }) =>
            ringContains(outline, at) || doors.some(({ doorway }) => doorway && ringContains(doorway, at)),
        );
  const room = job.rooms[roomIndex];
  if (!room)
    throw new Error(`the place (${at.x}, ${at.y})${more.name ? `, ${more.name},` : ""} is on no floor of the plan`);
  if (ringContains(room.outline, at)) {
    const offsets = pinOffsets(more.name ?? "of the worst place", at, roomIndex, room);
    return { at, roomIndex, offsets, ...more };
  }
  const door = room.doors.find(({ doorway }) => doorway && ringContains(doorway, at));
  return { at, roomIndex, ...(door && { doorId: door.id }), ...more };
}
