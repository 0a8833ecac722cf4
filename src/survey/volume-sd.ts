/** What the levels' own uncertainty does to the volume over them. */
import { polygonArea } from "../geometry/polygon.ts";
import type { Plan } from "../layout/model.ts";
import { type Litres, litres } from "../units.ts";
import { varianceOfSum } from "./covariance.ts";
import type { AdjustedLevels } from "./model.ts";

/**
 * Standard deviation of the volume from reading and datum alone, litres: every level stands for an equal share of its
 * room's floor, and 1 mm on 1 m² is 1 L. Rooms without a level of their own add nothing.
 */
export function volumeSdFromReading(plan: Plan, { points, covariance }: AdjustedLevels): Litres {
  const inRoom = new Map<number, number>();
  for (const { roomIndex } of points) inRoom.set(roomIndex, (inRoom.get(roomIndex) ?? 0) + 1);
  const shares = points.map(({ roomIndex }) => polygonArea(plan.floors[roomIndex]!.polygon) / inRoom.get(roomIndex)!);
  return litres(Math.sqrt(varianceOfSum(covariance, shares)));
}
