import type { Point } from "../geometry/point.ts";
import type { Millimetres } from "../units.ts";
import { dropAt, type Top } from "./drain-falls.ts";
import type { Target, TargetZone } from "./model.ts";

/** The zone that the room belongs to. Every room of the plan has one: `placeTarget` sees to that. */
export function zoneOf(target: Target, roomIndex: number): TargetZone {
  const zone = target.zones.find((candidate) => candidate.roomIndices.includes(roomIndex));
  if (!zone) throw new Error(`the target has no zone over room index ${roomIndex}`);
  return zone;
}

/** Level of the zone's top, in mm from the job's zero, at a plan point in metres. */
export const topOfZone = ({ top, fallEast, fallNorth, drain }: Top, at: Point): Millimetres =>
  top + fallEast * at.x + fallNorth * at.y - (drain ? dropAt(drain, at) : 0);

/** Level of the top of the pour in a room, in mm from the job's zero, at a plan point in metres. */
export const topAt = (target: Target, roomIndex: number, at: Point): Millimetres =>
  topOfZone(zoneOf(target, roomIndex), at);
