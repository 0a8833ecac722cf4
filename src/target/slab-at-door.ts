/** Where the slab lies in a door's opening. */

import type { Point } from "../geometry/point.ts";
import { pointAlong } from "../geometry/point.ts";
import type { Door } from "../job/model.ts";
import type { Slab } from "../slab/model.ts";
import type { Millimetres } from "../units.ts";

export interface SlabAtDoor {
  readonly lowest: Millimetres;
  readonly highest: Millimetres;
  readonly mean: Millimetres;
}

/** Points looked at across an opening: 0.1 m apart in a 3 ft door, finer than anyone reads. */
const POINTS_ACROSS = 9;

/**
 * Level of the slab across the door's opening, on the inside face of the wall of the room that declares it.
 * @param roomIndex index of that room in the plan's floors
 * @throws where no triangle of the room reaches the opening, naming the door
 */
export function slabAtDoor(slab: Slab, roomIndex: number, door: Door): SlabAtDoor {
  const [from, to] = door.jambs;
  let lowest = Number.POSITIVE_INFINITY;
  let highest = Number.NEGATIVE_INFINITY;
  let sum = 0;
  for (let i = 0; i < POINTS_ACROSS; i++) {
    const at = pointAlong(from, to, (door.width * i) / (POINTS_ACROSS - 1));
    const level = slabLevelAt(slab, roomIndex, at);
    if (level === undefined) {
      throw new Error(`no triangle of the slab reaches door ${door.id} at (${at.x}, ${at.y})`);
    }
    lowest = Math.min(lowest, level);
    highest = Math.max(highest, level);
    sum += level;
  }
  return { lowest, highest, mean: sum / POINTS_ACROSS };
}

/** Plan points this near a triangle count as on it: jambs lie on the floor's edge, to within rounding. */
const ON_THE_EDGE_M = 1e-6;

/** Level of the slab at a plan point in metres, by the triangle that it lies in; undefined off the room's floor. */
export function slabLevelAt(slab: Slab, roomIndex: number, at: Point): Millimetres | undefined {
  const { xM, yM, corners, regionOf } = slab.mesh;
  for (let triangle = 0; triangle < regionOf.length; triangle++) {
    if (regionOf[triangle] !== roomIndex) continue;
    const a = corners[3 * triangle] as number;
    const b = corners[3 * triangle + 1] as number;
    const c = corners[3 * triangle + 2] as number;
    const ax = (xM[a] as number) - at.x;
    const ay = (yM[a] as number) - at.y;
    const bx = (xM[b] as number) - at.x;
    const by = (yM[b] as number) - at.y;
    const cx = (xM[c] as number) - at.x;
    const cy = (yM[c] as number) - at.y;
    // Twice the areas of the three triangles that the point makes with the sides: barycentric coordinates.
    const areaA = bx * cy - by * cx;
    const areaB = cx * ay - cy * ax;
    const areaC = ax * by - ay * bx;
    if (areaA < -ON_THE_EDGE_M * Math.hypot(cx - bx, cy - by)) continue;
    if (areaB < -ON_THE_EDGE_M * Math.hypot(ax - cx, ay - cy)) continue;
    if (areaC < -ON_THE_EDGE_M * Math.hypot(bx - ax, by - ay)) continue;
    const area = areaA + areaB + areaC;
    if (!(area > 0)) continue;
    const { levelMm } = slab;
    return ((levelMm[a] as number) * areaA + (levelMm[b] as number) * areaB + (levelMm[c] as number) * areaC) / area;
  }
  return undefined;
}
