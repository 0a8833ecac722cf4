/** Where the slab lies in a door's opening. */

import { pointAlong } from "../geometry/point.ts";
import type { Door } from "../job/model.ts";
import { levelAt } from "../slab/level-at.ts";
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
  let found = 0;
  for (let i = 0; i < POINTS_ACROSS; i++) {
    const at = pointAlong(from, to, (door.width * i) / (POINTS_ACROSS - 1));
    const level = levelAt(slab, at, roomIndex);
    // A column may stand between the jambs.
    if (level === undefined) continue;
    found += 1;
    lowest = Math.min(lowest, level);
    highest = Math.max(highest, level);
    sum += level;
  }
  if (found === 0) throw new Error(`no triangle of the slab reaches door ${door.id}`);
  return { lowest, highest, mean: sum / found };
}
