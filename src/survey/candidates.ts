/** Places where a crew would stand the level: settled ones, doorways, the middle of each room, and points between. */
import { distance, type Point } from "../geometry/point.ts";
import { centroid } from "../geometry/polygon.ts";
import type { Plan } from "../layout/model.ts";

export interface Candidate {
  readonly at: Point;
  readonly roomIndex: number;
  /** True where the office has settled on it: it is part of every plan. */
  readonly settled: boolean;
}

/** So many places are weighed; past them a plan gets no better that a crew would notice. */
const MOST_CANDIDATES = 60;

/** A candidate nearer than this to one that is there already is the same place. */
const SAME_PLACE_M = 0.3;

/**
 * In order: what the office settled on, one doorway a door, the point nearest to the middle of each room, then
 * points of the plan, each time the one farthest from all candidates so far (Gonzalez, "Clustering to minimize the
 * maximum intercluster distance", Theoretical Computer Science 38 (1985)).
 */
export function candidatePlaces(plan: Plan, settled: readonly Point[]): Candidate[] {
  const candidates: Candidate[] = [];
  const add = (at: Point, roomIndex: number): void => {
    if (candidates.length >= MOST_CANDIDATES) return;
    if (candidates.every((one) => distance(one.at, at) >= SAME_PLACE_M))
      candidates.push({ at, roomIndex, settled: false });
  };
  for (const at of settled) candidates.push({ at, roomIndex: nearestRoom(plan, at), settled: true });
  plan.floors.forEach((floor, roomIndex) => {
    for (const door of floor.doors) {
      if (!door.joinsRoom) continue;
      const [a, b] = door.jambs;
      add({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 }, roomIndex);
    }
  });
  plan.floors.forEach((floor, roomIndex) => {
    const middle = centroid(floor.polygon);
    const own = plan.points.filter((planPoint) => planPoint.roomIndex === roomIndex);
    const nearest = own.toSorted((a, b) => distance(a.at, middle) - distance(b.at, middle))[0];
    if (nearest) add(nearest.at, roomIndex);
  });
  const away = plan.points.map((planPoint) => Math.min(...candidates.map((one) => distance(one.at, planPoint.at))));
  while (candidates.length < MOST_CANDIDATES) {
    let farthest = -1;
    for (let p = 0; p < away.length; p++)
      if (away[p]! >= SAME_PLACE_M && (farthest < 0 || away[p]! > away[farthest]!)) farthest = p;
    if (farthest < 0) break;
    const { at, roomIndex } = plan.points[farthest]!;
    candidates.push({ at, roomIndex, settled: false });
    for (let p = 0; p < away.length; p++) away[p] = Math.min(away[p]!, distance(at, plan.points[p]!.at));
  }
  return candidates;
}

/** The room of the plan's point that is nearest. */
function nearestRoom(plan: Plan, at: Point): number {
  const nearest = plan.points.toSorted((a, b) => distance(a.at, at) - distance(b.at, at))[0];
  return nearest?.roomIndex ?? 0;
}
