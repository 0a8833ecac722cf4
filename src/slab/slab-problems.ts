/** What can be wrong with the readings or the floor when the slab is made, in office words. */
import type { Diagnostic } from "../diagnostics.ts";
import { planLength } from "../format.ts";
import type { Point } from "../geometry/point.ts";
import type { Triangulation } from "../geometry/triangulate.ts";
import type { Plan } from "../layout/model.ts";
import type { PointLevel } from "../survey/model.ts";
import type { Metres } from "../units.ts";
import { isOnALine } from "./readings-near.ts";

const length = (value: Metres): string => {
  const { large, small } = planLength(value, "m");
  return `${large.text} (${small.text})`;
};

const place = (at: Point): string => `${length(at.x)} east and ${length(at.y)} north`;

/** Why there is no surface at all: levels that are no number, too few points, or all on one line. */
export function tooLittleRead(points: readonly PointLevel[]): Diagnostic[] {
  const notANumber = points.filter((p) => !Number.isFinite(p.level));
  if (notANumber.length > 0)
    return notANumber.map((p) => ({
      code: "level-not-a-number",
      severity: "error",
      message: `Point ${p.id} has no level that is a number.`,
      expected: "a level in millimetres",
    }));
  const few = [
    "No point was read.",
    `Only point ${points[0]?.id} was read.`,
    `Only points ${points[0]?.id} and ${points[1]?.id} were read.`,
  ];
  if (points.length < 3)
    return [
      {
        code: "too-few-readings",
        severity: "error",
        message: few[points.length]!,
        expected: "three points at least, not on one line: two do not tell which way the slab falls",
        hint: "read more points of the grid",
      },
    ];
  if (isOnALine(points.map((p) => p.at)))
    return [
      {
        code: "readings-on-a-line",
        severity: "error",
        message: `All ${points.length} points read, ${points[0]!.id} to ${points[points.length - 1]!.id}, lie on one line.`,
        expected: "points on both sides of it: a line does not tell which way the slab falls across it",
        hint: "read a second row of the grid",
      },
    ];
  return [];
}

/** A failed triangulation, with the point of the survey or the place on the floor where it failed. */
export function notTriangulated(
  { why, at }: Extract<Triangulation, { kind: "failed" }>,
  points: readonly PointLevel[],
  plan: Plan,
): Diagnostic {
  const isAt = (p: Point) => at !== undefined && p.x === at.x && p.y === at.y;
  const off = points.find((p) => isAt(p.at)) ?? plan.points.find((p) => isAt(p.at));
  if (off)
    return {
      code: "point-off-the-floor",
      severity: "error",
      message: `Point ${off.id}, ${place(off.at)}, does not lie on the floor of any room.`,
      expected: "a point inside a room and not inside a column or opening",
      hint: `check the grid's origin, the place of ${off.id} and the walls of the room`,
    };
  return {
    code: "floor-cannot-be-triangulated",
    severity: "error",
    message: `The floor cannot be divided into triangles${at ? ` near ${place(at)}` : ""}: ${why}.`,
    expected: "rooms whose walls cross neither themselves nor another room's, with columns inside",
    hint: "check the walls, columns and doors there",
  };
}

/** Two points or more at one place, whose levels were put together. */
export const pointsAtOnePlace = (together: readonly PointLevel[]): Diagnostic => ({
  code: "points-at-one-place",
  severity: "warning",
  message: `Points ${together.map((p) => p.id).join(" and ")} lie at one place, ${place(together[0]!.at)}; the slab gets the mean of their levels.`,
  expected: "one point at a place",
  hint: "take one of them out, or correct its place",
});

/** A room whose levels come from its neighbours. */
export function roomWithoutOwnSurface(plan: Plan, room: number): Diagnostic {
  const { roomId } = plan.floors[room]!;
  return {
    code: "room-without-own-surface",
    severity: "warning",
    message: `Room ${roomId} has fewer than three readings of its own, or all on one line: its levels are carried over from the other rooms.`,
    expected: "three readings in every room, not on one line",
    hint: `read more points in ${roomId}`,
  };
}

/** Floor that lies much farther from any reading than readings lie from each other. */
export const farFromReadings = (roomId: string, at: Point, distance: Metres, spacing: Metres): Diagnostic => ({
  code: "far-from-readings",
  severity: "warning",
  message: `The floor of room ${roomId} at ${place(at)} is ${length(distance)} from the nearest reading; its level is a guess.`,
  expected: `readings over the whole floor, some ${length(spacing)} apart`,
  hint: "read that part of the floor too",
});
