/** Where a point lies, told by two offsets from walls that a tape can follow. */
import { type BothUnits, planLength } from "../../format.ts";
import type { Point } from "../../geometry/point.ts";
import type { Job } from "../../job/model.ts";
import type { Plan, WallOffset } from "../../layout/model.ts";
import type { Words } from "../words/en.ts";

export interface PlaceSubject {
  readonly job: Job;
  readonly plan: Plan;
  readonly words: Words;
}

export const bothText = ({ large, small }: BothUnits, words: Words): string => words.both(large.text, small.text);

/** The two offsets of a point: a pin's own, or those of the grid lines that cross at it. */
function offsetsOf(plan: Plan, pointId: string): readonly WallOffset[] {
  const pin = plan.pins.find(({ id }) => id === pointId);
  if (!pin || pin.offsets) return pin?.offsets ?? [];
  return (["numbered", "lettered"] as const).flatMap((axis): WallOffset[] => {
    const at = axis === "numbered" ? pin.at.x : pin.at.y;
    const line = plan.gridLines
      .filter((one) => one.axis === axis)
      .reduce<(typeof plan.gridLines)[number] | undefined>(
        (best, one) => (best && Math.abs(best.at - at) <= Math.abs(one.at - at) ? best : one),
        undefined,
      );
    const offset = line?.offsets.find(({ roomIndex }) => roomIndex === pin.roomIndex);
    return offset ? [{ roomIndex: offset.roomIndex, wallIndex: offset.wallIndex, distance: offset.distance }] : [];
  });
}

/** Room, and two offsets; by the job's own axes where the room has no wall square to both. */
export function placeText(
  { job, plan, words }: PlaceSubject,
  pointId: string,
  at: Point | undefined,
  roomIndex: number | undefined,
): string[] {
  const room = roomIndex === undefined ? [] : [plan.floors[roomIndex]!.name];
  const offsets = offsetsOf(plan, pointId);
  if (offsets.length === 2) {
    return [
      ...room,
      ...offsets.map(({ roomIndex: of, wallIndex, distance }) => {
        const wall = plan.floors[of]!.walls[wallIndex]!;
        const { large, small } = planLength(distance, job.units.plan);
        return words.cut.offWall(words.wall(wall.side, wall.ordinal, wall.onlyOne), large.text, small.text);
      }),
    ];
  }
  if (!at) return room;
  const plan2 = job.units.plan;
  return [
    ...room,
    words.surveyReport.at(bothText(planLength(at.x, plan2), words), bothText(planLength(at.y, plan2), words)),
  ];
}
